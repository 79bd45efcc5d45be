"""What screens and sheets show alike of every lift from the legs."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeVar

from shortlever.lifts.form import Part
from shortlever.lifts.legs.advice import Gain
from shortlever.lifts.legs.measure import Assessment
from shortlever.lifts.legs.words import LegWords, marks_of_feet
from shortlever.lifts.lift import Fit, Result
from shortlever.lifts.shown import broken_of, length, odd_of
from shortlever.say import Said, Text, in_row
from shortlever.units import show_length

C = TypeVar("C")
A = TypeVar("A", bound=Assessment)
G = TypeVar("G", bound=Gain)

FEET = (
    Result("heels", Said("squat_result_heels"), True, Said("squat_mark_heels")),
    Result("turn_out", Said("squat_result_turn_out"), brief=Said("squat_brief_turn_out")),
)
LEAN = Result("trunk_lean", Said("squat_result_trunk_lean"))
STROKE = Result("stroke", Said("squat_result_stroke"), True)
TOES = Result("toes", Said("squat_result_toes"))
IN_WORDS = (
    Result("gain", Said("result_gain")),
    Result("why", Said("result_why")),
    Result("notes", Said("result_notes")),
)


def gained(
    fit: Fit[C, Any, Any], words: LegWords[A, G], gain_of: Callable[[C, A, A], G]
) -> dict[str, Any] | None:
    """What is shown against the present setup; None where there is none."""
    if fit.now is None:
        return None
    got, now = fit.shown.got, fit.now.got
    return words.gain(got, now, gain_of(fit.case, got, now), fit.reading.given, fit.picked)


def warnings(fit: Fit[Any, Any, Any]) -> list[dict[str, Any]]:
    """What is odd of the tape, and what the setup breaks."""
    assert fit.reading.tape is not None
    return odd_of(fit.reading.tape) + broken_of(fit.shown.got.limits, fit.out_of_reach, "current_heels")


def figure(
    words: LegWords[A, G], got: A, views: Sequence[dict[str, object]], title: Text, text: Text, table: Any
) -> dict[str, Any]:
    """The figure's part of the screen; ``table``: name and value of every number."""
    return {
        "svg": views[0]["svg"],
        "title": title,
        "text": text,
        "table": table,
        "views": views,
        "beats": "",
        "rows": words.rows(got),
        "row_arms": [length(row.hip_arm_m) for row in got.path],
    }


def cells(fit: Fit[Any, Any, Any], words: LegWords[A, G], gain: Mapping[str, Any] | None) -> dict[str, Text]:
    """Cells of a sheet by their keys, numbers with a point: those of FEET, LEAN, STROKE, TOES and IN_WORDS,
    and the back's arm."""
    got, unit = fit.shown.got, words.unit
    return {
        "heels": show_length(words.set_m(got.marks.heels_m), unit),
        "turn_out": f"{got.turn_out_deg:.0f}",
        "trunk_lean": f"{got.trunk_lean_deg:.0f}",
        "back_arm": show_length(got.back_arm_m, unit),
        "stroke": show_length(got.stroke_m, unit),
        "toes": marks_of_feet(got)["squat_mark_toes"],
        "gain": in_row([gain["decision"], gain["text"]]) if gain else "",
        "why": in_row([reason.said for reason in fit.advice.binding]),
        "notes": in_row([one["message"] for one in warnings(fit)]),
    }


def parts_of(setup: object, parts: Sequence[Part]) -> dict[str, float]:
    """The parts of a setup as requests hold them."""
    return {part.key: round(getattr(setup, part.key), 6) for part in parts}
