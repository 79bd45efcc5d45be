"""What a lifter can choose in a pull, and the lifter under a bar who chooses it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.errors import InfeasibleError, InputError
from shortlever.lifts.deadlift.comfort import STYLES, Comfort
from shortlever.lifts.deadlift.gear import Gear
from shortlever.lifts.deadlift.pull import MOST_AHEAD_M, SOLE_M, Pose, Pull
from shortlever.lifts.legs.body import Standing
from shortlever.lifts.legs.leg import Feet
from shortlever.say import Said
from shortlever.units import with_plain_numbers

AHEAD_M = 0.07  # shoulder joint in front of the bar: the blade over the bar (common practice, no source)
USUAL_LOAD = 1.8  # body weights: what a setup is worked out for where no load is given (practice)
HALF_CALF_M = 0.058  # half the breadth of a calf, at REFERENCE_STATURE_M (memory)
LEAST_GRIP_M, MOST_GRIP_M = 0.20, 1.10
RANGES = (
    ("stance_m", 0.08, 1.3, "m"),
    ("turn_out_deg", 0.0, 75.0, "degrees"),
    ("grip_m", LEAST_GRIP_M, MOST_GRIP_M, "m"),
    ("shoulder_ahead_m", -0.05, MOST_AHEAD_M, "m"),
)


def no_style(given: object) -> InputError:
    """What is no style, refused."""
    short = str(given)[:24]
    said = Said("setup_no_choice", {"name": "style", "given": short})
    return InputError("style", "not_a_choice", short, said, Said("choose_one_of", {"options": STYLES}))


def out_of_range(name: str, given: object, low: float, high: float, unit: str) -> InputError:
    """A number out of range, refused."""
    of = {"name": name, "given": repr(given), "low": low, "high": high, "unit": unit}
    remedy = Said("setup_out_of_range_remedy", of)
    return InputError(name, "out_of_range", repr(given)[:24], Said("setup_out_of_range", of), remedy)


@dataclass(frozen=True)
class Setup:
    """Style, ankle joints apart (m), turn-out of each foot (deg), middles of the hands apart (m), and how far
    the shoulder joints start in front of the bar (m).

    >>> Setup("conventional", stance_m=0.3, turn_out_deg=12.0, grip_m=0.52).shoulder_ahead_m
    0.07
    """

    style: str
    stance_m: float
    turn_out_deg: float
    grip_m: float
    shoulder_ahead_m: float = AHEAD_M

    def __post_init__(self) -> None:
        if self.style not in STYLES:
            raise no_style(self.style)
        with_plain_numbers(self, (name for name, *_ in RANGES))
        for name, low, high, unit in RANGES:
            value = getattr(self, name)
            if not isinstance(value, int | float) or not low <= value <= high:
                raise out_of_range(name, value, low, high, unit)


@dataclass(frozen=True)
class Puller:
    """A body before a bar of so many kg, with its gear and comfort. ``style``: the one to be shown, ""
    any."""

    body: Standing
    gear: Gear
    comfort: Comfort
    load_kg: float
    style: str = ""

    def pull(self, setup: Setup) -> Pull:
        """The pull of a setup. Raises InfeasibleError where the hands are too far apart for the arms."""
        pull = self.on(setup.stance_m, math.radians(setup.turn_out_deg), setup.grip_m)
        if not pull.reaches:
            raise InfeasibleError(Said("pull_grip_beyond_reach", {"grip_m": setup.grip_m}))
        return pull

    def on(self, stance_m: float, turn_rad: float, grip_m: float) -> Pull:
        """The pull on feet so far apart and turned out, with the hands so far apart."""
        feet = Feet(stance_m, turn_rad, 0.0, SOLE_M)
        return Pull(self.body, feet, grip_m, self.load_kg, self.gear.bar.diameter_m)

    @property
    def plumb_m(self) -> float:
        """The grip of arms that hang plumb, m."""
        return 2 * self.body.half_shoulder_m

    @property
    def beside_m(self) -> float:
        """From the middle of a leg to that of a hand that passes it, m."""
        return HALF_CALF_M * self.body.size + self.body.hand_breadth_m / 2

    def hands_room_m(self, style: str, pull: Pull, pose: Pose) -> float:
        """How far each hand is clear of the leg at the start, m (- in its way): of ankle and knee, whichever
        is nearer to it."""
        ankle, knee, hand = pull.leg.ankle[0], pose.knee.at[0], pull.grip_m / 2
        if style == "conventional":
            return hand - max(ankle, knee) - self.beside_m
        return min(ankle, knee) - self.beside_m - hand
