"""What is said: codes and SI values below, a language and a unit at the door.

Everything below the doors tells its sentences and labels as ``Said``: a code of the catalogue and what stands
in it. A door (``view``, the command line) has a ``Voice``, a language and a unit, and says all of an answer
with it. Nothing else knows a language: it is handed to the door, and kept nowhere.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from shortlever.say.english import ENGLISH
from shortlever.say.language import Language, Length, Mass, Number, Row, Word

__all__ = ["ENGLISH", "PLAIN", "InUnit", "Language", "Made", "Said", "Sayable", "Text", "Voice", "in_row"]


class Sayable:
    """What a voice can say."""

    def in_voice(self, voice: Voice) -> Any:
        """It, as this voice says it."""
        raise NotImplementedError


@dataclass(frozen=True)
class Said(Sayable):
    """A text of the catalogue by its code, and what stands in it, in SI.

    Names tell kinds: lengths end in _m, masses in _kg, ``count`` picks the plural. A value may be a number, a
    text, another ``Said``, or several of them in a row. As a text it is in English and in cm.

    >>> far = Said("setup_in_words", {"grip_m": 0.9144, "touch_m": 0.127})
    >>> str(far), far.in_unit("in")
    ('grip 91.4 cm, touch 12.7 cm from the shoulders', 'grip 36 in, touch 5 in from the shoulders')
    """

    code: str
    values: Mapping[str, Any] = field(default_factory=dict)

    def in_voice(self, voice: Voice) -> str:
        """The text."""
        shown = {name: voice.value(name, value) for name, value in self.values.items()}
        return voice.language.text(self.code, self.values.get("count", 0)).format(**shown)

    def in_unit(self, unit: str) -> str:
        """The text in English, with its lengths in cm or in."""
        return self.in_voice(Voice(unit=unit))

    def __str__(self) -> str:
        return self.in_voice(PLAIN)

    def __hash__(self) -> int:
        return hash(self.code)


Text = str | Said  # what a person typed or a plain sign, or a text of the catalogue


def in_row(texts: Sequence[Text], by: str = "space") -> Said:
    """Several texts as one, parted as the catalogue's "join_…" says: "space", "comma", "line", …

    >>> str(in_row(["6.2", Said("grip_beyond_reach", {"grip_m": 1})]))
    '6.2 A grip of 100.0 cm is wider than the arms can reach.'
    """
    return Said(f"row_by_{by}", {"all": tuple(texts)})


@dataclass(frozen=True)
class InUnit(Sayable):
    """A part of an answer that is said in a unit of its own, cm or in."""

    unit: str
    part: Any

    def in_voice(self, voice: Voice) -> Any:
        """The part, said."""
        return Voice(voice.language, self.unit).all(self.part)


@dataclass(frozen=True)
class Made(Sayable):
    """What only a voice can make, such as the text of a sheet."""

    make: Callable[[Voice], Any]

    def in_voice(self, voice: Voice) -> Any:
        """It, made."""
        return self.make(voice)


@dataclass(frozen=True)
class Voice:
    """A language and a unit, "cm" or "in": how a door says things."""

    language: Language = ENGLISH
    unit: str = "cm"

    def all(self, value: Any) -> Any:
        """A value as it travels: everything in it that can be said is."""
        if isinstance(value, Sayable):
            return value.in_voice(self)
        if isinstance(value, dict):
            return {name: self.all(one) for name, one in value.items()}
        if isinstance(value, list | tuple):
            return [self.all(one) for one in value]
        return value

    def say(self, text: Text) -> str:
        """One text."""
        return text if isinstance(text, str) else text.in_voice(self)

    def value(self, name: str, value: Any) -> Any:
        """What stands in a sentence under a name, ready to be written."""
        if isinstance(value, tuple | list):
            return self._owned(Row, [self.say(one) for one in value])
        if isinstance(value, str | Said):
            return self._owned(Word, self.say(value))
        if name.endswith("_m"):
            return self._owned(Length, value)
        return self._owned(Mass if name.endswith("_kg") else Number, value) if type(value) is float else value

    def _owned(self, kind: Callable[[Any], Any], value: Any) -> Any:
        made = kind(value)
        made.language, made.unit = (
            self.language,
            {"in": "lb"}.get(self.unit, "kg") if kind is Mass else self.unit,
        )
        return made


PLAIN = Voice()
