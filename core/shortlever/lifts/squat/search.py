"""The search for feet: turn-out, stance and heel inside all limits.

On given feet the bottom is the one of least effort (``valley``). Of the feet, the turn-out of least effort is
taken, mostly the one that the hips' comfort allows; the stance is the widest whose effort stays within SLACK
of the best stance's: it has the shortest stroke among those. A heel is raised where the ankle costs more than
ANKLE_COSTS of effort, by the least that brings it down to that.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.errors import InfeasibleError
from shortlever.lifts.squat.squat import Pose, Squat, Stance
from shortlever.lifts.squat.valley import EDGE_RAD, Bottoms, Valley
from shortlever.numerics import crossing, minimum
from shortlever.say import Said

DEFAULT_PREFERENCE = 0.5
SLACK = 0.03  # of effort, given up for a shorter stroke: less than sets can tell (assumption)
ANKLE_COSTS = 0.01  # of effort, from which a heel is worth its lift (assumption)
WORTH_A_HEEL_M = 0.0025  # less cannot be set
MOST_HEEL_M = 0.025  # lifting shoes have 15 to 25 mm (practice)
NARROWEST_M, WIDEST_M = 0.20, 1.10  # ankles apart, that are looked at
MOST_TURN_RAD = math.radians(60)
STARTS = (0.50, 0.35, 0.70)  # stances to start from (m)
STANCE_STEP_M, STANCE_CLOSE_M = 0.06, 0.004
NEAR_STEPS, NEAR_CLOSE = 3.0, 2e-3  # from feet that are near: steps; effort, two millimetres of stance
EFFORT_CLOSE = 1e-4  # a tenth of a millimetre of stance
TURN_STEP_RAD, CLOSE_RAD, NEAR_RAD = 0.02, 2e-5, 8e-5
BEYOND, BROKEN = 1000.0, 100.0  # of effort, for feet that hold nothing and for those that break a limit


@dataclass(frozen=True)
class Found:
    """Feet and the bottom of least effort on them: stance and heel (m), turn-out (rad)."""

    stance_m: float
    turn_rad: float
    heel_m: float
    valley: Valley


class Search:
    """The feet of one squat; ``near``: those of a body that is near, from which they are found sooner and to
    millimetres only."""

    def __init__(self, squat: Squat, near: tuple[Found, Found] | None = None) -> None:
        self.squat, self.comfort, self.near = squat, squat.comfort, near
        self.close_rad = NEAR_RAD if near else CLOSE_RAD
        self.bottoms = Bottoms(squat)

    def spread_room(self, turn: float, pose: Pose) -> float:
        """How much further the foot could turn out, rad (- outside)."""
        comfort = self.comfort
        return min(comfort.spread_rad - pose.spread_rad, comfort.apart_rad - abs(pose.spread_rad - turn))

    def at(
        self, stance_m: float, heel_m: float, near: Found | None = None, ankle: bool = True
    ) -> Found | None:
        """The turn-out of least effort at a stance, mostly the widest that comfort allows."""
        found = self.widest_turn(stance_m, heel_m, near, ankle)
        if found is None or found.turn_rad < TURN_STEP_RAD or self._eases_outward(found):
            return found

        def effort(turn: float) -> float:
            return self.cost(self._on(stance_m, turn, heel_m, found.valley.shin_rad, ankle))

        turn = minimum(effort, 0.0, found.turn_rad, 2e-3)[0]
        other = self._on(stance_m, turn, heel_m, found.valley.shin_rad, ankle)
        return found if other is None or self.cost(other) > self.cost(found) else other

    def _eases_outward(self, found: Found) -> bool:
        """Whether effort falls as the feet turn further out. (In a valley the shin's own change does not
        count, and at the ankle's limit it has none.)"""
        turn = found.turn_rad - TURN_STEP_RAD
        pose = self.squat.on(found.stance_m, turn, found.heel_m).bottom(found.valley.shin_rad)
        if (
            pose is None
            or min(self.bottoms.hips_room(pose), self.bottoms.knees_room(pose))
            < -found.valley.outside_rad - EDGE_RAD
        ):
            return True
        return pose.bears.effort >= found.valley.effort

    def _on(
        self, stance_m: float, turn: float, heel_m: float, near: float | None, ankle: bool
    ) -> Found | None:
        valley = self.bottoms.valley(self.squat.on(stance_m, turn, heel_m), near, ankle)
        return None if valley is None else Found(stance_m, turn, heel_m, valley)

    def widest_turn(
        self, stance_m: float, heel_m: float, near: Found | None = None, ankle: bool = True
    ) -> Found | None:
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
            if abs(room) < self.close_rad or (turn <= 0 and room < 0) or (turn >= MOST_TURN_RAD and room > 0):
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
            if abs(room) < self.close_rad:
                break
        return turn

    # ---- stance and heel

    def best_stance(
        self, heel_m: float, ankle: bool = True, near: tuple[Found, Found] | None = None
    ) -> tuple[Found, Found]:
        """The feet of least effort, and the widest within SLACK of it: the shortest stroke among those.

        ``near``: those of a body that is near. Where no feet keep every limit, those that break them least,
        twice. Raises InfeasibleError where legs or balance hold nothing at all.
        """
        found = self._beside(near, heel_m, ankle) if near else None
        if found is not None:
            return found
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
                worse = self.cost(there) > self.cost(here)
                here = there
                if worse or not NARROWEST_M < here.stance_m < WIDEST_M:
                    break
        i = min(range(len(looked)), key=lambda i: self.cost(looked[i]))
        low, high = looked[max(i - 1, 0)].stance_m, looked[min(i + 1, len(looked) - 1)].stance_m

        def cost(stance: float) -> float:
            return self.cost(self.at(stance, heel_m, looked[i], ankle))

        best = self.at(minimum(cost, low, high, STANCE_CLOSE_M)[0], heel_m, looked[i], ankle)
        if best is None or self.cost(looked[i]) < self.cost(best):
            best = looked[i]
        if self.outside(best) > EDGE_RAD:
            return best, best
        allowed, inner, outer = (1 + SLACK) * best.valley.effort, best, best
        while self.cost(outer) <= allowed and outer.stance_m < WIDEST_M:
            inner = outer
            outer = self.at(inner.stance_m + step, heel_m, inner, ankle) or inner
            if outer is inner:
                break
        if outer is inner:
            return best, inner

        def room(stance: float) -> float:
            return allowed - self.cost(self.at(stance, heel_m, inner, ankle))

        wide = crossing(room, inner.stance_m, outer.stance_m, close=EFFORT_CLOSE)
        return best, self.at(wide, heel_m, inner, ankle) or best

    def _beside(self, near: tuple[Found, Found], heel_m: float, ankle: bool) -> tuple[Found, Found] | None:
        """The same from feet that are near, by a parabola through three stances and a few secants, to
        millimetres; None where a limit is in the way."""
        step = STANCE_STEP_M / 2 * self.squat.body.size
        three = [self.at(near[0].stance_m + i * step, heel_m, near[0], ankle) for i in (-1, 0, 1)]
        left, here, right = (self.cost(one) for one in three)
        bend = left + right - 2 * here
        if max(left, here, right) > BROKEN or bend <= 0:
            return None
        move = (left - right) / (2 * bend)
        if abs(move) > NEAR_STEPS:
            return None
        middle = near[0].stance_m + move * step
        best = self.at(middle, heel_m, three[1], ankle)
        if best is None or self.cost(best) > BROKEN:
            return None
        allowed = (1 + SLACK) * best.valley.effort
        tried: dict[float, Found | None] = {}

        def room(stance: float) -> float:
            if stance not in tried:
                tried[stance] = self.at(stance, heel_m, near[1], ankle)
            return allowed - self.cost(tried[stance])

        inner = outer = max(near[1].stance_m + middle - near[0].stance_m, middle + step)
        while room(outer) > 0 and outer < WIDEST_M:
            inner, outer = outer, outer + step
        while room(inner) <= 0 and inner > middle:
            inner, outer = max(inner - step, middle), inner
        wide = tried[crossing(room, inner, outer, close=NEAR_CLOSE)]
        return None if wide is None else (best, wide)

    def _start(self, heel_m: float, ankle: bool) -> Found:
        """Feet to start from. Raises InfeasibleError where legs or balance hold nothing at all."""
        for share in STARTS:
            found = self.at(share * self.squat.body.size, heel_m, None, ankle)
            if found is not None:
                return found
        raise InfeasibleError(Said("squat_no_bottom"))

    def outside(self, found: Found) -> float:
        """By how much feet break a limit, rad."""
        return max(found.valley.outside_rad, -self.spread_room(found.turn_rad, found.valley.pose))

    def cost(self, found: Found | None) -> float:
        """Effort, and far more where a limit is broken or where there is no bottom."""
        if found is None:
            return BEYOND
        over = self.outside(found)
        return found.valley.effort + (BROKEN * (1 + over) if over > EDGE_RAD else 0.0)

    def solve(self) -> tuple[Found, Found]:
        """The strongest feet and the suggested ones, on the heel that the ankle asks for.

        The heel is found on the feet that would be suggested without the ankle's limit: the smallest lift
        with which the ankle costs no more than ANKLE_COSTS there.
        """
        both = _, free = self.best_stance(0.0, ankle=False, near=self.near)
        heel = self.heel_for(free)
        if heel == 0 and all(
            one.valley.shin_rad <= self.bottoms.most_shin(self.stance_of(one)) for one in both
        ):
            return both
        return self.best_stance(heel, near=both if self.near else None)

    def stance_of(self, found: Found) -> Stance:
        """The squat on these feet."""
        return self.squat.on(found.stance_m, found.turn_rad, found.heel_m)

    def heel_for(self, free: Found) -> float:
        """The smallest heel with which the ankle costs no more than ANKLE_COSTS on these feet, m."""
        allowed = (1 + ANKLE_COSTS) * free.valley.effort

        def room(heel: float) -> float:
            stance = self.squat.on(free.stance_m, free.turn_rad, heel)
            shin = min(self.bottoms.most_shin(stance), free.valley.shin_rad)
            pose = stance.bottom(shin)
            if pose is None or self.bottoms.hips_room(pose) < -EDGE_RAD:
                return min(self.bottoms.hips_room(pose), -EDGE_RAD)
            return allowed - pose.bears.effort

        if room(0.0) >= 0:
            return 0.0
        return crossing(room, MOST_HEEL_M, 0.0) if room(MOST_HEEL_M) > 0 else MOST_HEEL_M
