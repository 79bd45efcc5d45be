"""What a team sheet says of a press."""

from __future__ import annotations

from shortlever.lifts.bench.marks import marks_of
from shortlever.lifts.bench.measure import Assessment
from shortlever.lifts.bench.screen import PressFit, gained_in_words
from shortlever.lifts.bench.words import Words, ring
from shortlever.lifts.lift import Result
from shortlever.person.tape import Tape
from shortlever.say import Said, Text, in_row
from shortlever.units import show_length

# Those of words come last.
RESULTS = (
    Result("grip", Said("result_grip"), True, Said("head_grip")),
    Result("touch", Said("result_touch"), True, Said("bench_brief_touch")),
    Result("tuck", Said("result_tuck"), brief=Said("bench_brief_tuck")),
    Result("moment_arm", Said("result_moment_arm"), True),
    Result("range_of_motion", Said("result_range_of_motion"), True),
    Result("rack_above_pad", Said("result_rack_above_pad"), True),
    Result("rack_above_floor", Said("result_rack_above_floor"), True),
    Result("ring", Said("result_ring")),
    Result("gain", Said("result_gain")),
    Result("why", Said("result_why")),
    Result("notes", Said("result_notes")),
)


def cells(fit: PressFit) -> dict[str, Text]:
    """The results by their keys, numbers with a point."""
    unit, tape = fit.reading.unit, fit.reading.tape
    assert tape is not None
    press, got = fit.case, fit.shown.got
    words = Words(press, unit)
    gained = gained_in_words(fit, words)
    return {
        "grip": show_length(words.set_m(got.grip_m), unit),
        "touch": show_length(words.set_m(got.touch_tape_m), unit),
        "tuck": f"{got.tuck_deg:.0f}",
        "moment_arm": show_length(got.moment_arm_m, unit),
        "range_of_motion": show_length(got.range_of_motion_m, unit),
        "rack_above_pad": show_length(got.lockout_height_m, unit),
        "rack_above_floor": show_length(got.rack_height_above_floor_m, unit),
        "ring": ring(marks_of(press, got)),
        "gain": in_row([gained["decision"], gained["text"]]) if gained else "",
        "why": in_row([reason.said for reason in fit.advice.binding]),
        "notes": in_row([*_notes(tape, got), *([fit.out_of_reach] if fit.out_of_reach else [])]),
    }


def _notes(tape: Tape, got: Assessment) -> list[Said]:
    notes = [said for _, _, said in tape.warnings()]
    if tape.chest_arched is None:
        notes.append(Said("computed_flat"))
    return notes + [limit.reason for limit in got.limits if limit.broken]
