"""What a setup is worth: the one measure that places the suggestion and from which sets start their belief.

Three things count, all of model.md: the hardest point (limit-load index), the stroke, and what the shoulders
carry (mean moment arm). Each is told as a shortfall, a natural logarithm (0.01 is about 1 %), from the best
that this lifter can have inside the limits:

* of the hardest point, only what falls short by more than INDEX_SLACK: less cannot be seen on a platform;
* of stroke and arm the larger one, weighed by the dial p: (1 - p) x ln(stroke / shortest) or
  p x ln(arm / shortest) / STROKE_WEIGHT, of which what cannot be told counts less (``ARM_TOLD``). At p = 1/2
  one percent of stroke counts like half a percent at the hardest point, about what Fit pays for it: from the
  strongest grip to the widest good one index falls by INDEX_SLACK for some 4 % of stroke.

A setup is worth the less the more it falls short. The suggestion is where the two wishes fall short alike, so
that no other setup inside the limits is worth more (``search``).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.lifts.bench.measure import Assessment

# One percent of stroke weighs as much as four of arm, about the ratio in which the two vary over setups.
STROKE_WEIGHT = 4.0
# How much of the best limit-load index may be given up for a shorter stroke: the smallest step of a bar, 2.5
# kg in 100 (rulebooks). Less cannot be seen on a platform.
INDEX_SLACK = 0.025
# Two setups whose worth differs by less are too close to matter: what Sets calls so unless told otherwise.
TOO_CLOSE = 0.02
# Of the arm, a shortfall of about this much counts half and a smaller one less: 0.4 % of it are 0.3 mm. Where
# all grips have the same arm to that, the dial near the arm would else move a grip by 6 mm for 1 mm of tape.
ARM_TOLD = 0.004
LEAST_ARM_M = 1e-4  # keeps the logarithm finite when the bar touches on the shoulder line
# What of a difference is believed to come out on the bar. Lifters' one-rep max moved a third as much between
# grips as the limit-load index did (rows C2, four ratios of 14 men: least-squares slope 0.34, worked out anew
# by tests/authorities). Of the stroke nothing is known, so it is believed no more.
BELIEVED = 1 / 3


@dataclass(frozen=True)
class Yardstick:
    """What the setups of one lifter are measured against: the best limit-load index, the shortest stroke and
    the shortest mean arm (m) that the search goes between, and the dial (0 stroke, 1 arm)."""

    preference: float
    index: float
    stroke_m: float
    arm_m: float

    def lean(self, stroke_m: float, arm_m: float) -> float:
        """By how much more a setup falls short in stroke than in arm, weighed; 0 at the suggestion."""
        stroke = (1 - self.preference) * STROKE_WEIGHT * math.log(stroke_m / self.stroke_m)
        return stroke - self.preference * self._arm_short(arm_m)

    def _arm_short(self, arm_m: float) -> float:
        """By how much a mean arm falls short, ln, 0 where it is the shortest."""
        short = max(math.log(max(arm_m, LEAST_ARM_M) / self.arm_m), 0.0)
        return short**2 / (short + ARM_TOLD)

    def worth(self, index: float, stroke_m: float, arm_m: float) -> float:
        """What a setup is worth, ln, 0 at best; only differences matter.

        >>> yard = Yardstick(0.5, 2.0, 0.36, 0.04)
        >>> [round(yard.worth(2.0, *setup), 3) for setup in ((0.36, 0.04), (0.40, 0.04), (0.40, 0.08))]
        [-0.0, -0.053, -0.086]
        >>> yard.worth(1.96, 0.36, 0.04) == 0, round(yard.worth(1.8, 0.36, 0.04), 3)
        (True, -0.08)
        """
        stroke = (1 - self.preference) * math.log(stroke_m / self.stroke_m)
        arm = self.preference * self._arm_short(arm_m) / STROKE_WEIGHT
        hardest = math.log((1 - INDEX_SLACK) * self.index / max(index, 1e-9))
        return -max(stroke, arm, 0.0) - max(hardest, 0.0)

    def of(self, got: Assessment) -> float:
        """What a measured setup is worth, ln."""
        return self.worth(got.limit_load_index, got.range_of_motion_m, got.mean_moment_arm_m)

    def believed_index(self, worth: float) -> float:
        """The limit-load index that sets start from: its ratios are those of the loads that are believed."""
        return self.index * math.exp(BELIEVED * worth)
