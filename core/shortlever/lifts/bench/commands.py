"""The bench press on the command line."""

from __future__ import annotations

import argparse

from shortlever.errors import InputError
from shortlever.lifts.bench.gear import BARS, RULEBOOKS, Gear
from shortlever.lifts.bench.library import assess, suggest
from shortlever.lifts.bench.limits import COMFORTS, Comfort
from shortlever.lifts.bench.measure import Assessment, Setup
from shortlever.lifts.bench.words import MODEL_OFF
from shortlever.lifts.shown import breaks, notes
from shortlever.person.tape import Tape
from shortlever.say import Said, Text, in_row
from shortlever.say.parser import Parser

Answer = tuple[Text, dict[str, object]]


def add_options(suggest: Parser, assess: Parser) -> None:
    """The options of either command and of each."""
    for name, names, default in (
        ("rules", RULEBOOKS, "ipf"),
        ("bar", BARS, "power"),
        ("comfort", COMFORTS, "usual"),
    ):
        for one in (suggest, assess):
            said = Said(f"option_{name}", {"default": default})
            one.option(f"--{name}", choices=sorted(names), default=default, said=said)
    for one, name, metavar, how in (
        (suggest, "preference", "0..1", {"default": 0.5}),
        (suggest, "current-grip", "M", {}),
        (suggest, "current-touch", "M", {}),
        (assess, "grip", "M", {"required": True}),
        (assess, "touch", "M", {"required": True}),
        (assess, "sideways", "RATIO", {}),
        (assess, "load", "KG", {"default": 100.0}),
    ):
        said = Said(f"option_{name.replace('-', '_')}")
        one.option(f"--{name}", type=float, metavar=metavar, said=said, **how)


def command(options: argparse.Namespace, tape: Tape) -> Answer:
    """The answer to ``suggest`` or ``assess``, to be said, and as plain data. Raises as they do."""
    gear = Gear(bar=BARS[options.bar], rules=RULEBOOKS[options.rules])
    answer = _suggest if options.command == "suggest" else _assess
    return answer(options, tape, gear, COMFORTS[options.comfort])


def _suggest(options: argparse.Namespace, tape: Tape, gear: Gear, comfort: Comfort) -> Answer:
    current = None
    if (options.current_grip is None) != (options.current_touch is None):
        missing = "--current-touch" if options.current_touch is None else "--current-grip"
        said = Said("option_missing", {"option": missing})
        raise InputError("current", "missing", "", said, Said("option_missing_remedy"))
    if options.current_grip is not None:
        current = Setup(options.current_grip, options.current_touch)
    advice = suggest(
        tape, gear=gear, comfort=comfort, preference=options.preference, current=current, with_intervals=True
    )
    got, marks, doubt = advice.measures, advice.marks, advice.doubt
    assert doubt is not None
    grip, touch, tuck = (doubt.intervals[name] for name in ("grip_m", "touch_tape_m", "tuck_deg"))
    by_ring = Said("ring_none", {"x_m": marks.from_sleeve_m})
    if marks.fingers_from_ring is not None:
        side = "inside" if marks.fingers_from_ring >= 0 else "outside"
        by_ring = Said(f"lines_ring_{side}", {"fingers": abs(marks.fingers_from_ring)})
    lines = [
        Said("lines_grip", {"x_m": got.grip_m, "low_m": grip.low, "high_m": grip.high, "ring": by_ring}),
        Said("lines_touch", {"x_m": marks.touch_tape_m, "low_m": touch.low, "high_m": touch.high}),
        Said("lines_tuck", {"x": got.tuck_deg, "low": tuck.low, "high": tuck.high}),
        Said("lines_arms_and_stroke", _arms(got) | {"stroke_m": got.range_of_motion_m}),
        Said(
            "lines_rack", {"pad_m": marks.rack_height_above_pad_m, "floor_m": marks.rack_height_above_floor_m}
        ),
    ]
    lines += [Said("because", {"why": reason.said}) for reason in advice.binding]
    if advice.gain:
        ratios = {"arm": advice.gain.moment_arm, "stroke": advice.gain.range_of_motion}
        lines.append(Said("lines_gain", ratios | {"there": 1e4 / advice.gain.same_shoulder_load_kg}))
    if doubt.next_measurement:
        further = doubt.next_measurement
        lines.append(Said("lines_next", {"label": further.label, "how": further.how}))
    lines.append(in_row([Said("lines_in_brackets"), MODEL_OFF]))
    return in_row([*lines, *notes(tape)], "line"), advice.told()


def _assess(options: argparse.Namespace, tape: Tape, gear: Gear, comfort: Comfort) -> Answer:
    setup = Setup(options.grip, options.touch, options.load, options.sideways)
    got = assess(tape, setup, gear=gear, comfort=comfort)
    lines = [
        Said("lines_arms", _arms(got)),
        Said("lines_stroke", {"stroke_m": got.range_of_motion_m, "work": got.work_j, "load": got.load_kg}),
        Said("lines_push", {"tuck": got.tuck_deg, "share": 100 * got.sideways_ratio}),
        Said("lines_hardest", {"height_m": got.sticking_height_m, "index": got.limit_load_index}),
        Said("lines_moments", {"shoulder": got.shoulder_moment_n_m, "elbow": got.elbow_moment_n_m}),
    ]
    warnings = [said for _, _, said in tape.warnings()]
    return in_row([*lines, *breaks(got.limits), *notes(tape)], "line"), {**got.told(), "warnings": warnings}


def _arms(got: Assessment) -> dict[str, float]:
    return {"arm_m": got.moment_arm_m, "mean_m": got.mean_moment_arm_m}
