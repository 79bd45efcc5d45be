"""The squat on the command line."""

from __future__ import annotations

import argparse

from shortlever.errors import InputError
from shortlever.lifts.legs.commands import (
    angle_within,
    further_lines,
    last_lines,
    length_within,
    measured_lines,
)
from shortlever.lifts.shown import notes
from shortlever.lifts.squat.advice import Suggestion
from shortlever.lifts.squat.gear import BARS, DEPTHS, POSITIONS
from shortlever.lifts.squat.library import assess, suggest
from shortlever.lifts.squat.limits import COMFORTS
from shortlever.lifts.squat.measure import Assessment, Setup
from shortlever.lifts.squat.screen import COVERS, OFF
from shortlever.lifts.squat.words import Words
from shortlever.person.tape import Tape
from shortlever.say import Said, Text, in_row
from shortlever.say.parser import Parser

Answer = tuple[Text, dict[str, object]]


def add_options(suggest: Parser, assess: Parser) -> None:
    """The options of either command and of each."""
    for name, names, default in (
        ("bar-position", tuple(POSITIONS), "low"),
        ("depth", DEPTHS, "rule"),
        ("comfort", tuple(COMFORTS), "usual"),
        ("bar", tuple(BARS), "power"),
    ):
        for one in (suggest, assess):
            said = Said(f"squat_option_{name.replace('-', '_')}", {"default": default})
            one.option(f"--{name}", choices=sorted(names), default=default, said=said)
    for one, name, metavar, how in (
        (suggest, "load", "KG", {}),
        (assess, "load", "KG", {}),
        (suggest, "preference", "0..1", {"default": 0.5}),
        (suggest, "current-stance", "M", {}),
        (suggest, "current-turn-out", "DEG", {}),
        (suggest, "current-heel", "M", {"default": 0.0}),
        (assess, "stance", "M", {"required": True}),
        (assess, "turn-out", "DEG", {"required": True}),
        (assess, "heel", "M", {"default": 0.0}),
        (assess, "sit-back", "M", {}),
    ):
        said = Said(f"squat_option_{name.replace('-', '_')}")
        one.option(f"--{name}", type=float, metavar=metavar, said=said, **how)


def command(options: argparse.Namespace, tape: Tape) -> Answer:
    """The answer to ``suggest`` or ``assess``, to be said, and as plain data. Raises as they do."""
    return (_suggest if options.command == "suggest" else _assess)(options, tape)


def _suggest(options: argparse.Namespace, tape: Tape) -> Answer:
    current = None
    if (options.current_stance is None) != (options.current_turn_out is None):
        missing = "--current-turn-out" if options.current_turn_out is None else "--current-stance"
        said = Said("option_missing", {"option": missing})
        raise InputError("current", "missing", "", said, Said("option_missing_remedy"))
    if options.current_stance is not None:
        current = Setup(options.current_stance, options.current_turn_out, options.current_heel)
    advice = suggest(
        tape,
        bar_position=options.bar_position,
        depth=options.depth,
        comfort=COMFORTS[options.comfort],
        preference=options.preference,
        load_kg=options.load,
        bar=BARS[options.bar],
        current=current,
        with_intervals=True,
    )
    return in_row([*_lines(advice, Words("cm")), *notes(tape)], "line"), advice.told()


def _lines(advice: Suggestion, words: Words) -> list[Text]:
    got, doubt = advice.measures, advice.doubt
    assert doubt is not None
    within = doubt.intervals
    bar = {"bar": Said(f"squat_{got.bar_position}_bar"), "heel_m": got.heel_m, "shin": got.shin_deg}
    lines: list[Text] = [
        Said("squat_lines_heels", length_within(got.marks.heels_m, within["heels_m"])),
        Said("squat_lines_ankles", {"x_m": got.stance_m}),
        Said("squat_lines_toes", angle_within("x", got.turn_out_deg, within["turn_out_deg"])),
        Said("squat_lines_hips", length_within(got.sit_back_m, within["sit_back_m"])),
        Said("squat_lines_bar", bar | angle_within("lean", got.trunk_lean_deg, within["trunk_lean_deg"])),
        _arms(got),
        *further_lines(words, advice, words.marks(got), [reason.said for reason in advice.binding]),
    ]
    if advice.beside:
        lines.append(words.beside(got, advice.beside)["text"])
    return [*lines, *last_lines(words, advice, COVERS, OFF)]


def _arms(got: Assessment) -> Said:
    arms = {"hip_m": got.hip_arm_m, "knee_m": got.knee_arm_m, "back_m": got.back_arm_m}
    return Said("squat_lines_arms", arms | {"stroke_m": got.stroke_m})


def _assess(options: argparse.Namespace, tape: Tape) -> Answer:
    setup = Setup(options.stance, options.turn_out, options.heel, options.sit_back)
    got = assess(
        tape,
        setup,
        bar_position=options.bar_position,
        depth=options.depth,
        comfort=COMFORTS[options.comfort],
        load_kg=options.load,
        bar=BARS[options.bar],
    )
    angles = {
        "lean": got.trunk_lean_deg,
        "shin": got.shin_deg,
        "thigh": got.thigh_deg,
        "ankle": got.ankle_deg,
    }
    shares = Said("squat_work_shares", {joint: 100 * share for joint, share in got.work_share.items()})
    work = {"drift_m": got.bar_drift_m, "work": got.work_j, "load": got.load_kg, "shares": shares}
    moments = {"hip": got.hip_moment_n_m, "knee": got.knee_moment_n_m, "back": got.back_moment_n_m}
    lines = [
        _arms(got),
        Said("squat_lines_angles", angles),
        Said("squat_lines_work", work),
        Said("squat_lines_moments", moments),
        Said("squat_lines_hardest", {"height_m": got.hardest_height_m, "index": got.limit_load_index}),
    ]
    return measured_lines(lines, got, tape)
