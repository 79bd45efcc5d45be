"""One kind of error for everything a person can get wrong, and one for bodies that no setup fits."""

from __future__ import annotations

from collections.abc import Mapping

from shortlever.say import PLAIN, Said, Text, Voice

Told = Mapping[str, Text]  # an error as an object of an answer


class InputError(ValueError):
    """A value a person gave that cannot be used.

    ``code`` is for programs and tests. What it says is English as an attribute, with lengths in ``unit``;
    ``told`` gives it as a door says it.
    """

    def __init__(
        self, field: Text, code: str, given: Text, message: Text, remedy: Text, unit: str = "cm"
    ) -> None:
        super().__init__(code)
        self.code = code
        self._said = {"field": field, "given": given, "message": message, "remedy": remedy}
        self._voice = Voice(unit=unit)

    @property
    def field(self) -> str:
        """What was asked for."""
        return self._voice.say(self._said["field"])

    @property
    def given(self) -> str:
        """What was typed."""
        return self._voice.say(self._said["given"])

    @property
    def message(self) -> str:
        """What is wrong with it, and what is allowed."""
        return self._voice.say(self._said["message"])

    @property
    def remedy(self) -> str:
        """What to do."""
        return self._voice.say(self._said["remedy"])

    def __str__(self) -> str:
        return f"{self.message} {self.remedy}"

    def told(self) -> Told:
        """The error as an object of an answer, for a voice to say."""
        return {"field": self._said["field"], "code": self.code, **self._said}

    def plain(self, unit: str = "cm") -> dict[str, str]:
        """The error as an object that can travel as JSON, in English, its lengths in cm or in."""
        said: dict[str, str] = Voice(unit=unit).all(self.told())
        return said


class InfeasibleError(ValueError):
    """No setup exists inside the limits; ``said`` says which limit and for whom, ``reason`` is that in cm."""

    def __init__(self, said: Said) -> None:
        super().__init__(said.code)
        self.said = said

    @property
    def reason(self) -> str:
        """Why, in English and in cm."""
        return PLAIN.say(self.said)

    def __str__(self) -> str:
        return self.reason


class LiftAway(LookupError):
    """A lift whose modules are not here yet: a browser fetches them, then asks again."""
