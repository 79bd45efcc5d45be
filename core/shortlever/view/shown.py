"""Which setup the fit screen shows for a request: the suggested one, or one picked from the trade-off."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from shortlever.bench.measure import Setup
from shortlever.bench.press import Press
from shortlever.bench.search import DEFAULT_PREFERENCE, Search
from shortlever.body import Body
from shortlever.tape import Tape
from shortlever.view.read import Reading


def press_of(reading: Reading, tape: Tape) -> Press:
    """The press of a lifter under the gear that was read, at body weight."""
    body = Body.from_tape(tape)
    return Press(body, reading.gear, reading.comfort, load_kg=body.body_mass_kg)


def preference_of(request: Mapping[str, Any]) -> float:
    """The dial of a request, 0 to 1."""
    value = request.get("preference", DEFAULT_PREFERENCE)
    return float(value) if isinstance(value, int | float) and 0 <= value <= 1 else DEFAULT_PREFERENCE


def chosen(press: Press, request: Mapping[str, Any], suggested: Setup) -> Setup | None:
    """The setup picked from the trade-off, pulled inside the limits; None where none was picked."""
    choice = request.get("choice")
    if not isinstance(choice, Mapping):
        return None
    values = [choice.get("grip_m"), choice.get("touch_m")]
    if not all(isinstance(v, int | float) and abs(v) < 1e6 for v in values):
        return None
    search = Search(press)
    grip = min(max(float(values[0]), search.narrowest), search.widest)  # type: ignore[arg-type]
    near = search.nearest(grip)
    touch = min(max(float(values[1]), near), max(search.furthest_m, near))  # type: ignore[arg-type]
    return Setup(grip, touch, suggested.load_kg)
