"""What a lifter's joints are let do in a pull. Common practice without a source where nothing else is said,
and parameters, not injury thresholds."""

from __future__ import annotations

import math
from dataclasses import dataclass

STYLES = ("conventional", "sumo")

MOST_LEAN_RAD = math.radians(88)  # the trunk level
MOST_FLEXION_RAD = math.radians(135)  # between trunk and thigh, in space
CAUTION_FLEXION_RAD = math.radians(125)  # the pelvis may tuck from here
MOST_EVERSION_RAD = math.radians(15)  # of the shin across the foot
LEAST_PRESSURE, MOST_PRESSURE = 0.2, 0.7  # under the foot from the heel, share of its length


@dataclass(frozen=True)
class Comfort:
    """How far a lifter lets the thighs turn out and stray from the toes (rad), seen from above.

    ``spread_rad``: the thigh's azimuth, conventional and sumo; ``align_rad``: between thigh and foot.
    """

    name: str
    spread_rad: tuple[float, float]
    align_rad: float

    def most_spread_rad(self, style: str) -> float:
        """How far the thighs may turn out in a style, rad."""
        return self.spread_rad[STYLES.index(style)]


def _comfort(name: str, conventional: float, sumo: float, align: float) -> Comfort:
    return Comfort(name, (math.radians(conventional), math.radians(sumo)), math.radians(align))


COMFORTS = {
    one.name: one
    for one in (
        _comfort("usual", 35, 50, 15),
        _comfort("careful", 25, 40, 12),
        _comfort("loose", 45, 60, 15),
    )
}
