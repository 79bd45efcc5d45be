"""What the answer of a lift from the legs begins with: what to change of what was given, or to stay."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shortlever.lifts.limit import Limit
from shortlever.say import Said

# Less than two steps of what can be set is not called a change (m); of turn-out, what an eye tells (deg;
# assumption).
LEAST_CHANGE_M, LEAST_TURN_DEG, LEAST_HEEL_M = 0.0075, 3.0, 0.004


@dataclass(frozen=True)
class Change:
    """One number of a setup, present and new (m or deg), and the least difference that is a change.

    ``key`` names its sentences, ``field`` the number of the form by which it was given."""

    key: str
    field: str
    now: float
    new: float
    least: float = LEAST_CHANGE_M

    @property
    def said(self) -> Said:
        """What to do, and from where to where."""
        unit = "deg" if self.key == "turn" else "m"
        ends = {f"from_{unit}": self.now, f"to_{unit}": self.new}
        return Said(f"legs_{self.key}_{'more' if self.new > self.now else 'less'}", ends)


@dataclass(frozen=True)
class Decision:
    """``code``: "stay", "style" or the key of the largest change, "" for none; what to say, and what for."""

    code: str
    said: tuple[Said, ...]
    because: tuple[Said, ...]


def decide(
    changes: Sequence[Change],
    given: Mapping[str, float] | None,
    broken: Sequence[Limit],
    *,
    stay: bool,
    picked: bool,
    style: Said | None = None,
) -> Decision:
    """The setup shown against the present one; of what was not ``given`` (None: all is) nothing is said.

    ``stay``: nothing that is gained is noticeable; ``broken``: limits that only the present setup breaks.
    ``style``: what to say of another style. Of a setup that the person ``picked`` it is said only what it
    changes.
    """
    moved = [one for one in changes if abs(one.new - one.now) >= one.least]
    moved = [one for one in moved if given is None or one.field in given]
    moved.sort(key=lambda one: -abs(one.new - one.now) / one.least)
    if not picked and ((not moved and style is None) or (stay and not broken)):
        return Decision("stay", (Said("stay"),), ())
    said = ((style,) if style else ()) + tuple(one.said for one in moved)
    code = "style" if style else moved[0].key if moved else ""
    return Decision(code, said, tuple(Said("present_breaks", {"why": one.reason}) for one in broken[:1]))


def of_feet(heels_m: tuple[float, float], turns_deg: tuple[float, float]) -> tuple[Change, Change]:
    """Heels apart and turn-out, each present and new."""
    return (
        Change("stance", "current_heels", *heels_m, LEAST_CHANGE_M),
        Change("turn", "current_turn_out", *turns_deg, LEAST_TURN_DEG),
    )


def broken_now(now: Sequence[Limit], new: Sequence[Limit]) -> list[Limit]:
    """Limits that the present setup breaks and the new one does not."""
    still = {one.name for one in new if one.broken}
    return [one for one in now if one.broken and one.name not in still]
