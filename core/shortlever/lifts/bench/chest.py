"""The chest that the bar is lowered to: height above the pad as a smooth function of distance.

Lying flat it is a parabola through the breastbone notch with its top at the height where chest depth is
measured (``Body.chest_y_m``). An arch of r metres raises it by a line that gives r/2 at the notch and r at
the top: half of an arch lifts, half of it tilts (common practice, no source). So more arch raises and tilts
the chest, and its top moves away from the shoulders. All lengths m; heights above the pad.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.person.body import Body

PAST_THE_TOP_M = 0.03  # how far past the top of the chest the bar may be touched (common practice, no source)
LIFT_SHARE = 0.5  # of an arch at the notch; the rest is tilt


@dataclass(frozen=True)
class Chest:
    """height(y) = top - curve (y - top_y)^2, y from the shoulder line toward the feet (m)."""

    top_m: float
    top_y_m: float
    curve_per_m: float
    notch_y_m: float

    @property
    def end_y_m(self) -> float:
        """The y furthest from the shoulders at which the bar still rests on the chest, m."""
        return self.top_y_m + PAST_THE_TOP_M

    def height_m(self, y_m: float) -> float:
        """Chest surface above the pad at y, m."""
        return self.top_m - self.curve_per_m * (y_m - self.top_y_m) ** 2

    def tape_m(self, y_m: float) -> float:
        """Tape along the breastbone from the notch down to y, m (arc length of the profile; - above it)."""
        return self._arc(y_m) - self._arc(self.notch_y_m)

    def _arc(self, y_m: float) -> float:
        slope = -2 * self.curve_per_m * (y_m - self.top_y_m)
        return -(slope * math.hypot(1, slope) + math.asinh(slope)) / (4 * self.curve_per_m)

    def y_at_tape_m(self, tape_m: float) -> float:
        """The y that lies ``tape_m`` down from the notch: the inverse of ``tape_m`` (Newton), m."""
        y = self.notch_y_m + tape_m
        for _ in range(20):
            slope = -2 * self.curve_per_m * (y - self.top_y_m)
            step = (self.tape_m(y) - tape_m) / math.hypot(1, slope)
            y -= step
            if abs(step) < 1e-10:
                break
        return y


def chest_of(body: Body) -> Chest:
    """The chest of a body in its arch."""
    span = body.chest_y_m - body.notch_y_m
    curve = max((body.chest_flat_m - body.notch_height_m) / span**2, 0.1)
    rise = body.chest_arched_m - body.chest_flat_m
    tilt = rise * (1 - LIFT_SHARE) / span
    return Chest(
        top_m=body.chest_arched_m + tilt**2 / (4 * curve),
        top_y_m=body.chest_y_m + tilt / (2 * curve),
        curve_per_m=curve,
        notch_y_m=body.notch_y_m,
    )
