"""A limit of a setup, and why a suggestion is where it is, of any lift."""

from __future__ import annotations

from dataclasses import dataclass

from shortlever.say import Said, Text

ROUNDING_DEG, ROUNDING_M = 0.6, 0.0065  # what rounding to half a centimetre or a quarter inch may cost


@dataclass(frozen=True)
class Limit:
    """One limit: whether the setup keeps it, by how much (``unit`` "m" or "deg"; - breaks it), and why."""

    name: str
    ok: bool
    margin: float
    unit: str
    reason: Said

    @property
    def broken(self) -> bool:
        """Whether the setup breaks it by more than rounding to what can be set may cost."""
        return not self.ok and self.margin < -(ROUNDING_DEG if self.unit == "deg" else ROUNDING_M)


@dataclass(frozen=True)
class Reason:
    """Why the suggestion is where it is: what stopped it (``code`` names the limit), to be said."""

    code: str
    said: Said

    def told(self) -> dict[str, Text]:
        """The reason as it travels."""
        return {"code": self.code, "message": self.said}
