"""Which column of a team sheet holds what: header names matched generously, with their units.

What a header could mean twice, or what nothing is known about, is told and never guessed.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shortlever.fitting.request import CHOICES, EXTRA
from shortlever.person.tape import MEASURES, SIDE_KEYS, Measure

UNIT_WORDS = {
    "cm": "cm centimetre centimetres centimeter centimeters",
    "mm": "mm millimetre millimetres millimeter millimeters",
    "m": "m metre metres meter meters",
    "in": 'in inch inches " ″ ”',
    "ft": "ft foot feet ' ′ ’",
    "kg": "kg kgs kilo kilos kilogram kilograms",
    "lb": "lb lbs pound pounds",
    "st": "st stone stones",
}
UNITS = {word: unit for unit, words in UNIT_WORDS.items() for word in words.split()}
MASSES = ("kg", "lb", "st")
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

# Every name a column may go by, words in any order and without fillers.
NAMES: dict[str, str] = {
    "name": "name|lifter|athlete|who|lifter name|athlete name|full name|member",
    "first_name": "first name|given name|forename",
    "last_name": "last name|surname|family name",
    "unit": "unit|units|length unit",
    "arm_length": "arm length|arm|arms|whole arm|full arm|whole arm length|acromion grip|shoulder grip|"
    "shoulder fist",
    "shoulder_breadth": "shoulder breadth|shoulder width|shoulders width|shoulders breadth|biacromial|"
    "biacromial breadth|biacromial width|shoulder shoulder|bi acromial|bi acromial breadth",
    "upper_arm": "upper arm|upper arm length|humerus|humerus length|shoulder elbow",
    "forearm_to_grip": "forearm grip|forearm|forearm length|lower arm|lower arm length|elbow grip|elbow fist",
    "stature": "height|stature|body height|standing height",
    "span": "span|arm span|wing span|fingertip fingertip",
    "body_mass": "body mass|body weight|weight|mass|bw|bodymass",
    "chest_flat": "chest flat|chest height flat|flat chest lying|chest lying flat|chest depth",
    "chest_arched": "chest arched|chest height arched|chest height arch|chest arch|chest arch height",
    "shoulder_height": "shoulder height|shoulder height above pad|shoulder pad|shoulder above pad",
    "joint_width": "shoulder joints|joint width|shoulder joint width|joints",
    "hand_breadth": "hand breadth|hand width|palm width|palm breadth",
    "thumb_length": "thumb length|thumb",
    "sex": "sex|gender|body tables|m f|f m",
    "rules": "rules|rulebook|rule book",
    "bar": "bar|bar type|ring marks|rings|bar rings",
    "comfort": "comfort|shoulder comfort|comfort setting|shoulder setting",
    "bench_height": "bench height|pad height|bench",
    "current_grip": "current grip|present grip|grip|grip width|current grip width|present grip width|"
    "grip now",
    "current_touch": "current touch|present touch|touch|touch point|current touch point|present touch point|"
    "touch now",
    "preference": "preference|dial",
}
UNCLEAR: dict[str, tuple[str, ...]] = {
    "shoulder": ("shoulder_breadth", "shoulder_height", "joint_width", "comfort"),
    "shoulders": ("shoulder_breadth", "shoulder_height", "joint_width", "comfort"),
    "chest": ("chest_flat", "chest_arched"),
    "chest height": ("chest_flat", "chest_arched"),
    "breastbone height": ("chest_flat", "chest_arched"),
    "reach": ("arm_length", "span"),
    "hand": ("hand_breadth", "thumb_length"),
    "hand size": ("hand_breadth", "thumb_length"),
    "arm height": ("arm_length", "shoulder_height"),
}
WORDS_OF_OURS = frozenset(
    [
        "arm",
        "arms",
        "shoulder",
        "shoulders",
        "chest",
        "grip",
        "touch",
        "forearm",
        "hand",
        "thumb",
        "span",
        "bench",
    ]
)
OWN = "setup:"  # what the sheet that goes out adds; replaced when it comes back in


def _key_of(words: Sequence[str]) -> tuple[str, ...]:
    return tuple(sorted(words))


_BY_WORDS = {_key_of(n.split()): key for key, names in NAMES.items() for n in names.split("|")}
_BY_WORDS |= {
    ("".join(n.split()),): key for key, names in NAMES.items() for n in names.split("|") if " " in n
}
_UNCLEAR = {_key_of(n.split()): keys for n, keys in UNCLEAR.items()}

LABELS = {
    "name": "Name",
    "first_name": "First name",
    "last_name": "Last name",
    "unit": "Unit",
    "preference": "Preference",
    **{key: m.label for key, m in (MEASURES | EXTRA).items()},
    **{key: label for key, (label, _, _) in CHOICES.items()},
    "sex": "Sex",
    "comfort": "Comfort setting",
    **{f"{side}.{key}": f"{MEASURES[key].label}, {side}" for side in ("left", "right") for key in SIDE_KEYS},
}
REQUIRED = ("arm_length", "shoulder_breadth")


def measure(key: str) -> Measure | None:
    """The measure behind a column, None for one that holds words."""
    key = key.rpartition(".")[2]
    return EXTRA.get(key) or MEASURES.get(key)


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
    message: str = ""
    options: tuple[str, ...] = ()


def split_header(header: str) -> tuple[list[str], str]:
    """The words of a header and its unit.

    >>> split_header("Arm length (cm)"), split_header("arm_length_in"), split_header("Body mass lb")
    ((['arm', 'length'], 'cm'), (['arm', 'length'], 'in'), (['body', 'mass'], 'lb'))
    """
    text = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", unicodedata.normalize("NFKC", header))
    tokens = re.findall(r"[^\W_]+|[\"'″′”’]", text.casefold())
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


def match(header: str) -> Column:
    """What one header means by itself.

    >>> match("Shoulder breadth [mm]").key, match("L arm length (cm)").key, match("Chest").options
    ('shoulder_breadth', 'left.arm_length', ('chest_flat', 'chest_arched'))
    """
    if header.strip().casefold().startswith(OWN):
        return Column(header, state="replaced", message="An earlier result; new ones take its place.")
    words, unit = split_header(header)
    key = _BY_WORDS.get(_key_of(words), "")
    if not key:
        key = _side_key(words)
    if not key:
        return _unknown(header, words)
    m = measure(key)
    if unit and (m is None or (m.kind == "mass") != (unit in MASSES)):
        kind = "words" if m is None else "a mass" if m.kind == "mass" else "a length"
        said = f"“{short(header)}” reads as {LABELS[key]}, {kind}, but its unit is {unit}; it is not used."
        return Column(header, state="unclear", message=said, options=(key,))
    return Column(header, key, unit, "used")


def _side_key(words: Sequence[str]) -> str:
    for side, names in (("left", ("left", "l")), ("right", ("right", "r"))):
        rest = [word for word in words if word not in names]
        key = _BY_WORDS.get(_key_of(rest), "")
        if len(rest) == len(words) - 1 and key in SIDE_KEYS:
            return f"{side}.{key}"
    return ""


def _unknown(header: str, words: Sequence[str]) -> Column:
    options = _UNCLEAR.get(_key_of(words), ())
    if options:
        could = " or ".join(LABELS[key] for key in options)
        said = f"“{short(header)}” could be {could}; it is not used. Name it in full."
        return Column(header, state="unclear", message=said, options=options)
    if WORDS_OF_OURS & set(words):
        said = f"“{short(header)}” is no tape number known here; it goes through unchanged."
        return Column(header, message=said)
    return Column(header)


def read_header(cells: Sequence[str], assign: Mapping[str, str] | None = None) -> list[Column]:
    """The columns of a header row. ``assign``: what a header means, by its text: a key, or "" for nothing."""
    columns = []
    for i, header in enumerate(cells):
        column = match(header)
        if assign and header in assign and (assign[header] == "" or assign[header] in LABELS):
            key = assign[header]
            unit = split_header(header)[1]
            m = measure(key)
            fits = m is not None and (m.kind == "mass") == (unit in MASSES)
            column = Column(
                header, key, unit if fits else "", "used" if key else "carried", options=column.options
            )
        elif not header.strip():
            column = Column(header, message=f"Column {i + 1} has no name; it goes through unchanged.")
        columns.append(column)
    for key in {c.key for c in columns if c.key}:
        same = [i for i, c in enumerate(columns) if c.key == key]
        if len(same) > 1:
            named = " and ".join(f"“{short(columns[i].header)}”" for i in same)
            for i in same:
                said = f"{named} both read as {LABELS[key]}; neither is used. Rename one."
                columns[i] = Column(columns[i].header, state="twice", message=said, options=(key,))
    return columns


def used(columns: Sequence[Column]) -> int:
    """How many columns are read; a header is found by it."""
    return sum(1 for c in columns if c.state in ("used", "twice", "unclear"))


def short(text: str) -> str:
    """A header on one line, cut where it is long."""
    text = " ".join(text.split())
    return text if len(text) <= 40 else text[:38] + "…"
