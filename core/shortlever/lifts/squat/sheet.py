"""What a team sheet says of a squat."""

from __future__ import annotations

from shortlever.lifts.lift import Result
from shortlever.lifts.squat.advice import gain_of
from shortlever.lifts.squat.screen import SquatFit, warnings
from shortlever.lifts.squat.words import Words
from shortlever.units import show_length

# Those of words come last.
RESULTS = (
    Result("heels", "Setup: heels, middle to middle", True),
    Result("turn_out", "Setup: toes out (degrees)"),
    Result("sit_back", "Setup: hips behind mid-foot", True),
    Result("heel", "Setup: heel over ball", True),
    Result("trunk_lean", "Setup: trunk from vertical (degrees)"),
    Result("knee_arm", "Setup: knee arm at the bottom", True),
    Result("back_arm", "Setup: back arm at the bottom", True),
    Result("stroke", "Setup: stroke", True),
    Result("hook", "Setup: bar on the hooks above the floor", True),
    Result("box", "Setup: box that the seat touches", True),
    Result("toes", "Setup: toes"),
    Result("gain", "Setup: against the present one"),
    Result("why", "Setup: why"),
    Result("notes", "Setup: notes"),
)


def cells(fit: SquatFit) -> dict[str, str]:
    """The results by their keys, numbers with a point."""
    unit, tape, got = fit.reading.unit, fit.reading.tape, fit.shown.got
    assert tape is not None
    words = Words(fit.case, unit)
    now = fit.now.got if fit.now else None
    gain = words.gain(got, now, gain_of(fit.case, got, now)) if now else None
    marks = {one["key"]: one["text"] for one in words.marks(got)}
    notes = [one["message"] for one in warnings(tape, got, unit, fit.out_of_reach)]
    return {
        "heels": words.to_set(got.marks.heels_m),
        "turn_out": f"{got.turn_out_deg:.0f}",
        "sit_back": words.to_set(got.sit_back_m),
        "heel": words.to_set(got.heel_m),
        "trunk_lean": f"{got.trunk_lean_deg:.0f}",
        "knee_arm": show_length(got.knee_arm_m, unit),
        "back_arm": show_length(got.back_arm_m, unit),
        "stroke": show_length(got.stroke_m, unit),
        "hook": show_length(got.marks.hook_m, unit),
        "box": show_length(got.marks.box_m, unit),
        "toes": marks["toes"],
        "gain": str(gain["text"]) if gain else "",
        "why": " ".join(reason["message"] for reason in words.reasons(fit.advice)),
        "notes": " ".join(notes),
    }
