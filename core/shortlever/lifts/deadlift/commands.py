"""The deadlift on the command line."""

from __future__ import annotations

import argparse
from typing import Any

from shortlever.errors import InputError
from shortlever.lifts.deadlift.advice import Suggestion
from shortlever.lifts.deadlift.comfort import COMFORTS, STYLES
from shortlever.lifts.deadlift.gear import BARS, START_M, Gear
from shortlever.lifts.deadlift.library import assess, suggest
from shortlever.lifts.deadlift.measure import Assessment
from shortlever.lifts.deadlift.screen import COVERS, OFF
from shortlever.lifts.deadlift.setup import AHEAD_M, Setup
from shortlever.lifts.deadlift.words import Words
from shortlever.lifts.legs.commands import (
    angle_within,
    further_lines,
    last_lines,
    length_within,
    measured_lines,
)
from shortlever.lifts.shown import notes
from shortlever.person.tape import Tape
from shortlever.say import Said, Text, in_row
from shortlever.say.parser import Parser

Answer = tuple[Text, dict[str, object]]
CURRENT = ("current-style", "current-stance", "current-turn-out", "current-grip")


def add_options(suggest: Parser, assess: Parser) -> None:
    """The options of either command and of each."""

    def option(one: Parser, name: str, **more: Any) -> None:
        one.option(f"--{name}", said=Said(f"pull_option_{name.replace('-', '_')}"), **more)

    for one in (suggest, assess):
        option(one, "comfort", choices=sorted(COMFORTS), default="usual")
        option(one, "bar", choices=sorted(BARS), default="power")
        option(one, "load", type=float, metavar="KG")
        option(one, "start", type=float, metavar="M", default=START_M)
    option(suggest, "style", choices=STYLES, default="")
    option(suggest, "preference", type=float, metavar="0..1", default=0.5)
    option(suggest, "current-style", choices=STYLES)
    option(suggest, "current-stance", type=float, metavar="M")
    option(suggest, "current-turn-out", type=float, metavar="DEG")
    option(suggest, "current-grip", type=float, metavar="M")
    option(assess, "style", choices=STYLES, required=True)
    option(assess, "stance", type=float, metavar="M", required=True)
    option(assess, "turn-out", type=float, metavar="DEG", required=True)
    option(assess, "grip", type=float, metavar="M", required=True)
    option(assess, "ahead", type=float, metavar="M", default=AHEAD_M)


def command(options: argparse.Namespace, tape: Tape) -> Answer:
    """The answer to ``suggest`` or ``assess``, to be said, and as plain data. Raises as they do."""
    gear = Gear(BARS[options.bar], options.start)
    return (_suggest if options.command == "suggest" else _assess)(options, tape, gear)


def _current(options: argparse.Namespace) -> Setup | None:
    given = {name: getattr(options, name.replace("-", "_")) for name in CURRENT}
    missing = [f"--{name}" for name, value in given.items() if value is None]
    if len(missing) == len(given):
        return None
    if missing:
        said = Said("option_missing", {"option": missing[0]})
        raise InputError("current", "missing", "", said, Said("pull_option_missing_remedy"))
    return Setup(*given.values())


def _suggest(options: argparse.Namespace, tape: Tape, gear: Gear) -> Answer:
    comfort = COMFORTS[options.comfort]
    advice = suggest(
        tape,
        style=options.style,
        gear=gear,
        comfort=comfort,
        preference=options.preference,
        load_kg=options.load,
        current=_current(options),
        with_intervals=True,
    )
    return in_row([*_lines(advice, Words("cm")), *notes(tape)], "line"), advice.told()


def _lines(advice: Suggestion, words: Words) -> list[Text]:
    got, doubt = advice.measures, advice.doubt
    assert doubt is not None
    within = doubt.intervals
    lean = angle_within("lean", got.trunk_lean_deg, within["trunk_lean_deg"])
    lines: list[Text] = [
        Said("pull_lines_style", {"style": Said(f"pull_{got.style}"), "load": got.load_kg}),
        Said(
            "squat_lines_heels",
            length_within(got.marks.heels_m, within["heels_m"]) | {"ankles_m": got.stance_m},
        ),
        Said("squat_lines_toes", angle_within("x", got.turn_out_deg, within["turn_out_deg"])),
        Said("pull_lines_hands", length_within(got.marks.hands_m, within["hands_m"])),
        Said("pull_lines_hips", length_within(got.hip_height_m, within["hip_height_m"])),
        Said("pull_lines_lean", lean | {"shin": got.shin_deg}),
        _arms(got),
        *further_lines(words, advice, words.marks(got), [one["message"] for one in words.reasons(advice)]),
    ]
    if advice.other:
        lines.append(words.beside(got, advice.other, advice.winner)["text"])
    return [*lines, *last_lines(words, advice, COVERS, OFF)]


def _arms(got: Assessment) -> Said:
    arms = {"hip_m": got.hip_arm_m, "knee_m": got.knee_arm_m, "back_m": got.back_arm_m}
    return Said("pull_lines_arms", arms | {"stroke_m": got.stroke_m})


def _assess(options: argparse.Namespace, tape: Tape, gear: Gear) -> Answer:
    setup = Setup(options.style, options.stance, options.turn_out, options.grip, options.ahead)
    got = assess(tape, setup, gear=gear, comfort=COMFORTS[options.comfort], load_kg=options.load)
    angles = {
        "lean": got.trunk_lean_deg,
        "shin": got.shin_deg,
        "thigh": got.thigh_deg,
        "hips_m": got.hip_height_m,
    }
    shares = Said("pull_work_shares", {joint: 100 * share for joint, share in got.work_share.items()})
    work = {"drift_m": got.bar_drift_m, "work": got.work_j, "load": got.load_kg, "shares": shares}
    moments = {"hip": got.hip_moment_n_m, "knee": got.knee_moment_n_m, "back": got.back_moment_n_m}
    lines = [
        _arms(got),
        Said("pull_lines_angles", angles),
        Said("squat_lines_work", work),
        Said("pull_lines_moments", moments | {"abduction": got.hip_abduction_moment_n_m}),
        Said("pull_lines_hardest", {"height_m": got.hardest_height_m, "index": got.limit_load_index}),
    ]
    return measured_lines(lines, got, tape)
