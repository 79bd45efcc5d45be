"""The squat on the command line."""

from __future__ import annotations

import argparse

from shortlever.errors import InputError
from shortlever.lifts.squat.advice import Suggestion
from shortlever.lifts.squat.gear import BARS, DEPTHS, POSITIONS
from shortlever.lifts.squat.library import assess, squat_of, suggest
from shortlever.lifts.squat.limits import COMFORTS
from shortlever.lifts.squat.measure import Setup
from shortlever.lifts.squat.words import Words
from shortlever.person.tape import Tape
from shortlever.say import Said

Answer = tuple[str, dict[str, object]]


def add_options(suggest: argparse.ArgumentParser, assess: argparse.ArgumentParser) -> None:
    """The options of either command and of each."""
    for option, names, default, said in (
        ("--bar-position", POSITIONS, "low", "where the bar lies on the back (default low)"),
        ("--depth", DEPTHS, "rule", "rule: below the knee; level: thigh level (default rule)"),
        ("--comfort", COMFORTS, "usual", "how far the hips open"),
        ("--bar", BARS, "power", "kind of bar"),
    ):
        for one in (suggest, assess):
            one.add_argument(option, choices=sorted(names), default=default, help=said)
    for one in (suggest, assess):
        one.add_argument("--load", type=float, metavar="KG", help="bar load, kg (default 1.5 body weights)")
    suggest.add_argument("--preference", type=float, default=0.5, metavar="0..1", help="0 knees, 1 hips")
    suggest.add_argument("--current-stance", type=float, metavar="M", help="present ankles apart, m")
    suggest.add_argument("--current-turn-out", type=float, metavar="DEG", help="present turn-out, degrees")
    suggest.add_argument("--current-heel", type=float, default=0.0, metavar="M", help="present heel lift, m")
    assess.add_argument("--stance", type=float, required=True, metavar="M", help="ankles apart, m")
    assess.add_argument("--turn-out", type=float, required=True, metavar="DEG", help="turn-out, degrees")
    assess.add_argument("--heel", type=float, default=0.0, metavar="M", help="heel over ball, m (default 0)")
    assess.add_argument(
        "--sit-back", type=float, metavar="M", help="hips behind mid-foot, m (default: of least effort)"
    )


def command(options: argparse.Namespace, tape: Tape) -> Answer:
    """The answer to ``suggest`` or ``assess``, as text and as plain data. Raises as they do."""
    return (_suggest if options.command == "suggest" else _assess)(options, tape)


def _suggest(options: argparse.Namespace, tape: Tape) -> Answer:
    current = None
    if (options.current_stance is None) != (options.current_turn_out is None):
        missing = "--current-turn-out" if options.current_turn_out is None else "--current-stance"
        raise InputError("current", "missing", "", f"{missing} is missing.", "Give both or neither.")
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
    squat = squat_of(tape, bar_position=options.bar_position, depth=options.depth, load_kg=options.load)
    return "\n".join(_lines(advice, Words(squat, "cm"))), advice.plain()


def _lines(advice: Suggestion, words: Words) -> list[str]:
    got, marks, doubt = advice.measures, advice.measures.marks, advice.doubt
    assert doubt is not None

    def between(name: str, scale: float = 100.0, places: int = 1) -> str:
        interval = doubt.intervals[name]
        return f"{scale * interval.low:.{places}f} to {scale * interval.high:.{places}f}"

    lines = [
        f"Heels  {100 * marks.heels_m:5.1f} cm  ({between('heels_m')}) middle to middle, ankles "
        f"{100 * got.stance_m:.1f} cm",
        f"Toes   {got.turn_out_deg:5.0f} °   ({between('turn_out_deg', 1.0, 0)}) out",
        f"Hips   {100 * got.sit_back_m:5.1f} cm  ({between('sit_back_m')}) behind mid-foot",
        f"Heel lift {100 * got.heel_m:.1f} cm; {got.bar_position} bar",
        f"Trunk {got.trunk_lean_deg:.0f}° ({between('trunk_lean_deg', 1.0, 0)}) and shin {got.shin_deg:.0f}° "
        f"from vertical; knee arm {100 * got.knee_arm_m:.1f} cm, back arm {100 * got.back_arm_m:.1f} cm; "
        f"stroke {100 * got.stroke_m:.1f} cm",
    ]
    lines += [f"{one['label']}: {one['text']}" for one in words.marks(got)]
    lines += [f"Because: {reason.said}" for reason in advice.binding]
    lines += [f"Nearly free: {one['text']}" for one in words.bands(advice)]
    if advice.beside:
        lines.append(str(words.beside(got, advice.beside)["text"]))
    if advice.gain and advice.current:
        lines.append(str(words.gain(got, advice.current, advice.gain)["text"]))
    if doubt.next_measurement:
        further = doubt.next_measurement
        lines.append(f"Next tape number: {further.label.lower()} ({further.how}).")
    lines.append(f"In brackets: {Said('squat_covers')} {Said('squat_model_off')}")
    return lines + [f"Note: {message}" for _, _, message in advice.warnings]


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
    shares = ", ".join(f"{joint} {100 * share:.0f} %" for joint, share in got.work_share.items())
    lines = [
        f"At the bottom: hip arm {100 * got.hip_arm_m:.1f} cm, knee arm {100 * got.knee_arm_m:.1f} cm, "
        f"back arm {100 * got.back_arm_m:.1f} cm",
        f"Trunk {got.trunk_lean_deg:.0f}°, shin {got.shin_deg:.0f}° from vertical; thigh "
        f"{got.thigh_deg:.0f}° from level; ankle {got.ankle_deg:.0f}°",
        f"Stroke {100 * got.stroke_m:.1f} cm, bar {100 * got.bar_drift_m:+.1f} cm ahead of mid-foot, "
        f"{got.work_j:.0f} J at {got.load_kg:g} kg ({shares})",
        f"Per leg: hip {got.hip_moment_n_m:.0f} N·m, knee {got.knee_moment_n_m:.0f} N·m; low back "
        f"{got.back_moment_n_m:.0f} N·m",
        f"Hardest {100 * got.hardest_height_m:.0f} cm above the bottom; limit-load index "
        f"{got.limit_load_index:.3f}",
    ]
    lines += [f"Breaks a limit: {limit.reason}" for limit in got.limits if not limit.ok]
    lines += [f"Note: {message}" for _, _, message in tape.warnings()]
    return "\n".join(lines), {**got.plain(), "warnings": [str(said) for _, _, said in tape.warnings()]}
