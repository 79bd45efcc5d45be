"""What the screens, sheets and command lines of all lifts are made of: numbers with their labels, warnings,
intervals in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from shortlever.lifts.interval import Spread
from shortlever.lifts.lift import Doubt
from shortlever.lifts.limit import Limit
from shortlever.person.tape import Tape
from shortlever.say import Said, Text
from shortlever.units import DEGREE


def length(value_m: float) -> Said:
    """A length with its unit."""
    return Said("length", {"x_m": value_m})


def degrees(value: float) -> Said:
    """An angle in whole degrees."""
    return Said("degrees", {"x_deg": value})


def change(ratio: float) -> Said:
    """How much shorter or longer."""
    share = round(100 * abs(ratio - 1))
    how = "unchanged" if not share else "shorter" if ratio < 1 else "longer"
    return Said(f"change_{how}", {"share": share})


def length_number(key: str, label: Said, value_m: float, unit: str) -> dict[str, Text]:
    """A length of the screen's headline or measures."""
    return {"key": key, "label": label, "value": Said("length_bare", {"x_m": value_m}), "unit": unit}


def angle_number(key: str, label: Said, value_deg: float) -> dict[str, Text]:
    """An angle of the screen's headline or measures."""
    return {"key": key, "label": label, "value": Said("whole_number", {"x": value_deg}), "unit": DEGREE}


def odd_of(tape: Tape) -> list[dict[str, Any]]:
    """Warnings of what is odd of the tape."""
    return [{"code": code, "field": field, "message": said} for field, code, said in tape.warnings()]


def broken_of(limits: Iterable[Limit], out_of_reach: Text, present: str) -> list[dict[str, Any]]:
    """Warnings of limits that a setup breaks, and of a present setup ``out_of_reach``, which the number
    ``present`` of the form tells."""
    found: list[dict[str, Any]] = [
        {"code": f"limit_{one.name}", "field": None, "message": one.reason} for one in limits if one.broken
    ]
    if out_of_reach:
        found.append({"code": "present_out_of_reach", "field": present, "message": out_of_reach})
    return found


def told_apart(candidates: Iterable[dict[str, object]]) -> list[dict[str, object]]:
    """Candidates of a trial without those that are called as one before them."""
    found: list[dict[str, object]] = []
    for candidate in candidates:
        if candidate["label"] not in [other["label"] for other in found]:
            found.append(candidate)
    return found


def doubt_in_words(
    found: Spread, lengths: Mapping[str, str], angles: Mapping[str, str], covers: Text, off: Text
) -> Doubt:
    """The 90 % intervals as texts, and the tape number worth taking next; ``lengths`` and ``angles``: the
    interval's name by the key of the screen's number."""
    texts: dict[str, Text] = {}
    for key, name in lengths.items():
        one = found.intervals[name]
        texts[key] = Said("between_lengths", {"low_m": max(one.low, 0.0), "high_m": one.high})
    for key, name in angles.items():
        one = found.intervals[name]
        texts[key] = Said("between_degrees", {"low": max(one.low, 0.0), "high": one.high})
    further, next_one = found.next_measurement, None
    if further:
        said = Said("next_measure", {"label": further.label, "how": further.how})
        next_one = (further.key, said, further.narrows)
    return Doubt(texts, covers, off, next_one)


def notes(tape: Tape) -> list[Text]:
    """What is odd of the tape, as lines of the command line."""
    return [Said("note", {"text": said}) for _, _, said in tape.warnings()]


def breaks(limits: Iterable[Limit]) -> list[Text]:
    """What limits a setup breaks, as lines of the command line."""
    return [Said("breaks_a_limit", {"why": one.reason}) for one in limits if not one.ok]
