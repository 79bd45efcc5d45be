"""What a team sheet says of a squat."""

from __future__ import annotations

from shortlever.lifts.lift import Result
from shortlever.lifts.squat.screen import SquatFit, gained_in_words, warnings
from shortlever.lifts.squat.words import Words
from shortlever.say import Said, Text, in_row
from shortlever.units import show_length

# Those of words come last.
RESULTS = (
    Result("heels", Said("squat_result_heels"), True, Said("squat_mark_heels")),
    Result("turn_out", Said("squat_result_turn_out"), brief=Said("squat_brief_turn_out")),
    Result("sit_back", Said("squat_result_sit_back"), True, Said("squat_head_sit_back")),
    Result("heel", Said("squat_result_heel"), True),
    Result("trunk_lean", Said("squat_result_trunk_lean")),
    Result("knee_arm", Said("squat_result_knee_arm"), True),
    Result("back_arm", Said("squat_result_back_arm"), True),
    Result("stroke", Said("squat_result_stroke"), True),
    Result("hook", Said("squat_result_hook"), True),
    Result("box", Said("squat_result_box"), True),
    Result("toes", Said("squat_result_toes")),
    Result("gain", Said("result_gain")),
    Result("why", Said("result_why")),
    Result("notes", Said("result_notes")),
)


def cells(fit: SquatFit) -> dict[str, Text]:
    """The results by their keys, numbers with a point."""
    unit, tape, got = fit.reading.unit, fit.reading.tape, fit.shown.got
    assert tape is not None
    words = Words(fit.case, unit)
    gained = gained_in_words(fit, words)
    marks = {str(one["key"]): one["text"] for one in words.marks(got)}
    return {
        "heels": show_length(words.set_m(got.marks.heels_m), unit),
        "turn_out": f"{got.turn_out_deg:.0f}",
        "sit_back": show_length(words.set_m(got.sit_back_m), unit),
        "heel": show_length(words.set_m(got.heel_m), unit),
        "trunk_lean": f"{got.trunk_lean_deg:.0f}",
        "knee_arm": show_length(got.knee_arm_m, unit),
        "back_arm": show_length(got.back_arm_m, unit),
        "stroke": show_length(got.stroke_m, unit),
        "hook": show_length(got.marks.hook_m, unit),
        "box": show_length(got.marks.box_m, unit),
        "toes": marks["toes"],
        "gain": in_row([gained["decision"], gained["text"]]) if gained else "",
        "why": in_row([reason.said for reason in fit.advice.binding]),
        "notes": in_row([one["message"] for one in warnings(tape, got, fit.out_of_reach)]),
    }
