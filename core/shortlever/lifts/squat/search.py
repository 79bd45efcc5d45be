"""The search for a setup: how far the hips sit back, turn-out, stance and heel inside all limits.

On given feet the bottom has one freedom, the shin's lean. Effort has one valley along it (checked against
brute force in the tests), and every limit is an end of it: the ankle and the shin's eversion outward stop the
knees, lean, fold and eversion inward stop the hips. Of the feet, the turn-out of least effort is taken,
mostly the one that the hips' comfort allows; the stance is the widest whose effort stays within SLACK of the
best stance's: it has the shortest stroke among those. A heel is raised where the ankle costs more than
ANKLE_COSTS of effort, by the least that brings it down to that.

The dial moves how far the hips sit back inside FLAT of the least effort: at 0 the knees take most, at 1 hips
and back, in the middle effort is least.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from shortlever.errors import InfeasibleError
from shortlever.lifts.squat.squat import Pose, Squat, Stance
from shortlever.numerics import crossing, minimum
from shortlever.say import Said

DEFAULT_PREFERENCE = 0.5
SLACK = 0.03  # of effort, given up for a shorter stroke: less than sets can tell (assumption)
FLAT = 0.05  # of effort, inside which the dial moves (assumption)
ANKLE_COSTS = 0.01  # of effort, from which a heel is worth its lift (assumption)
MOST_HEEL_M = 0.025  # lifting shoes have 15 to 25 mm (practice)
NARROWEST_M, WIDEST_M = 0.20, 1.10  # ankles apart, that are looked at
MOST_TURN_RAD = math.radians(60)
SHINS_RAD = (0.0, math.radians(60))
FIRST_STEP_RAD = 0.03
STARTS = (0.50, 0.35, 0.70)  # stances to start from (m)
STANCE_STEP_M, STANCE_CLOSE_M = 0.06, 0.004
EFFORT_CLOSE = 1e-4  # a tenth of a millimetre of stance
TURN_STEP_RAD, CLOSE_RAD = 0.02, 2e-5
BEYOND, BROKEN = 1000.0, 100.0  # of effort, for feet that hold nothing and for those that break a limit
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


@dataclass(frozen=True)
class Found:
    """Feet and the bottom of least effort on them: stance and heel (m), turn-out (rad)."""

    stance_m: float
    turn_rad: float
    heel_m: float
    valley: Valley


class Search:
    """The setups of one squat. ``most_shin_rad``: how far the ankle lets a shin lean is asked of the feet."""

    def __init__(self, squat: Squat) -> None:
        self.squat = squat
        self.comfort = squat.comfort

    # ---- on given feet

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
            return pose.bears.effort if pose else 100.0 - shin  # no balance with the hips so far back

        found = None if near is None else self._descend(effort, at, near, low, high)
        shin = minimum(effort, low, high, 1e-5)[0] if found is None else found
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
            if (
                (to == high or to == low)
                and abs(move) > step
                and (left > here > right or left < here < right)
            ):
                return to
            if abs(move) > 2 * step:
                to = x + downhill
                if (self.knees_room if move > 0 else self.hips_room)(at(x)) < 0:
                    return x
            else:
                step = max(step / 5, 1e-3) if abs(move) <= step else step
            x = to
        return None

    # ---- the feet

    def spread_room(self, turn: float, pose: Pose) -> float:
        """How much further the foot could turn out, rad (- outside)."""
        comfort = self.comfort
        return min(comfort.spread_rad - pose.spread_rad, comfort.apart_rad - abs(pose.spread_rad - turn))

    def at(
        self, stance_m: float, heel_m: float, near: Found | None = None, ankle: bool = True
    ) -> Found | None:
        """The turn-out of least effort at a stance, mostly the widest that comfort allows."""
        found = self._widest_turn(stance_m, heel_m, near, ankle)
        if found is None or found.turn_rad < TURN_STEP_RAD or self._eases_outward(found):
            return found

        def effort(turn: float) -> float:
            return self._cost(self._on(stance_m, turn, heel_m, found.valley.shin_rad, ankle))

        turn = minimum(effort, 0.0, found.turn_rad, 2e-3)[0]
        other = self._on(stance_m, turn, heel_m, found.valley.shin_rad, ankle)
        return found if other is None or self._cost(other) > self._cost(found) else other

    def _eases_outward(self, found: Found) -> bool:
        """Whether effort falls as the feet turn further out. (In a valley the shin's own change does not
        count, and at the ankle's limit it has none.)"""
        turn = found.turn_rad - TURN_STEP_RAD
        pose = self.squat.on(found.stance_m, turn, found.heel_m).bottom(found.valley.shin_rad)
        if (
            pose is None
            or min(self.hips_room(pose), self.knees_room(pose)) < -found.valley.outside_rad - EDGE_RAD
        ):
            return True
        return pose.bears.effort >= found.valley.effort

    def _on(
        self, stance_m: float, turn: float, heel_m: float, near: float | None, ankle: bool
    ) -> Found | None:
        valley = self.valley(self.squat.on(stance_m, turn, heel_m), near, ankle)
        return None if valley is None else Found(stance_m, turn, heel_m, valley)

    def _widest_turn(self, stance_m: float, heel_m: float, near: Found | None, ankle: bool) -> Found | None:
        """The widest turn-out whose thigh keeps the comfort limit: the thigh turns as the foot does, all
        but, so a few steps by the difference find it."""
        turn = near.turn_rad if near else self.comfort.spread_rad
        shin = near.valley.shin_rad if near else None
        found: Found | None = None
        for _ in range(6):
            if shin is not None:
                turn = self._turn_for(stance_m, heel_m, turn, shin)
            found = self._on(stance_m, turn, heel_m, shin, ankle)
            if found is None:
                if turn <= 0:
                    return None
                turn, shin = max(turn - math.radians(10), 0.0), None
                continue
            shin = found.valley.shin_rad
            room = self.spread_room(turn, found.valley.pose)
            if abs(room) < CLOSE_RAD or (turn <= 0 and room < 0) or (turn >= MOST_TURN_RAD and room > 0):
                break
        return found

    def _turn_for(self, stance_m: float, heel_m: float, turn: float, shin: float) -> float:
        """The widest turn-out at a shin's lean, from one near."""
        for _ in range(4):
            pose = self.squat.on(stance_m, turn, heel_m).bottom(shin)
            if pose is None:
                break
            room = self.spread_room(turn, pose)
            turn = min(max(turn + room, 0.0), MOST_TURN_RAD)
            if abs(room) < CLOSE_RAD:
                break
        return turn

    # ---- how far the hips sit back

    def dialled(self, stance: Stance, valley: Valley, preference: float) -> float:
        """The shin's lean where the dial stands: 0 the knees' end of the flat stretch, 1 the hips' end."""
        knees, hips = self.flat(stance, valley)
        end, share = (knees, 1 - 2 * preference) if preference < 0.5 else (hips, 2 * preference - 1)
        return valley.shin_rad + share * (end - valley.shin_rad)

    def flat(self, stance: Stance, valley: Valley) -> tuple[float, float]:
        """Shin's lean at the knees' and at the hips' end of the stretch inside FLAT of the least effort and
        inside the limits, rad."""
        allowed = (1 + FLAT) * valley.effort
        if valley.outside_rad > EDGE_RAD:
            return valley.shin_rad, valley.shin_rad

        def room(shin: float) -> float:
            pose = stance.bottom(shin)
            if pose is None:
                return -1.0
            return min(allowed - pose.bears.effort, self.hips_room(pose), self.knees_room(pose))

        if room(valley.shin_rad) <= 0:
            return valley.shin_rad, valley.shin_rad
        return (
            crossing(room, valley.shin_rad, self.most_shin(stance)),
            crossing(room, valley.shin_rad, SHINS_RAD[0]),
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

    # ---- stance and heel

    def best_stance(self, heel_m: float, ankle: bool = True) -> tuple[Found, Found]:
        """The feet of least effort, and the widest within SLACK of it: the shortest stroke among those.

        Where no feet keep every limit, those that break them least, twice. Raises InfeasibleError where legs
        or balance hold nothing at all.
        """
        step = STANCE_STEP_M * self.squat.body.size
        start = self._start(heel_m, ankle)
        looked = [start]
        for way in (1.0, -1.0):
            here = start
            while True:
                there = self.at(here.stance_m + way * step, heel_m, here, ankle)
                if there is None:
                    break
                looked.insert(len(looked) if way > 0 else 0, there)
                worse = self._cost(there) > self._cost(here)
                here = there
                if worse or not NARROWEST_M < here.stance_m < WIDEST_M:
                    break
        i = min(range(len(looked)), key=lambda i: self._cost(looked[i]))
        low, high = looked[max(i - 1, 0)].stance_m, looked[min(i + 1, len(looked) - 1)].stance_m

        def cost(stance: float) -> float:
            return self._cost(self.at(stance, heel_m, looked[i], ankle))

        best = self.at(minimum(cost, low, high, STANCE_CLOSE_M)[0], heel_m, looked[i], ankle)
        if best is None or self._cost(looked[i]) < self._cost(best):
            best = looked[i]
        if self._outside(best) > EDGE_RAD:
            return best, best
        allowed, inner, outer = (1 + SLACK) * best.valley.effort, best, best
        while self._cost(outer) <= allowed and outer.stance_m < WIDEST_M:
            inner = outer
            outer = self.at(inner.stance_m + step, heel_m, inner, ankle) or inner
            if outer is inner:
                break
        if outer is inner:
            return best, inner

        def room(stance: float) -> float:
            return allowed - self._cost(self.at(stance, heel_m, inner, ankle))

        wide = crossing(room, inner.stance_m, outer.stance_m, close=EFFORT_CLOSE)
        return best, self.at(wide, heel_m, inner, ankle) or best

    def _start(self, heel_m: float, ankle: bool) -> Found:
        """Feet to start from. Raises InfeasibleError where legs or balance hold nothing at all."""
        for share in STARTS:
            found = self.at(share * self.squat.body.size, heel_m, None, ankle)
            if found is not None:
                return found
        raise InfeasibleError(Said("squat_no_bottom"))

    def _outside(self, found: Found) -> float:
        """By how much feet break a limit, rad."""
        return max(found.valley.outside_rad, -self.spread_room(found.turn_rad, found.valley.pose))

    def _cost(self, found: Found | None) -> float:
        """Effort, and far more where a limit is broken or where there is no bottom."""
        if found is None:
            return BEYOND
        over = self._outside(found)
        return found.valley.effort + (BROKEN * (1 + over) if over > EDGE_RAD else 0.0)

    def solve(self) -> tuple[Found, Found]:
        """The strongest feet and the suggested ones, on the heel that the ankle asks for.

        The heel is found on the feet that would be suggested without the ankle's limit: the smallest lift
        with which the ankle costs no more than ANKLE_COSTS there.
        """
        strongest, free = self.best_stance(0.0, ankle=False)
        heel = self.heel_for(free)
        if heel == 0 and free.valley.shin_rad <= self.most_shin(self.stance_of(free)):
            return strongest, free
        return self.best_stance(heel)

    def stance_of(self, found: Found) -> Stance:
        """The squat on these feet."""
        return self.squat.on(found.stance_m, found.turn_rad, found.heel_m)

    def heel_for(self, free: Found) -> float:
        """The smallest heel with which the ankle costs no more than ANKLE_COSTS on these feet, m."""
        allowed = (1 + ANKLE_COSTS) * free.valley.effort

        def room(heel: float) -> float:
            stance = self.squat.on(free.stance_m, free.turn_rad, heel)
            shin = min(self.most_shin(stance), free.valley.shin_rad)
            pose = stance.bottom(shin)
            if pose is None or self.hips_room(pose) < -EDGE_RAD:
                return min(self.hips_room(pose), -EDGE_RAD)
            return allowed - pose.bears.effort

        if room(0.0) >= 0:
            return 0.0
        return crossing(room, MOST_HEEL_M, 0.0) if room(MOST_HEEL_M) > 0 else MOST_HEEL_M
