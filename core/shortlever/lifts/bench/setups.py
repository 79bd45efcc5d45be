"""The setups of one press as functions of grip and touch: what the limits allow, stroke, arm and index.

Stroke and mean arm are cheap (no poses), the index is not.
"""

from __future__ import annotations

from shortlever.errors import InfeasibleError
from shortlever.lifts.bench.limits import elbow_rule_margin_m
from shortlever.lifts.bench.measure import GRIPS_M
from shortlever.lifts.bench.path import SEGMENTS, least_path, mean_arm_m
from shortlever.lifts.bench.pose import WIDEST_MEASURED
from shortlever.lifts.bench.press import Frame, Press
from shortlever.lifts.bench.rep import top_of
from shortlever.numerics import crossing
from shortlever.say import Said

NARROWEST_OF_BIACROMIAL = 0.85
CLIMB_FROM = (0, 2, 7)  # rows from which the humps of effort are climbed
TOUCHES = 9  # that are looked at where the nearest one is not allowed
OUT_OF_REACH_M, UNCOMFORTABLE_M = 1.0, 0.5  # counted as this far outside, more than any length can be


class Setups:
    """Every setup of one press, by grip and touch (m).

    ``widest`` is the widest grip that gear, comfort and arms allow, ``measured`` the widest that may be told.
    ``climb_from``: rows from which the humps of effort are climbed. Raises InfeasibleError for shoulders to
    which no grip belongs that hands can take.
    """

    def __init__(self, press: Press, climb_from: tuple[int, ...] = CLIMB_FROM) -> None:
        self.press = press
        body = press.body
        widest = min(press.gear.max_grip_m, 2 * (body.half_shoulder_m + 0.75 * body.reach_m))
        if press.comfort.max_grip_of_biacromial:
            widest = min(widest, press.comfort.max_grip_of_biacromial * body.biacromial_m)
        self.widest = widest
        self.measured = min(widest, press.grip_m(WIDEST_MEASURED))
        narrow = min(NARROWEST_OF_BIACROMIAL * body.biacromial_m, self.measured - 0.02)
        self.narrowest = max(narrow, GRIPS_M[0])
        if self.measured < self.narrowest:
            raise InfeasibleError(Said("grips_too_narrow", {"widest_m": self.measured}))
        self.furthest_m = press.chest.end_y_m
        self._climb_from = climb_from
        self._whole_path = False  # whether each setup's whole bar path is looked at, and not only the chest
        self._nearest: dict[float, tuple[float, float]] = {}
        self._plans: dict[tuple[float, float], tuple[Frame, list[float]]] = {}
        self._hardest: dict[tuple[float, float], tuple[float, int]] = {}  # index and hardest row of a setup

    # ---- what the limits allow

    def nearest(self, grip: float) -> float:
        """The touch point nearest to the shoulders that the limits allow at a grip, m."""
        return self._allowed(grip)[0]

    def outside(self, grip: float) -> float:
        """By how much the nearest touch breaks the chest's end, the elbow rule or the reach, m (- inside)."""
        return self._allowed(grip)[1]

    def _allowed(self, grip: float) -> tuple[float, float]:
        if grip not in self._nearest:
            self._nearest[grip] = self._look(grip)
        return self._nearest[grip]

    def _look(self, grip: float) -> tuple[float, float]:
        """The nearest touch, and by how much it breaks a limit that going further off may mend."""
        near = self.press.nearest_touch_m(grip)
        past = near - self.furthest_m
        if past > -1e-6:  # the forearms lean further than planned to touch there, and could lean more yet
            past = self.press.nearest_touch_m(grip, self.press.comfort.stack_rad) - self.furthest_m
            near = self.furthest_m + max(past, 0.0)
        breach = self._breach(grip, near)
        if near >= self.furthest_m or breach <= 0:
            return near, max(past, breach)
        least, step = (near, breach), (self.furthest_m - near) / (TOUCHES - 1)
        for i in range(1, TOUCHES):
            touch = near + step * i
            breach = self._breach(grip, touch)
            if breach <= 0:
                inner = crossing(lambda t: -self._breach(grip, t), touch, touch - step)
                return inner, min(self._breach(grip, inner), 0.0)
            if breach < least[1]:
                least = touch, breach
        return least

    def _breach(self, grip: float, touch: float) -> float:
        """By how much a touch breaks reach, comfort or elbow rule, m; 0 or less inside."""
        try:
            self.press.ends(grip, touch)
            right, left, inside = self.press.chest_pose(grip, touch)
        except InfeasibleError:
            return OUT_OF_REACH_M
        if not inside or (self._whole_path and not all(self.press.rep(grip, touch).inside)):
            return UNCOMFORTABLE_M
        if not self.press.gear.rules.elbow_depth:
            return -OUT_OF_REACH_M
        return -min(elbow_rule_margin_m(right), elbow_rule_margin_m(left))

    # ---- what a setup is judged by

    def _plan(self, grip: float, touch: float) -> tuple[Frame, list[float]]:
        """Heights and path of a setup, worked out once."""
        if (grip, touch) not in self._plans:
            frame = self.press.frame(grip, touch)
            self._plans[grip, touch] = frame, least_path(frame.heights_m, frame.bounds_m)
        return self._plans[grip, touch]

    def stroke_and_arm(self, grip: float, touch: float) -> tuple[float, float]:
        """Range of motion and mean moment arm of a setup, m; needs no poses."""
        frame, path = self._plan(grip, touch)
        arm = mean_arm_m(frame.heights_m, path)
        return frame.heights_m[-1] - frame.heights_m[0], arm

    def stroke(self, grip: float, touch: float) -> float:
        """Range of motion of a setup, m."""
        return self.press.lockout_bar_m(grip) - self.press.chest_bar_m(touch)

    def index(self, grip: float, touch: float) -> float:
        """The limit-load index of a setup, from the chest and the humps of effort over the rows only.

        0 out of reach. Effort may have three humps, so it is climbed from the chest, from just above it and
        from the middle.
        """
        if (grip, touch) not in self._hardest:
            self._hardest[grip, touch] = self._climb(grip, touch)
        return self._hardest[grip, touch][0]

    def _climb(self, grip: float, touch: float) -> tuple[float, int]:
        press = self.press
        try:
            frame, path = self._plan(grip, touch)
            known: dict[int, float] = {}

            def effort(i: int) -> float:
                if i not in known:
                    known[i] = press.effort(frame, path, i)
                return known[i]

            hardest, row = 0.0, 0
            for i in self._climb_from:
                while i < SEGMENTS - 1 and effort(i + 1) > effort(i):
                    i += 1
                while i > 0 and effort(i - 1) > effort(i):
                    i -= 1
                top = top_of(effort, i)[0]
                if top > hardest:
                    hardest, row = top, i
        except InfeasibleError:
            return 0.0, 0
        return press.body.reach_m / hardest, row

    def at_nearest(self, grip: float) -> float:
        """The index at the nearest touch of a grip; 0 where that breaks a limit."""
        return 0.0 if self.outside(grip) > 0 else self.index(grip, self.nearest(grip))
