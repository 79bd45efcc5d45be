"""Invented lifters for the tests of the core. Standard library and pytest only: it runs in Pyodide too."""

from __future__ import annotations

import pytest

from shortlever import Body, Suggestion, Tape, suggest
from shortlever.lifts.bench.press import Press

TALL = {"arm_length": 0.72, "shoulder_breadth": 0.43, "stature": 1.95, "body_mass": 98.0, "sex": "male"}
SMALL = {"arm_length": 0.55, "shoulder_breadth": 0.35, "sex": "female"}
ARCHED = {"arm_length": 0.62, "shoulder_breadth": 0.39, "chest_flat": 0.24, "chest_arched": 0.31}
MIDDLE = {"arm_length": 0.665, "shoulder_breadth": 0.416}
UNEVEN = {"arm_length": 0.66, "shoulder_breadth": 0.41, "left": {"arm_length": 0.645}}


@pytest.fixture(scope="session")
def lifters() -> dict[str, Body]:
    """A tall man, a small woman, one with a big arch, one in the middle: all symmetric."""
    tapes = {"tall": TALL, "small": SMALL, "arched": ARCHED, "middle": MIDDLE}
    return {name: Body.from_tape(Tape(**tape)) for name, tape in tapes.items()}


@pytest.fixture(scope="session")
def middle(lifters: dict[str, Body]) -> Body:
    return lifters["middle"]


@pytest.fixture(scope="session")
def uneven() -> Body:
    """A lifter whose left arm is 15 mm shorter."""
    return Body.from_tape(Tape(**UNEVEN))


@pytest.fixture(scope="session")
def press(middle: Body) -> Press:
    return Press(middle, load_kg=80.0)


@pytest.fixture(scope="session")
def advice(lifters: dict[str, Body], uneven: Body) -> dict[tuple[str, float], Suggestion]:
    """The suggestion of every lifter at the ends and in the middle of the dial."""
    bodies = {**lifters, "uneven": uneven}
    return {
        (name, preference): suggest(body, preference=preference)
        for name, body in bodies.items()
        for preference in (0.0, 0.5, 1.0)
    }
