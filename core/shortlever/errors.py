"""One kind of error for everything a person can get wrong, and one for bodies that no setup fits."""

from __future__ import annotations

from collections.abc import Mapping

from shortlever.say import PLAIN, Said, Text, Voice

Told = Mapping[str, Text]  # an error as an object of an answer


class InputError(ValueError):
    """A value a person gave that cannot be used.

    ``field`` names what was asked for, ``given`` repeats what was typed, ``message`` says what is wrong
    with it and what is allowed, ``remedy`` says what to do. ``code`` is for programs and tests. As attributes
    these are texts in English, in ``unit``; ``told`` gives them as a door says them.
    """

    def __init__(
        self, field: str, code: str, given: Text, message: Text, remedy: Text, unit: str = "cm"
    ) -> None:
        self.field = field
        self.code = code
        self._said = {"given": given, "message": message, "remedy": remedy}
        self.given, self.message, self.remedy = map(Voice(unit=unit).say, self._said.values())
        super().__init__(f"{self.message} {self.remedy}")

    def told(self) -> Told:
        """The error as an object of an answer, for a voice to say."""
        return {"field": self.field, "code": self.code, **self._said}

    def plain(self, unit: str = "cm") -> dict[str, str]:
        """The error as an object that can travel as JSON, in English, its lengths in cm or in."""
        said: dict[str, str] = Voice(unit=unit).all(self.told())
        return said


class InfeasibleError(ValueError):
    """No setup exists inside the limits; ``said`` says which limit and for whom, ``reason`` is that in cm."""

    def __init__(self, said: Said) -> None:
        super().__init__(PLAIN.say(said))
        self.said = said

    @property
    def reason(self) -> str:
        """Why, in English and in cm."""
        return PLAIN.say(self.said)
