"""One kind of error for everything a person can get wrong."""

from __future__ import annotations


class InputError(ValueError):
    """A value a person gave that cannot be used.

    ``field`` names what was asked for, ``given`` repeats what was typed, ``message`` says what is wrong
    with it and what is allowed, ``remedy`` says what to do. ``code`` is for programs and tests.
    """

    def __init__(self, field: str, code: str, given: str, message: str, remedy: str) -> None:
        super().__init__(f"{message} {remedy}")
        self.field = field
        self.code = code
        self.given = given
        self.message = message
        self.remedy = remedy

    def plain(self) -> dict[str, str]:
        """The error as an object that can travel as JSON."""
        return {
            "field": self.field,
            "code": self.code,
            "given": self.given,
            "message": self.message,
            "remedy": self.remedy,
        }


class InfeasibleError(ValueError):
    """No setup exists inside the limits; ``reason`` says which limit and for whom."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason
