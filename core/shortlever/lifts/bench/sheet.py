"""What a team sheet says of a press."""

from __future__ import annotations

from shortlever.lifts.bench.marks import marks_of
from shortlever.lifts.bench.measure import Assessment
from shortlever.lifts.bench.screen import PressFit, gained_in_words
from shortlever.lifts.bench.words import Words
from shortlever.lifts.lift import Result
from shortlever.person.tape import Tape
from shortlever.units import show_length

# Those of words come last.
RESULTS = (
    Result("grip", "Setup: grip between the forefingers", True),
    Result("touch", "Setup: touch below the breastbone notch", True),
    Result("tuck", "Setup: tuck (degrees)"),
    Result("moment_arm", "Setup: moment arm at the chest", True),
    Result("range_of_motion", "Setup: range of motion", True),
    Result("rack_above_pad", "Setup: bar above the pad at lockout", True),
    Result("rack_above_floor", "Setup: bar above the floor at lockout", True),
    Result("ring", "Setup: forefingers"),
    Result("gain", "Setup: against the present one"),
    Result("why", "Setup: why"),
    Result("notes", "Setup: notes"),
)


def cells(fit: PressFit) -> dict[str, str]:
    """The results by their keys, numbers with a point."""
    unit, tape = fit.reading.unit, fit.reading.tape
    assert tape is not None
    press, got = fit.case, fit.shown.got
    words = Words(press, unit)
    gained = gained_in_words(fit, words)
    return {
        "grip": words.to_set(got.grip_m),
        "touch": words.to_set(got.touch_tape_m),
        "tuck": f"{got.tuck_deg:.0f}",
        "moment_arm": show_length(got.moment_arm_m, unit),
        "range_of_motion": show_length(got.range_of_motion_m, unit),
        "rack_above_pad": show_length(got.lockout_height_m, unit),
        "rack_above_floor": show_length(got.rack_height_above_floor_m, unit),
        "ring": words.marks(marks_of(press, got).fingers_from_ring, got)[0]["text"],
        "gain": f"{gained['decision']} {gained['text']}" if gained else "",
        "why": " ".join(reason["message"] for reason in words.reasons(fit.advice)),
        "notes": " ".join([*_notes(tape, got, unit), *([fit.out_of_reach] if fit.out_of_reach else [])]),
    }


def _notes(tape: Tape, got: Assessment, unit: str) -> list[str]:
    notes = [said.in_unit(unit) for _, _, said in tape.warnings()]
    if tape.chest_arched is None:
        notes.append("Computed lying flat.")
    return notes + [limit.reason.in_unit(unit) for limit in got.limits if limit.broken]
