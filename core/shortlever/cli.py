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
from importlib import import_module
from typing import NoReturn

import shortlever
from shortlever.errors import InfeasibleError, InputError
from shortlever.lifts import LIFTS, UNNAMED, AnyLift
from shortlever.person.reading import read_tape
from shortlever.person.tape import Tape
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
    lift = _lift_of(arguments)
    options = _parser(lift).parse_args(arguments)
    if options.command == "team":
        return _team(options)
    tape = _tape_from(options.tape)
    try:
        text, data = import_module(lift.commands).command(options, tape)
        text += f"\n{CAUTION}" * (options.command == "suggest")
    except InfeasibleError as none:
        text, data = f"No setup: {none.reason}", {"feasible": False, "reason": none.reason}
    print(json.dumps(data, indent=2, ensure_ascii=False) if options.json else text)
    return 0


def _lift_of(arguments: Sequence[str] | None) -> AnyLift:
    """The lift that is named: the other options are its own."""
    first = argparse.ArgumentParser(add_help=False, allow_abbrev=False, exit_on_error=False)
    first.add_argument("--lift", choices=LIFTS, default=UNNAMED)
    try:
        return LIFTS[first.parse_known_args(arguments)[0].lift]
    except argparse.ArgumentError:
        return LIFTS[UNNAMED]  # the whole parser says what is wrong


def _parser(lift: AnyLift) -> argparse.ArgumentParser:
    parser = _Parser(prog="shortlever", description="Leverages of a lift from a tape to the body.")
    parser.add_argument("--version", action="version", version=f"shortlever {shortlever.__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="suggest|assess|team")
    suggest = commands.add_parser("suggest", help="a setup for a lifter, with the reasons")
    assess = commands.add_parser("assess", help="measure one setup of a lifter")
    team = commands.add_parser("team", help="a CSV of tape numbers in, a CSV of setups out")
    for command in (suggest, assess):
        command.add_argument(
            "tape", metavar="TAPE.json", help="tape numbers as a JSON object, - for standard input"
        )
        command.add_argument("--json", action="store_true", help="everything, as JSON in SI units")
    for command in (suggest, assess, team):
        command.add_argument("--lift", choices=LIFTS, default=UNNAMED, help=f"which lift (default {UNNAMED})")
    import_module(lift.commands).add_options(suggest, assess)
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


def _team(options: argparse.Namespace) -> int:
    try:
        convert(options.sheet, options.out, options.unit, options.force, LIFTS[options.lift])
    except KeyboardInterrupt:
        print("shortlever: stopped; nothing was written.", file=sys.stderr)
        return 130
    print(CAUTION, file=sys.stderr)
    return 0


CAUTION = (
    "Use a spotter or safety arms, and collars. Pain: stop and see a licensed clinician. "
    "The rulebook in force, the gym's rules and licensed practice prevail."
)
