"""What a lift's form and its setup are made of: numbers, choices, parts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from shortlever.person.measure import Measure
from shortlever.person.tape import SEXES
from shortlever.say import Said, Text


@dataclass(frozen=True)
class Field:
    """A number of the form: what is measured, in which group it stands, and whether it is needed."""

    measure: Measure
    group: str
    required: bool = False

    @property
    def key(self) -> str:
        """The measure's key."""
        return self.measure.key


@dataclass(frozen=True)
class Choice:
    """A choice of the form: its options (value: label), and the value where none is made.

    ``letter``: its key in a link, for ever. ``names``: what a sheet's column may call it; ``means``: what a
    cell may say besides the values (words: value); ``heading``: its label in a sheet, where it is another.
    """

    key: str
    label: Text
    options: Mapping[str, Text]
    default: str
    letter: str
    names: str
    means: Mapping[str, str] = field(default_factory=dict)
    heading: Text = ""


SEX = Choice(
    "sex",
    Said("sex"),
    {"": Said("sex_both"), "male": Said("sex_men"), "female": Said("sex_women")},
    "",
    "x",
    "sex|gender|body tables|m f|f m",
    {
        "m": "male",
        "man": "male",
        "men": "male",
        "boy": "male",
        "f": "female",
        "w": "female",
        "woman": "female",
        "women": "female",
        "girl": "female",
        "both": "",
        "x": "",
        "other": "",
    },
    Said("sheet_sex"),
)
assert set(SEX.options) == {"", *SEXES}


@dataclass(frozen=True)
class Part:
    """A number of a setup as requests hold it (``key``; m, or ° where its key says so) and as links do
    (``letter``; ``scale`` of it to ``places``: mm of lengths)."""

    key: str
    letter: str
    places: int
    scale: float = 1000.0
