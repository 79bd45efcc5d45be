"""What a team sheet says of a pull."""

from __future__ import annotations

from shortlever.lifts.deadlift.gain import gain_of
from shortlever.lifts.deadlift.screen import PullFit
from shortlever.lifts.deadlift.words import Words, hands_on_bar
from shortlever.lifts.legs import shown
from shortlever.lifts.lift import Result
from shortlever.say import Said, Text, in_row
from shortlever.units import show_length

# Those of words come last.
RESULTS = (
    Result("style", Said("pull_result_style"), brief=Said("pull_style")),
    *shown.FEET,
    Result("hands", Said("pull_result_hands"), True, Said("pull_mark_hands")),
    Result("hips", Said("pull_result_hips"), True),
    Result("hips_low", Said("pull_result_hips_low"), True),
    Result("hips_high", Said("pull_result_hips_high"), True),
    shown.LEAN,
    Result("hip_arm", Said("pull_result_hip_arm"), True),
    Result("back_arm", Said("pull_result_back_arm"), True),
    shown.STROKE,
    Result("ring", Said("pull_result_ring")),
    shown.TOES,
    Result("other", Said("pull_result_other")),
    *shown.IN_WORDS,
)


def cells(fit: PullFit) -> dict[str, Text]:
    """The results by their keys, numbers with a point."""
    unit, got, advice = fit.reading.unit, fit.shown.got, fit.advice
    words = Words(unit)
    hips = {band.key: band for band in advice.bands}.get("hip_height_m")
    ends = (hips.low, hips.high) if hips else (got.hip_height_m, got.hip_height_m)
    beside = words.beside(advice.measures, advice.other, advice.winner) if advice.other else None
    return shown.cells(fit, words, shown.gained(fit, words, gain_of)) | {
        "style": Said(f"pull_{got.style}"),
        "hands": show_length(words.set_m(got.marks.hands_m), unit),
        "hips": show_length(words.set_m(got.hip_height_m), unit),
        "hips_low": show_length(words.set_m(ends[0]), unit),
        "hips_high": show_length(words.set_m(ends[1]), unit),
        "hip_arm": show_length(got.hip_arm_m, unit),
        "ring": hands_on_bar(got.marks),
        "other": beside["text"] if beside else "",
        "why": in_row([one["message"] for one in words.reasons(advice)]),
    }
