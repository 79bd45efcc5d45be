"""Lines of the command line that are alike of every lift from the legs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, TypeVar

from shortlever.lifts.interval import Interval
from shortlever.lifts.legs.advice import Gain, Suggestion
from shortlever.lifts.legs.measure import Assessment
from shortlever.lifts.legs.words import LegWords
from shortlever.lifts.shown import breaks, notes
from shortlever.person.tape import Tape
from shortlever.say import Said, Text, in_row

A = TypeVar("A", bound=Assessment)
G = TypeVar("G", bound=Gain)


def length_within(value_m: float, ends: Interval) -> dict[str, float]:
    """A length and its interval, as sentences take them."""
    return {"x_m": value_m, "low_m": max(ends.low, 0.0), "high_m": ends.high}


def angle_within(name: str, value_deg: float, ends: Interval) -> dict[str, float]:
    """An angle and its interval, as sentences take them."""
    return {name: value_deg, "low": max(ends.low, 0.0), "high": ends.high}


def further_lines(
    words: LegWords[A, G],
    advice: Suggestion[Any, A, G],
    marks: Sequence[dict[str, Text]],
    why: Sequence[Text],
) -> list[Text]:
    """How to find a suggestion, why it is there, and what is nearly free."""
    return [
        *(Said("squat_lines_mark", {"label": one["label"], "text": one["text"]}) for one in marks),
        *(Said("because", {"why": one}) for one in why),
        *(Said("squat_lines_free", {"text": one["text"]}) for one in words.bands(advice)),
    ]


def last_lines(words: LegWords[A, G], advice: Suggestion[Any, A, G], *covers: Text) -> list[Text]:
    """What a suggestion changes, what to measure next, and what its intervals cover."""
    lines: list[Text] = []
    if advice.gain and advice.current:
        gained = words.gain(advice.measures, advice.current, advice.gain)
        lines.append(in_row([gained["decision"], gained["text"]]))
    if advice.doubt and advice.doubt.next_measurement:
        further = advice.doubt.next_measurement
        lines.append(Said("lines_next", {"label": further.label, "how": further.how}))
    return [*lines, Said("squat_lines_brackets", {"text": in_row(covers)})]


def measured_lines(lines: Sequence[Text], got: Assessment, tape: Tape) -> tuple[Text, dict[str, object]]:
    """The answer to ``assess``: lines of its numbers, the limits it breaks and what is odd of the tape, and
    the same as data."""
    warnings = [said for _, _, said in tape.warnings()]
    return in_row([*lines, *breaks(got.limits), *notes(tape)], "line"), {**got.told(), "warnings": warnings}
