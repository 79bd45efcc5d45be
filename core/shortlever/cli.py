"""The command line: ``shortlever suggest`` and ``shortlever assess``, reading tape numbers as JSON, and
``shortlever team`` for a sheet of lifters.

Exit status 0 for a result (that no setup fits is a result too), 2 for input that cannot be used, with one
line on standard error that says what to do.
"""

from __future__ import annotations

import argparse
import io
import json
import os
import sys
from collections.abc import Sequence
from typing import Any, NoReturn

import shortlever
from shortlever.errors import InfeasibleError, InputError
from shortlever.gear import BARS, RULEBOOKS, Gear
from shortlever.lifts.bench.limits import COMFORTS
from shortlever.person.tape import Tape, read_tape
from shortlever.say.words import model_off
from shortlever.team.command import convert

MAX_CHARACTERS = 100_000  # of a tape as JSON


class _Parser(argparse.ArgumentParser):
    """Usage errors as one line with exit status 2."""

    def error(self, message: str) -> NoReturn:
        self.exit(2, f"{self.prog}: {message}. Try “{self.prog} --help”.\n")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit status."""
    for stream in (sys.stdout, sys.stderr):  # what a terminal cannot show becomes a question mark
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    try:
        if sys.stdout is None:  # closed before it began
            raise InputError("output", "closed", "", "Standard output is closed.", "Run it with an open one.")
        status = _run(arguments)
        sys.stdout.flush()
    except InputError as wrong:
        print(f"shortlever: {wrong.message} {wrong.remedy}".replace("\n", " "), file=sys.stderr)
        return 2
    except BrokenPipeError:  # who read it has enough; the rest goes nowhere
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    return status


def _run(arguments: Sequence[str] | None) -> int:
    options = _parser().parse_args(arguments)
    if options.command == "team":
        return _team(options)
    tape = _tape_from(options.tape)
    gear = Gear(bar=BARS[options.bar], rules=RULEBOOKS[options.rules])
    comfort = COMFORTS[options.comfort]
    try:
        text, data = (_suggest if options.command == "suggest" else _assess)(options, tape, gear, comfort)
    except InfeasibleError as none:
        text, data = f"No setup: {none.reason}", {"feasible": False, "reason": none.reason}
    print(json.dumps(data, indent=2, ensure_ascii=False) if options.json else text)
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="shortlever", description="Bench-press leverages from a tape to the body.")
    parser.add_argument("--version", action="version", version=f"shortlever {shortlever.__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="suggest|assess|team")
    suggest = commands.add_parser("suggest", help="grip, touch and tuck for a lifter, with the reasons")
    assess = commands.add_parser("assess", help="measure one setup of a lifter")
    for command in (suggest, assess):
        command.add_argument(
            "tape", metavar="TAPE.json", help="tape numbers as a JSON object, - for standard input"
        )
        command.add_argument(
            "--rules", choices=sorted(RULEBOOKS), default="ipf", help="rulebook (default ipf)"
        )
        command.add_argument("--bar", choices=sorted(BARS), default="power", help="bar with its rings")
        command.add_argument(
            "--comfort", choices=sorted(COMFORTS), default="usual", help="how far the arms flare"
        )
        command.add_argument("--json", action="store_true", help="everything, as JSON in SI units")
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
    team = commands.add_parser("team", help="a CSV of tape numbers in, a CSV of setups out")
    team.add_argument("sheet", metavar="IN.csv", help="one lifter a row, columns named; - for standard input")
    team.add_argument("out", metavar="OUT.csv", help="where the result goes; - for standard output")
    team.add_argument("--unit", choices=("cm", "in"), help="of numbers without one, and of the results")
    team.add_argument("--force", action="store_true", help="replace OUT.csv if it is there")
    return parser


def _tape_from(name: str) -> Tape:
    try:
        if name == "-":
            text = sys.stdin.read(MAX_CHARACTERS + 1) if sys.stdin else ""
        else:
            with open(name, encoding="utf-8-sig") as file:
                text = file.read(MAX_CHARACTERS + 1)
    except (OSError, UnicodeDecodeError) as wrong:
        reason = getattr(wrong, "strerror", None) or "not a text file"
        raise InputError(
            "tape", "unreadable", name, f"Cannot read {name}: {reason}.", "Give a JSON file or -."
        ) from None
    if len(text) > MAX_CHARACTERS:
        said = f"{name} has more than {MAX_CHARACTERS} characters; no tape has."
        raise InputError("tape", "too_long", name, said, 'Give an object such as {"arm_length": "62 cm"}.')
    try:
        data = json.loads(text)
    except (ValueError, RecursionError) as wrong:
        where = "too deep" if isinstance(wrong, RecursionError) else "a number with too many digits"
        where = f"line {wrong.lineno}" if isinstance(wrong, json.JSONDecodeError) else where
        raise InputError(
            "tape",
            "not_json",
            name,
            f"{name} is not JSON ({where}).",
            'Give an object such as {"arm_length": "62 cm"}.',
        ) from None
    if not isinstance(data, dict):
        raise InputError(
            "tape",
            "not_an_object",
            name,
            f"{name} is not a JSON object.",
            'Start with {"arm_length": "62 cm"}.',
        )
    return read_tape(data)


def _suggest(
    options: argparse.Namespace, tape: Tape, gear: Gear, comfort: Any
) -> tuple[str, dict[str, object]]:
    current = None
    if (options.current_grip is None) != (options.current_touch is None):
        missing = "--current-touch" if options.current_touch is None else "--current-grip"
        raise InputError("current", "missing", "", f"{missing} is missing.", "Give both or neither.")
    if options.current_grip is not None:
        current = shortlever.Setup(options.current_grip, options.current_touch)
    advice = shortlever.suggest(
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
    lines += [f"Because: {reason.message}" for reason in advice.binding]
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
    lines.append(CAUTION)
    return "\n".join(lines), advice.plain()


def _assess(
    options: argparse.Namespace, tape: Tape, gear: Gear, comfort: Any
) -> tuple[str, dict[str, object]]:
    setup = shortlever.Setup(options.grip, options.touch, options.load, options.sideways)
    got = shortlever.assess(tape, setup, gear=gear, comfort=comfort)
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
    return "\n".join(lines), {**got.plain(), "warnings": [m for _, _, m in tape.warnings()]}


def _team(options: argparse.Namespace) -> int:
    try:
        convert(options.sheet, options.out, options.unit, options.force)
    except KeyboardInterrupt:
        print("shortlever: stopped; nothing was written.", file=sys.stderr)
        return 130
    print(CAUTION, file=sys.stderr)
    return 0


CAUTION = (
    "Use a spotter or safety arms, and collars. Pain: stop and see a licensed clinician. "
    "The rulebook in force, the gym's rules and licensed practice prevail."
)
