"""The suggestion by brute force in numpy: the model's definitions worked out again, with grids throughout.

Nothing of the core's computation is used, only its input: the body's lengths and masses, the limits' angles
and the numbers that are a choice (slack, dial weight, furthest touch). Where the core uses a closed form or
Newton, this scans: the nearest place of the bar over the forearm's two tilts, the path over all chords of the
bounds, the pose over the swivel, the suggestion over grip and touch with finer and finer grids.

Frame as in the model: x outward from the shoulder joint, y toward the feet, z up; m, kg, rad.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shortlever import Body, Comfort
from shortlever.lifts.bench.chest import PAST_THE_TOP_M
from shortlever.lifts.bench.search import LEVEL
from shortlever.lifts.bench.setups import NARROWEST_OF_BIACROMIAL
from shortlever.lifts.bench.worth import ARM_TOLD, INDEX_SLACK, STROKE_WEIGHT

Array = NDArray[np.float64]

ROWS = 17
WIDEST_MEASURED = 0.45  # hands outside the shoulder in reaches of the arm: 81 cm grips
HAND_OUTSIDE = 0.04
BAR_RADIUS = 0.029 / 2
RING = 0.81
RISE = 0.010  # of the shoulder over the press
# a collar bone of 15 cm, drawn back by 36 degrees, turns forward until its end has risen by that
WIDEN = 0.15 * (np.cos(np.arcsin(np.sin(np.radians(36)) - RISE / 0.15)) - np.cos(np.radians(36)))
CURVATURE = 0.20 / 0.35**2  # horizontal acceleration over speed squared
STRENGTH = np.array([91.1, 128.5, 69.9]) / 128.5  # flexion, horizontal adduction, elbow extension
TILTS = 3
SCAN = 25
HALVINGS = 26
SWIVELS = 91
BETWEEN_ROWS = 65
ZOOMS = 3


@dataclass(frozen=True)
class Best:
    """What the brute force finds: grip and touch (m), the best balance of any setup, best index, strongest
    grip (m), and the shortest stroke and least mean arm (m) that the dial weighs against."""

    grip: float
    touch: float
    balance: float
    best_index: float
    strongest: float
    shortest: float
    least: float


@dataclass(frozen=True)
class Brute:
    """One lifter with both arms alike, one load (kg), comfort limits and a place of the dial."""

    body: Body
    load: float
    comfort: Comfort
    preference: float

    # --- chest and bar

    def chest(self, y: Array) -> Array:
        """Lying flat a parabola through notch and breastbone, topped at the breastbone; an arch adds a line
        that gives half of itself at the notch and all of itself at the breastbone."""
        b = self.body
        span = b.chest_y_m - b.notch_y_m
        curve = max((b.chest_flat_m - b.notch_height_m) / span**2, 0.1)
        flat = b.chest_flat_m - curve * (y - b.chest_y_m) ** 2
        return flat + (b.chest_arched_m - b.chest_flat_m) * (0.5 + 0.5 * (y - b.notch_y_m) / span)

    @functools.cached_property
    def furthest(self) -> float:
        """The top of the chest, found on a fine grid, and a little more."""
        y = np.linspace(-0.2, 1.5, 1_700_001)
        return float(y[np.argmax(self.chest(y))]) + PAST_THE_TOP_M

    def x(self, grip: Array) -> Array:
        return grip / 2 + HAND_OUTSIDE - self.body.half_shoulder_m

    def low(self, touch: Array) -> Array:
        return self.chest(touch) + BAR_RADIUS - self.body.shoulder_height_m

    def high(self, grip: Array) -> Array:
        return RISE + np.sqrt(self.body.right.reach_m**2 - (self.x(grip) - WIDEN) ** 2)

    # --- limits

    def cap(self, elbow_z: Array) -> Array:
        c = self.comfort
        return np.clip(c.flare_level_rad + c.flare_per_depth * elbow_z, c.flare_least_rad, c.flare_most_rad)

    def lean(self, height: Array) -> Array:
        c = self.comfort
        return np.minimum(c.lean_rad + c.lean_per_height * np.maximum(height, 0), np.radians(80))

    def nearest(self, x: Array, z: Array, height: Array, stack: Array) -> Array:
        """Least y of a hand at (x, z), ``height`` above the chest, over tilts up to ``stack``, or 0.

        For each tilt seen from the side (-stack, 0, stack) the lean seen from the head is scanned outward
        from the most inward one allowed; the first place where the upper arm fits under its flare cap is then
        halved in on. More lean brings the elbow inward and the bar toward the feet.
        """
        x, z, height, stack = np.broadcast_arrays(x, z, height, stack)
        u, f = self.body.right.upper_m, self.body.right.fore_m
        least = np.full(x.shape, np.inf)

        for share in np.linspace(-1, 1, TILTS):
            tilt = np.tan(share * stack)

            def y_at(lean: Array, tilt: Array = tilt) -> tuple[Array, NDArray[np.bool_]]:
                across = np.tan(lean)
                up = f / np.sqrt(1 + across**2 + tilt**2)
                ex, ez = x - across * up, z - up
                room = u * u - ex * ex - ez * ez
                ey = np.sqrt(np.maximum(room, 0))
                inside = (room > 0) & (np.arctan2(ex, ey) <= self.cap(ez) + 1e-12)
                return ey + tilt * up, inside

            first = -self.lean(height)
            step = (np.radians(75) - first) / SCAN
            found = np.zeros(x.shape, bool)
            outside, inside = first.copy(), first.copy()
            for i in range(SCAN + 1):
                at = first + step * i
                ok = y_at(at)[1] & ~found
                inside = np.where(ok, at, inside)
                outside = np.where(ok, at - (step if i else 0.0), outside)
                found |= ok
            for _ in range(HALVINGS):
                middle = (inside + outside) / 2
                ok = y_at(middle)[1]
                inside, outside = np.where(ok, middle, inside), np.where(ok, outside, middle)
            least = np.where(found, np.minimum(least, y_at(inside)[0]), least)
        return np.where(np.isfinite(least), np.maximum(least, 0.0), 0.0)

    def aim(self, grip: Array) -> Array:
        """The forearms' lean toward the head that is planned at a grip: the least one, from what is planned
        to what is allowed, at which the end of the chest is not nearer than the limits allow; by halving."""
        c, x, end = self.comfort, self.x(grip), np.array(self.furthest)
        low = self.low(end)
        aim = np.full_like(grip, c.stack_aim_rad)
        short = end < self.nearest(x, low, np.zeros(1), aim)
        if short.any():
            less, enough = aim[short], np.full_like(aim[short], c.stack_rad)
            for _ in range(HALVINGS):
                middle = (less + enough) / 2
                ok = end >= self.nearest(x[short], low, np.zeros(1), middle)
                less, enough = np.where(ok, less, middle), np.where(ok, middle, enough)
            aim[short] = enough
        return aim

    def nearest_touch(self, grip: Array) -> Array:
        """The least touch that is not nearer than the limits allow at the height of the chest there."""
        x, aim = self.x(grip), self.aim(grip)[:, None]
        low, high = np.zeros(grip.shape), np.full(grip.shape, self.furthest + 0.2)
        for count in (61, 13, 13, 13, 13):
            touch = low[:, None] + (high - low)[:, None] * np.linspace(0, 1, count)
            ok = touch >= self.nearest(x[:, None], self.low(touch), np.zeros_like(touch), aim)
            first = np.argmax(ok, axis=1)[:, None]
            high = np.take_along_axis(touch, first, 1)[:, 0]
            low = np.where(
                first[:, 0] > 0, np.take_along_axis(touch, np.maximum(first - 1, 0), 1)[:, 0], high
            )
        return high

    # --- one press

    def press(self, grip: Array, touch: Array) -> tuple[Array, Array]:
        """Heights of the rows above the starting shoulder line and the path's y, (..., ROWS)."""
        low, high = self.low(touch), self.high(grip)
        share = np.arange(ROWS) / (ROWS - 1)
        z = low[..., None] + (high - low)[..., None] * share
        x, aim = self.x(grip)[..., None] - WIDEN * share, self.aim(grip)[..., None]
        bound = self.nearest(x, z - RISE * share, z - low[..., None], aim)
        bound[..., 0], bound[..., -1] = touch, 0.0
        # the least function over the bounds with y'' <= CURVATURE: with z^2 CURVATURE / 2 taken off, the
        # highest chord between any two bounds
        g = bound - CURVATURE / 2 * z**2
        path = g.copy()
        for j in range(ROWS):
            for k in range(j + 1, ROWS):
                for i in range(j + 1, k):
                    part = (z[..., i] - z[..., j]) / (z[..., k] - z[..., j])
                    path[..., i] = np.maximum(path[..., i], g[..., j] + part * (g[..., k] - g[..., j]))
        return z, path + CURVATURE / 2 * z**2

    def stroke_and_arm(self, grip: Array, touch: Array) -> tuple[Array, Array]:
        z, path = self.press(grip, touch)
        stroke = z[..., -1] - z[..., 0]
        return stroke, np.trapezoid(np.abs(path), z, axis=-1) / stroke

    def stroke(self, grip: Array, touch: Array) -> Array:
        return self.high(grip) - self.low(touch)

    def given_up(self, stroke: Array, arm: Array, shortest: float, least: float) -> tuple[Array, Array]:
        """What is given up of the shortest stroke and of the least arm, weighed by the dial; of an arm hardly
        longer, less counts."""
        p = self.preference
        of_stroke = (1 - p) * STROKE_WEIGHT * np.log(stroke / shortest)
        short = np.maximum(np.log(np.maximum(arm, 1e-4) / max(least, 1e-4)), 0)
        return of_stroke, p * short**2 / (short + ARM_TOLD)

    # --- pose and index

    def sideways(self, grip: Array) -> Array:
        """The measured outward share: -0.118 + 2.15 s^2, level for s below 0, along the tangent from 0.45."""
        s = self.x(grip) / self.body.right.reach_m
        curve = -0.118 + 2.15 * np.clip(s, 0, 0.45) ** 2
        return np.where(s > 0.45, curve + 2 * 2.15 * 0.45 * (s - 0.45), curve)

    def effort(self, x: Array, y: Array, z: Array, height: Array, k: Array) -> Array:
        """Least sqrt(sum (moment / strength)^2) over the swivel inside the limits, m; k: sideways ratio."""
        arm = self.body.right
        hand = np.stack(np.broadcast_arrays(x, y, z), axis=-1)
        r = np.linalg.norm(hand, axis=-1)
        axis = hand / r[..., None]
        along = (r**2 + arm.upper_m**2 - arm.fore_m**2) / (2 * r)
        radius = np.sqrt(np.maximum(arm.upper_m**2 - along**2, 0))
        out = np.array([1.0, 0.0, 0.0]) - axis * axis[..., :1]
        out /= np.linalg.norm(out, axis=-1)[..., None]
        down = np.cross(out, axis)  # a quarter turn from outward, toward the feet and down
        down *= np.where(down[..., 1:2] >= 0, 1.0, -1.0)
        tan_stack = np.tan(self.comfort.stack_rad)
        tan_lean = np.tan(self.lean(height))
        weights = 2 * np.array([arm.upper_mass_kg, arm.fore_mass_kg]) / self.load

        def at(swivel: Array) -> Array:
            c, s = np.cos(swivel)[..., None], np.sin(swivel)[..., None]
            centre = (axis * along[..., None])[..., None, :]
            elbow = centre + radius[..., None, None] * (out[..., None, :] * c + down[..., None, :] * s)
            h = hand[..., None, :]
            fore = h - elbow
            # forces on the arm per newton of vertical hand force: (-k, 0, -1) at the hand, weights at the
            # centres of mass
            upper_com, fore_com = elbow * arm.upper_com, elbow + fore * arm.fore_com
            flexion = h[..., 1] + weights[0] * upper_com[..., 1] + weights[1] * fore_com[..., 1]
            add_0 = h[..., 0] + weights[0] * upper_com[..., 0] + weights[1] * fore_com[..., 0]
            add_k = -h[..., 2]
            normal = np.cross(fore, -elbow)
            normal /= np.maximum(np.linalg.norm(normal, axis=-1), 1e-12)[..., None]

            def bending(force: Array, where: float = 1.0) -> Array:
                return np.einsum("...i,...i->...", np.cross(where * fore, force), normal)

            ext_0 = bending(np.array([0.0, 0.0, -1.0]))
            ext_0 = ext_0 + bending(np.array([0.0, 0.0, -weights[1]]), arm.fore_com)
            ext_k = bending(np.array([-1.0, 0.0, 0.0]))
            held = k[..., None]
            total = (flexion / STRENGTH[0]) ** 2 + ((add_0 + held * add_k) / STRENGTH[1]) ** 2
            total = total + ((ext_0 + held * ext_k) / STRENGTH[2]) ** 2
            up = fore[..., 2]
            inside = (
                (np.abs(fore[..., 1]) <= tan_stack * up + 1e-9)
                & (-fore[..., 0] <= tan_lean[..., None] * up + 1e-9)
                & (np.arctan2(elbow[..., 0], elbow[..., 1]) <= self.cap(elbow[..., 2]) + 1e-9)
            )
            return np.where(inside, total, np.inf)

        low, high = np.full(r.shape, -np.pi / 2), np.full(r.shape, np.pi * 0.75)
        for count in [SWIVELS] + [21] * ZOOMS:
            swivel = low[..., None] + (high - low)[..., None] * np.linspace(0, 1, count)
            total = at(swivel)
            pick = np.argmin(total, axis=-1)[..., None]
            middle = np.take_along_axis(swivel, pick, -1)[..., 0]
            step = (high - low) / (count - 1)
            low, high = middle - step, middle + step
        return np.sqrt(np.take_along_axis(total, pick, -1)[..., 0])

    def index(self, grip: Array, touch: Array) -> Array:
        """Reach over the hardest effort of the press: the top of cubics through its rows, on a fine grid."""
        z, path = self.press(grip, touch)
        share = np.arange(ROWS) / (ROWS - 1)
        x = (self.x(grip)[..., None] - WIDEN * share)[..., :-1]
        k = np.broadcast_to(self.sideways(grip)[..., None], x.shape)
        effort = self.effort(
            x, path[..., :-1], (z - RISE * share)[..., :-1], (z - z[..., :1])[..., :-1], k
        )  # at lockout nothing is left to hold
        effort = np.where(np.isfinite(effort), effort, 0.0)
        slope = np.gradient(effort, axis=-1, edge_order=2)
        from_, to, out, into = effort[..., :-1], effort[..., 1:], slope[..., :-1], slope[..., 1:]
        between = [
            from_ + t * (out + t * (3 * (to - from_) - 2 * out - into + t * (out + into - 2 * (to - from_))))
            for t in np.linspace(0, 1, BETWEEN_ROWS)
        ]
        return self.body.right.reach_m / np.max(between, axis=(0, -1))

    # --- the search

    def widest(self) -> float:
        b = self.body
        widest = min(RING, 2 * (b.half_shoulder_m + WIDEST_MEASURED * b.right.reach_m - HAND_OUTSIDE))
        if self.comfort.max_grip_of_biacromial:
            widest = min(widest, self.comfort.max_grip_of_biacromial * b.biacromial_m)
        return widest

    def strongest(self) -> tuple[float, float]:
        """The middle of the grips whose index at the nearest touch is the best to LEVEL, and the best."""
        widest = self.widest()
        low, high = min(NARROWEST_OF_BIACROMIAL * self.body.biacromial_m, widest - 0.02), widest
        floor, ceiling = low, high
        count = 41
        while True:
            grips = np.linspace(low, high, count)
            index = self.index(grips, self.nearest_touch(grips))
            i = int(np.argmax(index))
            step = (high - low) / (count - 1)
            if step < 5e-5:
                break
            low, high = max(floor, grips[i] - 2 * step), min(ceiling, grips[i] + 2 * step)
            count = 17
        level = (1 - LEVEL) * float(index[i])
        ends = (self.last_grip(float(grips[i]), end, level) for end in (floor, ceiling))
        return sum(ends) / 2, float(index[i])

    def last_grip(self, inside: float, end: float, needed: float) -> float:
        """The last grip toward an end up to which the index at the nearest touch is good enough."""
        low, high = inside, end
        for _ in range(4):
            grips = np.linspace(low, high, 101)
            poor = np.flatnonzero(self.index(grips, self.nearest_touch(grips)) < needed * (1 - 1e-7))
            if not len(poor):
                return float(high)
            if poor[0] == 0:
                return float(low)
            low, high = grips[poor[0] - 1], grips[poor[0]]
        return float(low)

    def top(self) -> float:
        return self.furthest - PAST_THE_TOP_M

    def low_touch(self, grip: Array, needed: float) -> Array:
        """The touch toward the top of the chest as far as the index is good enough, by halving."""
        near = self.nearest_touch(grip)
        far = np.maximum(near, self.top())
        good, poor = np.where(self.index(grip, far) >= needed, far, near), far
        for _ in range(HALVINGS):
            middle = (good + poor) / 2
            ok = self.index(grip, middle) >= needed
            good, poor = np.where(ok, middle, good), np.where(ok, poor, middle)
        return good

    def solve(self) -> Best:
        """Where the dial's two wishes are given up alike, on the line that goes along the nearest touches
        from the strongest grip to the last good one, there down the chest, and back along the edge of the
        index to the shortest stroke; and the best balance of any allowed setup, on or off it, on a grid."""
        strongest, best_index = self.strongest()
        needed = (1 - INDEX_SLACK) * best_index * (1 - 1e-7)
        widest = self.last_grip(strongest, self.widest(), needed)

        def least(judge: Callable[[Array], Array]) -> tuple[float, float]:
            low, high, count = strongest, widest, 41
            for _ in range(5):
                grips = np.linspace(low, high, count)
                value = judge(grips)
                i, step = int(np.argmin(value)), (high - low) / (count - 1)
                low, high, count = max(strongest, grips[i] - 2 * step), min(widest, grips[i] + 2 * step), 17
            return float(grips[i]), float(value[i])

        b, shortest = least(lambda g: self.stroke(g, self.low_touch(g, needed)))
        at = np.array([strongest])
        arm = float(self.stroke_and_arm(at, self.nearest_touch(at))[1][0])

        def change(setups: Callable[[Array], tuple[Array, Array]], low: float, high: float) -> float | None:
            """The first place between two at which more is given up of the arm than of the stroke."""
            for _ in range(4):
                places = np.linspace(low, high, 33)
                of_stroke, of_arm = self.given_up(*self.stroke_and_arm(*setups(places)), shortest, arm)
                past = np.flatnonzero(of_stroke <= of_arm + 1e-12)
                if not len(past):
                    return None
                i = int(past[0])
                low, high = float(places[max(i - 1, 0)]), float(places[i])
            return high

        at = np.array([widest])
        near, lowest = self.nearest_touch(at), self.low_touch(at, needed)
        line = (
            (lambda g: (g, self.nearest_touch(g)), strongest, widest),
            (lambda t: (np.full_like(t, widest), t), float(near[0]), float(lowest[0])),
            (lambda g: (g, self.low_touch(g, needed)), widest, b),
        )
        for setups, low, high in line:
            place = change(setups, low, high)
            if place is not None:
                break
        grip, touch = (float(v[0]) for v in setups(np.array([b if place is None else place])))
        grips = np.repeat(np.linspace(strongest, widest, 25)[:, None], 21, axis=1)
        near = self.nearest_touch(grips[:, 0])[:, None]
        touches = near + (np.maximum(self.top(), near) - near) * np.linspace(0, 1, 21)
        balance = np.maximum(*self.given_up(*self.stroke_and_arm(grips, touches), shortest, arm))
        anywhere = float(np.min(np.where(self.index(grips, touches) >= needed, balance, np.inf)))
        return Best(grip, touch, anywhere, best_index, strongest, shortest, arm)
