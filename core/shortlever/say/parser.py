"""A command line whose help is said by a voice."""

from __future__ import annotations

import argparse
from functools import partial
from typing import Any, NoReturn

from shortlever.say import Said, Text, Voice
from shortlever.units import ANGLE_UNITS, DEGREE, LENGTH_UNITS, MASS_UNITS, UnreadableError, read_quantity

UNITS = {"M": (LENGTH_UNITS, "m"), "KG": (MASS_UNITS, "kg"), "DEG": (ANGLE_UNITS, DEGREE)}


class _Formatter(argparse.HelpFormatter):
    def __init__(self, prog: str, usage: str) -> None:
        super().__init__(prog)
        self.usage = usage

    def add_usage(self, usage: Any, actions: Any, groups: Any, prefix: str | None = None) -> None:
        super().add_usage(usage, actions, groups, self.usage if prefix is None else prefix)


class Parser(argparse.ArgumentParser):
    """The options of a command. Usage errors are one line, in argparse's own words, with exit status 2."""

    def __init__(self, voice: Voice, *, description: Text | None = None, **more: Any) -> None:
        worded = partial(_Formatter, usage=voice.say(Said("help_usage")))
        about = None if description is None else voice.say(description)
        super().__init__(description=about, formatter_class=worded, add_help=False, **more)
        self.voice = voice
        self._positionals.title, self._optionals.title = map(
            voice.say, (Said("help_given"), Said("help_options"))
        )
        self.option("-h", "--help", action="help", said=Said("help_help"))

    def option(self, *names: str, said: Text, **more: Any) -> None:
        """An argument or an option, and what it is for. A number of M, KG or DEG may carry a unit."""
        if more.get("type") is float:
            more["type"] = partial(self._number, more.get("metavar"))
        self.add_argument(*names, help=self.voice.say(said).replace("%", "%%"), **more)

    def commands(self, **said: Text) -> list[Parser]:
        """The parsers of its commands; the name of the one that was given is ``command``."""
        voice = self.voice

        class Command(Parser):
            def __init__(self, **more: Any) -> None:
                super().__init__(voice, **more)

        made = self.add_subparsers(
            dest="command", required=True, metavar="|".join(said), parser_class=Command
        )
        return [made.add_parser(name, help=self.voice.say(text)) for name, text in said.items()]

    def _number(self, counts: str | None, text: str) -> float:
        """A number from an argument: bare, in m, kg or °, or with its unit."""
        try:
            return float(text)
        except ValueError:
            pass
        if counts not in UNITS:
            raise argparse.ArgumentTypeError(self.voice.say(Said("option_no_number", {"given": text[:24]})))
        units, bare = UNITS[counts]
        try:
            return read_quantity(text, units, bare) / units[bare]
        except UnreadableError as why:
            said = Said(
                "option_unreadable", {"given": text[:24], "why": Said(why.code, why.values), "unit": bare}
            )
            raise argparse.ArgumentTypeError(self.voice.say(said)) from None

    def error(self, message: str) -> NoReturn:
        """End with the error in one line."""
        said = Said("help_wrong", {"program": self.prog, "message": message})
        self.exit(2, self.voice.say(said) + "\n")
