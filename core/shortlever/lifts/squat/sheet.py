"""What a team sheet says of a squat."""

from __future__ import annotations

from shortlever.lifts.legs import shown
from shortlever.lifts.lift import Result
from shortlever.lifts.squat.advice import gain_of
from shortlever.lifts.squat.screen import SquatFit
from shortlever.lifts.squat.words import Words
from shortlever.say import Said, Text
from shortlever.units import show_length

# Those of words come last.
RESULTS = (
    *shown.FEET,
    Result("sit_back", Said("squat_result_sit_back"), True, Said("squat_head_sit_back")),
    Result("heel", Said("squat_result_heel"), True),
    shown.LEAN,
    Result("knee_arm", Said("squat_result_knee_arm"), True),
    Result("back_arm", Said("squat_result_back_arm"), True),
    shown.STROKE,
    Result("hook", Said("squat_result_hook"), True),
    Result("box", Said("squat_result_box"), True),
    shown.TOES,
    *shown.IN_WORDS,
)


def cells(fit: SquatFit) -> dict[str, Text]:
    """The results by their keys, numbers with a point."""
    unit, got = fit.reading.unit, fit.shown.got
    words = Words(unit)
    return shown.cells(fit, words, shown.gained(fit, words, gain_of)) | {
        "sit_back": show_length(words.set_m(got.sit_back_m), unit),
        "heel": show_length(words.set_m(got.heel_m), unit),
        "knee_arm": show_length(got.knee_arm_m, unit),
        "hook": show_length(got.marks.hook_m, unit),
        "box": show_length(got.marks.box_m, unit),
    }
