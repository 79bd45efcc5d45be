"""One kind of error for everything a person can get wrong, and one for bodies that no setup fits."""

from __future__ import annotations

from shortlever.say import Said


class InputError(ValueError):
    """A value a person gave that cannot be used.

    ``field`` names what was asked for, ``given`` repeats what was typed, ``message`` says what is wrong
    with it and what is allowed, ``remedy`` says what to do. ``code`` is for programs and tests. What holds
    lengths is given as ``Said``; as attributes message and remedy are in cm.
    """

    def __init__(self, field: str, code: str, given: str, message: str | Said, remedy: str | Said) -> None:
        super().__init__(f"{message} {remedy}")
        self.field = field
        self.code = code
        self.given = given
        self.message = str(message)
        self.remedy = str(remedy)
        self._said = message, remedy

    def plain(self, unit: str = "cm") -> dict[str, str]:
        """The error as an object that can travel as JSON, its lengths in cm or in."""
        message, remedy = (one.in_unit(unit) if isinstance(one, Said) else one for one in self._said)
        return {
            "field": self.field,
            "code": self.code,
            "given": self.given,
            "message": message,
            "remedy": remedy,
        }


class InfeasibleError(ValueError):
    """No setup exists inside the limits; ``said`` says which limit and for whom, ``reason`` is that in cm."""

    def __init__(self, said: Said) -> None:
        super().__init__(str(said))
        self.said = said
        self.reason = str(said)
