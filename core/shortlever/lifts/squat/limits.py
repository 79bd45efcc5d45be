"""What a lifter's ankles, hips and back allow at the bottom: common practice without a source, parameters and
no injury thresholds. The ankle's own limit is taped (see ``legs.body``)."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Comfort:
    """How far a lifter opens the hips and folds (rad).

    ``spread_rad``: the thigh from straight ahead, seen from above; ``evert_rad``: the shin out of the plane
    of the foot; ``apart_rad``: thigh and foot, seen from above; ``lean_rad``: the trunk; ``fold_rad``:
    between trunk and thigh in space, with a caution from ``fold_caution_rad``.
    """

    name: str = "usual"
    spread_rad: float = math.radians(35)
    evert_rad: float = math.radians(15)
    apart_rad: float = math.radians(12)
    lean_rad: float = math.radians(65)
    fold_rad: float = math.radians(135)
    fold_caution_rad: float = math.radians(125)


COMFORTS = {
    "careful": Comfort("careful", spread_rad=math.radians(25)),
    "usual": Comfort(),
    "loose": Comfort("loose", spread_rad=math.radians(45)),
}
