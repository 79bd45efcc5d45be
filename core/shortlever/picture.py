"""The figure of a setup as a picture, for notebooks and files. Not part of the browser's library."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

from shortlever.errors import InputError
from shortlever.fitting.fit import fit
from shortlever.fitting.request import lift_of
from shortlever.lifts import UNNAMED
from shortlever.lifts.lift import Reading
from shortlever.person.tape import Tape
from shortlever.say import Said, Voice

__all__ = ["Picture", "picture"]

LIGHT = {
    "chalk": "#eef0eb",
    "ink": "#1b2023",
    "quiet": "#4c565a",
    "line": "#8b9598",
    "key": "#f7f8f5",
    "skin": "#d3d8d4",
    "tape": "#f6c617",
    "oxide": "#9c2d12",
}
TYPE = '"Arial Narrow", system-ui, sans-serif'


@dataclass(frozen=True)
class Picture:
    """SVG text with its own colours; a notebook shows it, ``save`` writes it to a file."""

    svg: str

    def _repr_svg_(self) -> str:
        return self.svg

    def save(self, path: str | Path) -> None:
        """Write it as an SVG file. Raises OSError where that cannot be."""
        Path(path).write_text(self.svg, encoding="utf-8")


def picture(
    lifter: Tape,
    *,
    lift: str = UNNAMED,
    view: str = "",
    parts: Mapping[str, float] | None = None,
    unit: str = "cm",
    **choices: str,
) -> Picture:
    """The figure of the suggested setup, rounded to what can be set in ``unit`` ("cm" or "in").

    ``view``: one of the lift's ("side", …), the first where none is named. ``parts``: a setup of one's own by
    its parts (m, degrees where named), pulled inside the limits. ``choices``: those of the form (rules, bar,
    comfort, …). Raises InputError for a lift or view that does not exist or a choice without such an option,
    TypeError for a choice that the lift does not have, InfeasibleError where no setup fits.

    >>> shown = picture(Tape(arm_length=0.665, shoulder_breadth=0.416))
    >>> shown.svg[:5], "Suggested" in shown._repr_svg_()
    ('<svg ', True)
    """
    known = lift_of({"lift": lift})
    chosen = {one.key: choices.pop(one.key, one.default) for one in known.choices}
    if choices:
        raise TypeError(f"{known.key} has no choice {', '.join(choices)}")
    for one in known.choices:
        _check(one.key, chosen[one.key], tuple(one.options))
    reading = Reading(known, unit, lifter, chosen=chosen | ({"sex": lifter.sex} if lifter.sex else {}))
    figure = known.screen(fit(reading, {"choice": parts} if parts else {}))["figure"]
    views = {one["key"]: one["svg"] for one in figure["views"]}
    key = view or next(iter(views))
    _check("view", key, tuple(views))
    return Picture(_alone(Voice(unit=unit).say(views[key])))


def _check(key: str, value: str, allowed: tuple[str, ...]) -> None:
    if value not in allowed:
        said = Said("not_a_choice", {"label": key, "given": str(value)[:24]})
        raise InputError(
            key, "not_a_choice", str(value)[:24], said, Said("choose_one_of", {"options": allowed})
        )


def _alone(drawn: str) -> str:
    """The drawing with its look inside it, and ids that no other picture of the page has."""
    own = "f" + hashlib.sha256(drawn.encode()).hexdigest()[:8]
    drawn = re.sub(r'(id="|aria-labelledby="| )(fig-)', rf"\1{own}-\2", drawn)
    look = files("shortlever.draw").joinpath("figure.css").read_text("utf-8")
    look = re.sub(r"/\*.*?\*/", "", look.split("@media")[0], flags=re.DOTALL)
    rules = "".join(f"--{name}: {colour}; " for name, colour in LIGHT.items())
    style = f".shortlever {{ {rules}--type: {TYPE}; background: var(--chalk); }}\n{look}"
    style += ".shortlever .fig-label { font-size: 14px; }"  # the type beside it may be wide
    drawn = drawn.replace(' preserveAspectRatio="xMidYMin slice"', "")
    return drawn.replace("<svg ", '<svg class="shortlever" ', 1).replace("><", f"><style>{style}</style><", 1)
