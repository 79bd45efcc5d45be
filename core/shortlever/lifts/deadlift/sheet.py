"""What a team sheet says of a pull."""

from __future__ import annotations

from shortlever.lifts.deadlift.screen import PullFit, gained_in_words, warnings
from shortlever.lifts.deadlift.words import Words
from shortlever.lifts.lift import Result
from shortlever.say import Said, Text, in_row
from shortlever.units import show_length

# Those of words come last.
RESULTS = (
    Result("style", Said("pull_result_style"), brief=Said("pull_style")),
    Result("heels", Said("squat_result_heels"), True, Said("squat_mark_heels")),
    Result("turn_out", Said("squat_result_turn_out"), brief=Said("squat_brief_turn_out")),
    Result("hands", Said("pull_result_hands"), True, Said("pull_mark_hands")),
    Result("hips", Said("pull_result_hips"), True),
    Result("hips_low", Said("pull_result_hips_low"), True),
    Result("hips_high", Said("pull_result_hips_high"), True),
    Result("trunk_lean", Said("squat_result_trunk_lean")),
    Result("hip_arm", Said("pull_result_hip_arm"), True),
    Result("back_arm", Said("pull_result_back_arm"), True),
    Result("stroke", Said("squat_result_stroke"), True),
    Result("ring", Said("pull_result_ring")),
    Result("toes", Said("squat_result_toes")),
    Result("other", Said("pull_result_other")),
    Result("gain", Said("result_gain")),
    Result("why", Said("result_why")),
    Result("notes", Said("result_notes")),
)


def cells(fit: PullFit) -> dict[str, Text]:
    """The results by their keys, numbers with a point."""
    unit, tape, got, advice = fit.reading.unit, fit.reading.tape, fit.shown.got, fit.advice
    assert tape is not None
    words = Words(fit.case, unit)
    gained = gained_in_words(fit, words)
    marks = {str(one["key"]): one["text"] for one in words.marks(got)}
    free = {band.key: band for band in advice.bands}
    hips = free.get("hip_height_m")
    ends = (hips.low, hips.high) if hips else (got.hip_height_m, got.hip_height_m)
    beside = words.beside(advice.measures, advice.other, advice.winner) if advice.other else None
    return {
        "style": Said(f"pull_{got.style}"),
        "heels": show_length(words.set_m(got.marks.heels_m), unit),
        "turn_out": f"{got.turn_out_deg:.0f}",
        "hands": show_length(words.set_m(got.marks.hands_m), unit),
        "hips": show_length(words.set_m(got.hip_height_m), unit),
        "hips_low": show_length(words.set_m(ends[0]), unit),
        "hips_high": show_length(words.set_m(ends[1]), unit),
        "trunk_lean": f"{got.trunk_lean_deg:.0f}",
        "hip_arm": show_length(got.hip_arm_m, unit),
        "back_arm": show_length(got.back_arm_m, unit),
        "stroke": show_length(got.stroke_m, unit),
        "ring": marks["hands"],
        "toes": marks["toes"],
        "other": beside["text"] if beside else "",
        "gain": in_row([gained["decision"], gained["text"]]) if gained else "",
        "why": in_row([one["message"] for one in words.reasons(advice)]),
        "notes": in_row([one["message"] for one in warnings(tape, got, fit.out_of_reach)]),
    }
