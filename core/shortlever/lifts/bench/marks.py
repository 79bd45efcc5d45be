"""How a setup is found again on a strange bar, bench and rack, with this lifter's own hand for a ruler."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.lifts.bench.measure import Assessment
from shortlever.lifts.bench.press import Press

HOOK_BELOW_LOCKOUT_M = 0.05  # room to lift the bar out of the hooks (common practice, no source)
# The nipple line under the shoulder tip, where the model has the breastbone notch: acromial minus chest
# height of 4,082 men, share of stature (ANSUR II; SD 0.011, 2 cm). Women's spread more, and are not used.
NIPPLE_LINE_OF_STATURE = 0.0852


@dataclass(frozen=True)
class Marks:
    """Lengths in m; fingers are breadths of the lifter's own.

    ``fingers_from_ring``: forefinger inside the nearest ring mark (- outside), whose pair is ``ring_m``
    apart; both None on a bar without rings. ``from_sleeve_m``: from the forefinger out to the sleeve.
    ``touch_fingers``: the touch down from the breastbone notch. ``hook_above_floor_m``: of the hooks, so that
    the bar can be lifted out; ``hole``: that hole counted from the lowest, 0 where it would be lower, None
    where the rack's holes are not known.
    """

    fingers_from_ring: float | None
    ring_m: float | None
    from_sleeve_m: float
    touch_tape_m: float
    touch_fingers: float
    rack_height_above_pad_m: float
    rack_height_above_floor_m: float
    hook_above_floor_m: float
    hole: int | None


def finger_m(press: Press) -> float:
    """How broad a finger is, m: a quarter of the hand."""
    return press.body.hand_breadth_m / 4


def marks_of(press: Press, got: Assessment) -> Marks:
    """The marks of a setup on the bar, the chest and the rack."""
    gear, finger = press.gear, finger_m(press)
    ring = min(gear.bar.rings_m, key=lambda apart: abs(apart - got.grip_m), default=None)
    hook = got.rack_height_above_floor_m - HOOK_BELOW_LOCKOUT_M
    hole = None
    if gear.rack:
        hole = max(math.floor((hook - gear.rack.lowest_m) / gear.rack.spacing_m + 1e-9) + 1, 0)
    return Marks(
        fingers_from_ring=None if ring is None else (ring - got.grip_m) / 2 / finger,
        ring_m=ring,
        from_sleeve_m=(gear.bar.between_collars_m - got.grip_m) / 2,
        touch_tape_m=got.touch_tape_m,
        touch_fingers=got.touch_tape_m / finger,
        rack_height_above_pad_m=got.lockout_height_m,
        rack_height_above_floor_m=got.rack_height_above_floor_m,
        hook_above_floor_m=hook,
        hole=hole,
    )


def fingers_under_nipple_line(press: Press, got: Assessment) -> float:
    """How far under a man's nipple line the touch lies, in his fingers (- above it)."""
    line = NIPPLE_LINE_OF_STATURE * press.body.stature_m
    return (got.touch_tape_m - line) / finger_m(press)
