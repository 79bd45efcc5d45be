"""The bottom on given feet: how far the hips sit back.

One freedom is left there, the shin's lean. Effort has one valley along it (checked against brute force in the
tests), and every limit is an end of it: the ankle and the shin's eversion outward stop the knees; lean, fold
and eversion inward stop the hips.

The dial moves how far the hips sit back inside FLAT of the least effort: at 0 the knees take most, at 1 hips
and back, in the middle effort is least.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from shortlever.lifts.squat.squat import Pose, Squat, Stance
from shortlever.numerics import crossing, minimum

FLAT = 0.05  # of effort, inside which the dial moves (assumption)
SHINS_RAD = (0.0, math.radians(60))
FIRST_STEP_RAD = 0.03
UNHELD_STEP_RAD = math.radians(3)
FAR_RAD = math.radians(30)  # from the valley, beyond which no dial goes
EDGE_RAD = 1e-4  # as near to a limit as counts as inside


@dataclass(frozen=True)
class Valley:
    """The bottom of least effort on given feet: the shin's lean, its pose, and by how much it breaks a limit
    (rad; 0 inside)."""

    shin_rad: float
    pose: Pose
    outside_rad: float

    @property
    def effort(self) -> float:
        """The effort there."""
        return self.pose.bears.effort


def dialled(valley: Valley, flat: tuple[float, float], preference: float) -> float:
    """The shin's lean where the dial stands: 0 the knees' end of the flat stretch, 1 the hips' end."""
    end, share = (flat[0], 1 - 2 * preference) if preference < 0.5 else (flat[1], 2 * preference - 1)
    return valley.shin_rad + share * (end - valley.shin_rad)


class Bottoms:
    """The bottoms of one squat on any feet."""

    def __init__(self, squat: Squat) -> None:
        self.squat, self.comfort = squat, squat.comfort

    def hips_room(self, pose: Pose | None) -> float:
        """How much further the hips could sit back: lean, fold, eversion inward, rad (- outside)."""
        if pose is None:
            return -1.0
        comfort, bears = self.comfort, pose.bears
        return min(
            comfort.lean_rad - pose.lean_rad,
            comfort.fold_rad - bears.hip_flexion_rad,
            comfort.evert_rad - pose.knee.evert_rad,
        )

    def knees_room(self, pose: Pose | None) -> float:
        """How much further the shin could lean before it turns outward over the foot, rad (- outside)."""
        return -1.0 if pose is None else self.comfort.evert_rad + pose.knee.evert_rad

    def most_shin(self, stance: Stance, ankle: bool = True) -> float:
        """How far the shin may lean on these feet; without the ankle's limit where ``ankle`` is False."""
        return min(stance.leg.most_shin_rad, SHINS_RAD[1]) if ankle else SHINS_RAD[1]

    def valley(self, stance: Stance, near: float | None = None, ankle: bool = True) -> Valley | None:
        """The bottom of least effort inside the limits, or the one that breaks them least; None where the
        legs hold none. ``near``: a shin's lean to look around first."""
        low, high = SHINS_RAD[0], self.most_shin(stance, ankle)
        if high <= low + 3 * FIRST_STEP_RAD:
            return None
        poses: dict[float, Pose | None] = {}

        def at(shin: float) -> Pose | None:
            if shin not in poses:
                poses[shin] = stance.bottom(shin)
            return poses[shin]

        def effort(shin: float) -> float:
            pose = at(shin)
            return pose.bears.effort if pose else 100.0 - shin

        found = None if near is None else self._descend(effort, at, near, low, high)
        pose = None if found is None else at(found)
        if found is not None and pose is not None and min(self.hips_room(pose), self.knees_room(pose)) >= 0:
            return Valley(found, pose, 0.0)
        while at(low) is None and low < high:  # no balance with the hips so far back
            low += UNHELD_STEP_RAD
        while at(high) is None and low < high:
            high -= UNHELD_STEP_RAD
        if low >= high:
            return None
        shin = minimum(effort, low, high, 1e-5)[0] if found is None else min(max(found, low), high)
        return self._inside(at, shin, low, high)

    def _inside(
        self, at: Callable[[float], Pose | None], shin: float, low: float, high: float
    ) -> Valley | None:
        """The shin pulled inside the limits; where they leave nothing, the one that breaks them least."""

        def hips(s: float) -> float:
            return self.hips_room(at(s))

        def knees(s: float) -> float:
            return self.knees_room(at(s))

        if hips(shin) < 0:
            shin = crossing(hips, high, shin) if hips(high) >= 0 else high
        elif knees(shin) < 0:
            shin = crossing(knees, low, shin) if knees(low) >= 0 else low
        if min(hips(shin), knees(shin)) < -EDGE_RAD:  # leaning further breaks the one, less the other
            if hips(low) >= knees(low):
                shin = low
            elif hips(high) <= knees(high):
                shin = high
            else:
                shin = crossing(lambda s: hips(s) - knees(s), high, low)
        pose = at(shin)
        if pose is None:
            return None
        return Valley(shin, pose, max(0.0, -self.hips_room(pose), -self.knees_room(pose)))

    def _descend(
        self,
        effort: Callable[[float], float],
        at: Callable[[float], Pose | None],
        near: float,
        low: float,
        high: float,
    ) -> float | None:
        """The least effort downhill from a guess by parabolas; a place outside a limit that effort falls
        away to is enough. None where that is not clear soon."""
        x, step = near, FIRST_STEP_RAD
        for _ in range(6):
            x = min(max(x, low + step), high - step)
            left, here, right = effort(x - step), effort(x), effort(x + step)
            bend = left + right - 2 * here
            downhill = 2 * step if left > right else -2 * step
            move = 0.5 * step * (left - right) / bend if bend > 0 else downhill
            to = min(max(x + move, low), high)
            if abs(move) <= step / 3 and step < FIRST_STEP_RAD:
                return to
            slopes = left > here > right or left < here < right
            if slopes and to in (low, high) and abs(move) > step:
                return to
            if abs(move) > 2 * step:
                to = x + downhill
                if (self.knees_room if move > 0 else self.hips_room)(at(x)) < 0:
                    return x
            else:
                step = max(step / 5, 1e-3) if abs(move) <= step else step
            x = to
        return None

    # ---- how far the hips sit back

    def flat(self, stance: Stance, valley: Valley) -> tuple[float, float]:
        """Shin's lean at the knees' and at the hips' end of the stretch inside FLAT of the least effort and
        inside the limits, rad."""
        return self._ends(stance, valley, (1 + FLAT) * valley.effort)

    def allowed(self, stance: Stance) -> tuple[Pose, Pose] | None:
        """The bottoms at both ends of what the limits allow, knees' end first; None where they allow none."""
        valley = self.valley(stance)
        if valley is None or valley.outside_rad > EDGE_RAD:
            return None

        knees, hips = (stance.bottom(shin) for shin in self._ends(stance, valley, math.inf))
        return knees or valley.pose, hips or valley.pose

    def _ends(self, stance: Stance, valley: Valley, most: float) -> tuple[float, float]:
        """The shin's lean at the knees' and at the hips' end of what the limits and an effort allow. Each
        side has its own limits: a valley at the edge of one side's may still go to the other."""
        shin = valley.shin_rad
        if valley.outside_rad > EDGE_RAD:
            return shin, shin

        def end(room: Callable[[Pose | None], float], far: float) -> float:
            def left(at: float) -> float:
                pose = stance.bottom(at)
                return -1.0 if pose is None else min(most - pose.bears.effort, room(pose))

            return crossing(left, shin, far)

        return (
            end(self.knees_room, min(self.most_shin(stance), shin + FAR_RAD)),
            end(self.hips_room, max(SHINS_RAD[0], shin - FAR_RAD)),
        )

    def shin_for(self, stance: Stance, sit_back_m: float) -> float | None:
        """The shin's lean of a bottom with the hips so far behind the middle of the feet; the nearest there
        is; None where the legs hold none."""
        low, high = SHINS_RAD[0], SHINS_RAD[1]

        def behind(shin: float) -> float:  # falls as the shin leans
            hip = stance.leg.hip_over_shin(shin, stance.squat.rise_m)
            return math.nan if hip is None else stance.middle_y - hip[1] - sit_back_m

        while math.isnan(behind(high)) and high > low:
            high -= math.radians(5)
        while math.isnan(behind(low)) and low < high:
            low += math.radians(5)
        if math.isnan(behind(low)) or math.isnan(behind(high)):
            return None
        if behind(low) <= 0:
            return low
        return crossing(behind, low, high, close=1e-9, apart=1e-10)
