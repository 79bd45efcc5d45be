"""The command line: ``shortlever suggest`` and ``shortlever assess``, reading tape numbers as JSON, and
``shortlever team`` for a sheet of lifters.

Exit status 0 for a result, 1 where no setup fits (standard output says why), 2 for input that cannot be used,
with one line on standard error that says what to do.
"""

from __future__ import annotations

import argparse
import io
import json
import os
import sys
from collections.abc import Sequence
from importlib import import_module

import shortlever
from shortlever.errors import InfeasibleError, InputError
from shortlever.lifts import LIFTS, UNNAMED, AnyLift
from shortlever.person.reading import read_tape
from shortlever.person.tape import Tape
from shortlever.say import ENGLISH, Language, Said, Voice, in_row
from shortlever.say.parser import Parser
from shortlever.team.command import convert

MAX_CHARACTERS = 100_000  # of a tape as JSON


def main(arguments: Sequence[str] | None = None, language: Language = ENGLISH) -> int:
    """Run one command; returns the exit status."""
    voice = Voice(language)
    for stream in (sys.stdout, sys.stderr):  # what a terminal cannot show becomes a question mark
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    try:
        if sys.stdout is None:  # closed before it began
            raise InputError("output", "closed", "", Said("output_closed"), Said("output_closed_remedy"))
        status = _run(arguments, voice)
        sys.stdout.flush()
    except InputError as wrong:
        print(voice.say(Said("command_failed", wrong.told())).replace("\n", " "), file=sys.stderr)
        return 2
    except BrokenPipeError:  # who read it has enough; the rest goes nowhere
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    return status


def _run(arguments: Sequence[str] | None, voice: Voice) -> int:
    lift = _lift_of(arguments)
    options = _parser(lift, voice).parse_args(arguments)
    if options.command == "team":
        return _team(options, voice)
    tape, status = _tape_from(options.tape), 0
    try:
        text, data = import_module(lift.commands).command(options, tape)
        text = in_row([text, _caution(lift)], "line") if options.command == "suggest" else text
    except InfeasibleError as none:
        text, data = Said("command_no_setup", {"why": none.said}), {"feasible": False, "reason": none.said}
        status = 1
    print(json.dumps(voice.all(data), indent=2, ensure_ascii=False) if options.json else voice.say(text))
    return status


def _lift_of(arguments: Sequence[str] | None) -> AnyLift:
    """The lift that is named: the other options are its own."""
    first = argparse.ArgumentParser(add_help=False, allow_abbrev=False, exit_on_error=False)
    first.add_argument("--lift", choices=LIFTS, default=UNNAMED)
    try:
        return LIFTS[first.parse_known_args(arguments)[0].lift]
    except argparse.ArgumentError:
        return LIFTS[UNNAMED]  # the whole parser says what is wrong


def _parser(lift: AnyLift, voice: Voice) -> Parser:
    parser = Parser(voice, prog="shortlever", description=Said("command_about"))
    version = f"shortlever {shortlever.__version__}"
    parser.option("--version", action="version", version=version, said=Said("help_version"))
    suggest, assess, team = parser.commands(
        suggest=Said("command_suggest"), assess=Said("command_assess"), team=Said("command_team")
    )
    for command in (suggest, assess):
        command.option("tape", metavar="TAPE.json", said=Said("option_tape"))
        command.option("--json", action="store_true", said=Said("option_json"))
    for command in (suggest, assess, team):
        which = Said("option_lift", {"lift": UNNAMED})
        command.option("--lift", choices=LIFTS, default=UNNAMED, said=which)
    import_module(lift.commands).add_options(suggest, assess)
    team.option("sheet", metavar="IN.csv", said=Said("option_sheet"))
    team.option("out", metavar="OUT.csv", said=Said("option_out"))
    team.option("--unit", choices=("cm", "in"), said=Said("option_unit"))
    team.option("--force", action="store_true", said=Said("option_force"))
    return parser


def _tape_from(name: str) -> Tape:
    try:
        if name == "-":
            text = sys.stdin.read(MAX_CHARACTERS + 1) if sys.stdin else ""
        else:
            with open(name, encoding="utf-8-sig") as file:
                text = file.read(MAX_CHARACTERS + 1)
    except (OSError, UnicodeDecodeError) as wrong:
        why = getattr(wrong, "strerror", None) or Said("tape_file_no_text")
        said = Said("file_unreadable", {"name": name, "why": why})
        raise InputError("tape", "unreadable", name, said, Said("tape_file_unreadable_remedy")) from None
    if len(text) > MAX_CHARACTERS:
        said = Said("tape_file_too_long", {"name": name, "most": MAX_CHARACTERS})
        raise InputError("tape", "too_long", name, said, Said("tape_file_such_as"))
    try:
        data = json.loads(text)
    except (ValueError, RecursionError) as wrong:
        where = Said("tape_file_too_deep" if isinstance(wrong, RecursionError) else "tape_file_digits")
        if isinstance(wrong, json.JSONDecodeError):
            where = Said("tape_file_line", {"line": wrong.lineno})
        said = Said("tape_file_not_json", {"name": name, "where": where})
        raise InputError("tape", "not_json", name, said, Said("tape_file_such_as")) from None
    if not isinstance(data, dict):
        said = Said("tape_file_no_object", {"name": name})
        raise InputError("tape", "not_an_object", name, said, Said("tape_file_start"))
    return read_tape(data)


def _team(options: argparse.Namespace, voice: Voice) -> int:
    try:
        convert(options.sheet, options.out, options.unit, options.force, LIFTS[options.lift], voice.language)
    except KeyboardInterrupt:
        print(voice.say(Said("command_stopped")), file=sys.stderr)
        return 130
    print(voice.say(_caution(LIFTS[options.lift])), file=sys.stderr)
    return 0


def _caution(lift: AnyLift) -> Said:
    return Said("command_caution", {"ready": lift.at_each_set.ready})
