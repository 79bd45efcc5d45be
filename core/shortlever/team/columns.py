"""Which column of a team sheet holds what: header names matched generously, with their units.

What a header could mean twice, or what nothing is known about, is told and never guessed.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from shortlever.lifts import AnyLift
from shortlever.person.measure import Measure
from shortlever.person.tape import MEASURES
from shortlever.person.together import SIDE_KEYS
from shortlever.say import Said, Text

UNIT_WORDS = {
    "cm": "cm centimetre centimetres centimeter centimeters",
    "mm": "mm millimetre millimetres millimeter millimeters",
    "m": "m metre metres meter meters",
    "in": 'in inch inches " ″ ”',
    "ft": "ft foot feet ' ′ ’",
    "kg": "kg kgs kilo kilos kilogram kilograms",
    "lb": "lb lbs pound pounds",
    "st": "st stone stones",
    "°": "° deg degree degrees",
}
UNITS = {word: unit for unit, words in UNIT_WORDS.items() for word in words.split()}
KINDS = {"kg": "mass", "lb": "mass", "st": "mass", "°": "angle"}  # of units that are no length
FILLERS = frozenset(
    [
        "the",
        "of",
        "my",
        "your",
        "a",
        "an",
        "at",
        "to",
        "measured",
        "measurement",
        "tape",
        "number",
        "value",
        "s",
    ]
)

# Columns of any sheet, by every name they may go by, words in any order and without fillers.
OF_ANY = {
    "name": (Said("sheet_name"), "name|lifter|athlete|who|lifter name|athlete name|full name|member"),
    "first_name": (Said("sheet_first_name"), "first name|given name|forename"),
    "last_name": (Said("sheet_last_name"), "last name|surname|family name"),
    "unit": (Said("sheet_unit"), "unit|units|length unit"),
    "preference": (Said("sheet_preference"), "preference|dial"),
}
SHEET_ONLY = ("thumb_length",)  # tape numbers that no form asks for
OWN = "setup:"  # what the sheet that goes out adds; replaced when it comes back in


@dataclass(frozen=True)
class Headers:
    """What the columns of one lift's sheet may be: labels by key, in the order of a list to choose from;
    measures by key; keys by the words of a header, and where those could mean several; words that look like
    a tape number."""

    labels: Mapping[str, Text]
    measures: Mapping[str, Measure]
    by_words: Mapping[tuple[str, ...], str]
    unclear: Mapping[tuple[str, ...], tuple[str, ...]]
    looks_ours: frozenset[str]

    def measure(self, key: str) -> Measure | None:
        """The measure behind a column, None for one that holds words."""
        return self.measures.get(key.rpartition(".")[2])

    def fits(self, key: str, unit: str) -> bool:
        """Whether a unit is of the kind of a column."""
        m = self.measure(key)
        return m is not None and m.kind == KINDS.get(unit, "length")


def _key_of(words: Sequence[str]) -> tuple[str, ...]:
    return tuple(sorted(words))


@cache
def headers_of(lift: AnyLift) -> Headers:
    """The headers that a sheet of this lift may have."""
    of_lift = {one.key: one.measure for one in lift.fields}
    taped = {key: m for key, m in MEASURES.items() if key in of_lift or key in SHEET_ONLY}
    measures = taped | of_lift
    sides = {
        f"{side}.{key}": Said(f"sheet_side_{side}", {"label": MEASURES[key].label})
        for side in ("left", "right")
        for key in SIDE_KEYS
        if key in of_lift
    }
    names = {key: said for key, (_, said) in OF_ANY.items()}
    names |= {key: m.names for key, m in measures.items()} | {one.key: one.names for one in lift.choices}
    every = [(name, key) for key, said in names.items() for name in said.split("|")]
    return Headers(
        labels={key: label for key, (label, _) in OF_ANY.items()}
        | {key: m.label for key, m in measures.items()}
        | {one.key: one.heading or one.label for one in lift.choices}
        | sides,
        measures=measures,
        by_words={_key_of(name.split()): key for name, key in every}
        | {("".join(name.split()),): key for name, key in every if " " in name},
        unclear={_key_of(name.split()): keys for name, keys in lift.unclear.items()},
        looks_ours=lift.looks_ours,
    )


@dataclass(frozen=True)
class Column:
    """One column: its header, what it is read as (``key``, "" for nothing), its unit, what there is to say.

    ``state``: "used", "carried" (unknown: goes through unchanged), "unclear" (could be several things),
    "twice" (another column reads as the same), "replaced" (an earlier result of ours). ``unit``: "" where
    none stands in the header.
    """

    header: str
    key: str = ""
    unit: str = ""
    state: str = "carried"
    message: Text = ""
    options: tuple[str, ...] = ()


def split_header(header: str) -> tuple[list[str], str]:
    """The words of a header and its unit.

    >>> split_header("Arm length (cm)"), split_header("arm_length_in"), split_header("Body mass lb")
    ((['arm', 'length'], 'cm'), (['arm', 'length'], 'in'), (['body', 'mass'], 'lb'))
    """
    text = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", unicodedata.normalize("NFKC", header))
    tokens = re.findall(r"[^\W_]+|[\"'″′”’°]", text.casefold())
    unit = ""
    if len(tokens) > 1 and tokens[-1] in UNITS:
        unit = UNITS[tokens.pop()]
        if unit != "in" and len(tokens) > 1 and tokens[-1] == "in":
            tokens.pop()  # “arm length in cm”
    else:
        for inside in re.findall(r"[(\[{]\s*([^)\]}]*?)\s*[)\]}]", text.casefold()):
            if inside in UNITS:  # “Arm (cm) left”
                unit = UNITS[inside]
                tokens.remove(inside)
    words = [t for t in tokens if t not in FILLERS and re.match(r"\w", t)]
    return words, unit


def match(header: str, headers: Headers) -> Column:
    """What one header means by itself.

    >>> from shortlever.lifts import LIFTS, UNNAMED
    >>> of = headers_of(LIFTS[UNNAMED])
    >>> match("Shoulder breadth [mm]", of).key, match("L arm length (cm)", of).key, match("Chest", of).options
    ('shoulder_breadth', 'left.arm_length', ('chest_flat', 'chest_arched'))
    """
    if header.strip().casefold().startswith(OWN):
        return Column(header, state="replaced", message=Said("column_replaced"))
    words, unit = split_header(header)
    key = headers.by_words.get(_key_of(words), "") or _side_key(words, headers)
    if not key:
        return _unknown(header, words, headers)
    m = headers.measure(key)
    if unit and not headers.fits(key, unit):
        kind = Said(f"column_kind_{'words' if m is None else m.kind}")
        named: dict[str, Text] = {
            "header": short(header),
            "label": headers.labels[key],
            "kind": kind,
            "unit": unit,
        }
        said = Said("column_wrong_unit", named)
        return Column(header, state="unclear", message=said, options=(key,))
    return Column(header, key, unit, "used")


def _side_key(words: Sequence[str], headers: Headers) -> str:
    for side, names in (("left", ("left", "l")), ("right", ("right", "r"))):
        rest = [word for word in words if word not in names]
        key = f"{side}.{headers.by_words.get(_key_of(rest), '')}"
        if len(rest) == len(words) - 1 and key in headers.labels:
            return key
    return ""


def _unknown(header: str, words: Sequence[str], headers: Headers) -> Column:
    options = headers.unclear.get(_key_of(words), ())
    if options:
        could = [headers.labels[key] for key in options]
        said = Said("column_unclear", {"header": short(header), "options": could})
        return Column(header, state="unclear", message=said, options=options)
    if headers.looks_ours & set(words):
        return Column(header, message=Said("column_unknown", {"header": short(header)}))
    return Column(header)


def read_header(
    cells: Sequence[str], headers: Headers, assign: Mapping[str, str] | None = None
) -> list[Column]:
    """The columns of a header row. ``assign``: what a header means, by its text: a key, or "" for nothing."""
    columns = []
    for i, header in enumerate(cells):
        column = match(header, headers)
        if assign and header in assign and (assign[header] == "" or assign[header] in headers.labels):
            key = assign[header]
            unit = split_header(header)[1]
            column = Column(
                header,
                key,
                unit if headers.fits(key, unit) else "",
                "used" if key else "carried",
                options=column.options,
            )
        elif not header.strip():
            column = Column(header, message=Said("column_without_name", {"number": i + 1}))
        columns.append(column)
    for key in {c.key for c in columns if c.key}:
        same = [i for i, c in enumerate(columns) if c.key == key]
        if len(same) > 1:
            named = [Said("quoted", {"text": short(columns[i].header)}) for i in same]
            said = Said("column_twice", {"headers": named, "label": headers.labels[key]})
            for i in same:
                columns[i] = Column(columns[i].header, state="twice", message=said, options=(key,))
    return columns


def used(columns: Sequence[Column]) -> int:
    """How many columns are read; a header is found by it."""
    return sum(1 for c in columns if c.state in ("used", "twice", "unclear"))


def short(text: str) -> str:
    """A header on one line, cut where it is long."""
    text = " ".join(text.split())
    return text if len(text) <= 40 else text[:38] + "…"
