"""The bench press on the command line."""

from __future__ import annotations

import argparse

from shortlever.errors import InputError
from shortlever.lifts.bench.gear import BARS, RULEBOOKS, Gear
from shortlever.lifts.bench.library import assess, suggest
from shortlever.lifts.bench.limits import COMFORTS, Comfort
from shortlever.lifts.bench.measure import Setup
from shortlever.lifts.bench.words import model_off
from shortlever.person.tape import Tape

Answer = tuple[str, dict[str, object]]


def add_options(suggest: argparse.ArgumentParser, assess: argparse.ArgumentParser) -> None:
    """The options of either command and of each."""
    for option, names, default, said in (
        ("--rules", RULEBOOKS, "ipf", "rulebook (default ipf)"),
        ("--bar", BARS, "power", "bar with its rings"),
        ("--comfort", COMFORTS, "usual", "how far the arms flare"),
    ):
        for one in (suggest, assess):
            one.add_argument(option, choices=sorted(names), default=default, help=said)
    suggest.add_argument(
        "--preference", type=float, default=0.5, metavar="0..1", help="0 stroke, 1 moment arm"
    )
    suggest.add_argument("--current-grip", type=float, metavar="M", help="present forefinger spacing, m")
    suggest.add_argument(
        "--current-touch", type=float, metavar="M", help="present touch from the shoulder line, m"
    )
    assess.add_argument("--grip", type=float, required=True, metavar="M", help="forefinger spacing, m")
    assess.add_argument(
        "--touch", type=float, required=True, metavar="M", help="touch from the shoulder line, m"
    )
    assess.add_argument("--sideways", type=float, metavar="RATIO", help="hold outward / vertical hand force")
    assess.add_argument("--load", type=float, default=100.0, metavar="KG", help="bar load, kg (default 100)")


def command(options: argparse.Namespace, tape: Tape) -> Answer:
    """The answer to ``suggest`` or ``assess``, as text and as plain data. Raises as they do."""
    gear = Gear(bar=BARS[options.bar], rules=RULEBOOKS[options.rules])
    answer = _suggest if options.command == "suggest" else _assess
    return answer(options, tape, gear, COMFORTS[options.comfort])


def _suggest(options: argparse.Namespace, tape: Tape, gear: Gear, comfort: Comfort) -> Answer:
    current = None
    if (options.current_grip is None) != (options.current_touch is None):
        missing = "--current-touch" if options.current_touch is None else "--current-grip"
        raise InputError("current", "missing", "", f"{missing} is missing.", "Give both or neither.")
    if options.current_grip is not None:
        current = Setup(options.current_grip, options.current_touch)
    advice = suggest(
        tape, gear=gear, comfort=comfort, preference=options.preference, current=current, with_intervals=True
    )
    got, marks = advice.measures, advice.marks
    assert advice.doubt is not None

    def between(name: str, scale: float = 100.0, places: int = 1) -> str:
        interval = advice.doubt.intervals[name]  # type: ignore[union-attr]
        return f"{scale * interval.low:.{places}f} to {scale * interval.high:.{places}f}"

    side = "inside" if marks.fingers_from_ring >= 0 else "outside"
    lines = [
        f"Grip   {100 * got.grip_m:5.1f} cm  ({between('grip_m')}), forefingers "
        f"{abs(marks.fingers_from_ring):.1f} fingers {side} the ring",
        f"Touch  {100 * marks.touch_tape_m:5.1f} cm  ({between('touch_tape_m')}) down from the "
        "breastbone notch",
        f"Tuck   {got.tuck_deg:5.0f} °   ({between('tuck_deg', 1.0, 0)})",
        f"Moment arm at the chest {100 * got.moment_arm_m:.1f} cm, mean "
        f"{100 * got.mean_moment_arm_m:.1f} cm; range of motion {100 * got.range_of_motion_m:.1f} cm",
        f"Rack   {100 * marks.rack_height_above_pad_m:.1f} cm above the pad at lockout, "
        f"{100 * marks.rack_height_above_floor_m:.1f} cm above the floor",
    ]
    lines += [f"Because: {reason.said}" for reason in advice.binding]
    if advice.gain:
        lines.append(
            f"Against the present setup: moment arm x {advice.gain.moment_arm:.2f}, range of motion x "
            f"{advice.gain.range_of_motion:.2f}; 100 kg here loads the shoulders like "
            f"{1e4 / advice.gain.same_shoulder_load_kg:.0f} kg there."
        )
    if advice.doubt.next_measurement:
        further = advice.doubt.next_measurement
        lines.append(f"Next tape number: {further.label.lower()} ({further.how}).")
    lines.append(f"In brackets: 9 in 10 lifters with these tape numbers fall inside. {model_off('cm')}")
    lines += [f"Note: {message}" for _, _, message in advice.warnings]
    return "\n".join(lines), advice.plain()


def _assess(options: argparse.Namespace, tape: Tape, gear: Gear, comfort: Comfort) -> Answer:
    setup = Setup(options.grip, options.touch, options.load, options.sideways)
    got = assess(tape, setup, gear=gear, comfort=comfort)
    lines = [
        f"Moment arm at the chest {100 * got.moment_arm_m:.1f} cm, mean {100 * got.mean_moment_arm_m:.1f} cm",
        f"Range of motion {100 * got.range_of_motion_m:.1f} cm, {got.work_j:.0f} J at {got.load_kg:g} kg",
        f"Tuck {got.tuck_deg:.0f}°, hands push sideways {100 * got.sideways_ratio:+.0f} % "
        "of the load (+ outward)",
        f"Hardest {100 * got.sticking_height_m:.0f} cm above the chest; "
        f"limit-load index {got.limit_load_index:.3f}",
        f"Per arm at the chest: shoulder {got.shoulder_moment_n_m:.0f} N·m, "
        f"elbow {got.elbow_moment_n_m:.0f} N·m",
    ]
    lines += [f"Breaks a limit: {limit.reason}" for limit in got.limits if not limit.ok]
    lines += [f"Note: {message}" for _, _, message in tape.warnings()]
    return "\n".join(lines), {**got.plain(), "warnings": [str(said) for _, _, said in tape.warnings()]}
