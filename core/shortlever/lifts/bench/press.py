"""One lifter under one bar: what does not depend on the setup, and one press of any setup."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from shortlever.errors import InfeasibleError
from shortlever.lifts.bench.chest import Chest, chest_of
from shortlever.lifts.bench.gear import HAND_OUTSIDE_FOREFINGER_M, Gear
from shortlever.lifts.bench.limits import Comfort, limited_swivel, nearest_y
from shortlever.lifts.bench.path import SEGMENTS, least_path
from shortlever.lifts.bench.pose import STRENGTH, Circle, Linkage, Pose, Strength, pose_at, sideways_share
from shortlever.lifts.bench.rep import Rep
from shortlever.person.body import Arm, Body, blades_forward
from shortlever.say import Said

# Most lifters let the drawn-back blades come loose a little at lockout (common practice, no source); full
# protraction is about 0.026 m (clavicle +10 degrees, whole-cadaver study, abstract read).
LOCKOUT_RAISE_M = 0.010
LOCKOUT_WIDENS_M = blades_forward(LOCKOUT_RAISE_M)
BEYOND_M = 2.0  # no touch is further: where the secant of a body far from anybody's stops
REACH_TOLERANCE_M = 1e-9  # at lockout the elbow is straight to rounding


@dataclass(frozen=True)
class Frame:
    """Where a press happens: hand outside the shoulder joint at each row (m), bar heights of the rows above
    the starting shoulder line (m), the smallest y allowed at each (m), what the shoulder rises per row (m),
    and the sideways ratio of the hands."""

    sides_m: list[float]
    heights_m: list[float]
    bounds_m: list[float]
    rise_m: float
    sideways: float


@dataclass(frozen=True)
class Press:
    """A body, the gear, comfort limits, the load (kg) and strength ratios, ready to press from any setup.

    ``raise_m`` and ``widen_m``: how far the blades let each shoulder joint forward and outward at lockout.
    ``sideways_more``: what this lifter's hands push outward beyond the measured share.
    """

    body: Body
    gear: Gear = field(default_factory=Gear)
    comfort: Comfort = field(default_factory=Comfort)
    load_kg: float = 100.0
    strength: Strength = STRENGTH
    raise_m: float = LOCKOUT_RAISE_M
    widen_m: float = LOCKOUT_WIDENS_M
    sideways_more: float = 0.0
    chest: Chest = field(init=False)
    links: tuple[Linkage, Linkage] = field(init=False)
    _aims: dict[float, float] = field(init=False, repr=False, compare=False)  # by grip, as they are asked for

    def __post_init__(self) -> None:
        def link(arm: Arm) -> Linkage:
            return Linkage(arm, self.load_kg, self.strength)

        right = link(self.body.right)
        left = right if self.body.symmetric else link(self.body.left)
        object.__setattr__(self, "chest", chest_of(self.body))
        object.__setattr__(self, "links", (right, left))
        object.__setattr__(self, "_aims", {})

    def side_m(self, grip_m: float) -> float:
        """Hand's centre of pressure outside the shoulder joint at the chest, m (- inside)."""
        return grip_m / 2 + HAND_OUTSIDE_FOREFINGER_M - self.body.half_shoulder_m

    def grip_m(self, outside: float) -> float:
        """The grip whose hands are ``outside`` the shoulder joints, in reaches of the arms."""
        reach = (self.body.right.reach_m + self.body.left.reach_m) / 2
        return 2 * (outside * reach + self.body.half_shoulder_m - HAND_OUTSIDE_FOREFINGER_M)

    def sideways_ratio(self, grip_m: float) -> float:
        """Outward / vertical hand force that lifters show at a grip: both hands push alike."""
        reach = (self.body.right.reach_m + self.body.left.reach_m) / 2
        return sideways_share(self.side_m(grip_m) / reach) + self.sideways_more

    def chest_bar_m(self, touch_m: float) -> float:
        """Bar centre above the shoulder line when it rests on the chest at ``touch_m``, m."""
        return self.chest.height_m(touch_m) + self.gear.bar.diameter_m / 2 - self.body.shoulder_height_m

    def lockout_bar_m(self, grip_m: float) -> float:
        """Bar centre above the starting shoulder line at lockout over the shoulders, m.

        Raises InfeasibleError where the shorter arm does not reach the grip.
        """
        x, reach = self.side_m(grip_m) - self.widen_m, self.body.reach_m
        if abs(x) >= reach:
            raise InfeasibleError(Said("grip_beyond_reach", {"grip_m": grip_m}))
        return self.raise_m + math.sqrt(reach * reach - x * x)

    def nearest_m(
        self, x_m: float, z_m: float, cap: float, lean: list[float], aim_rad: float | None = None
    ) -> float:
        """The smallest y inside the comfort limits at a height, for both arms; ``lean`` carries the start."""
        right, left = self.links
        y, lean[0] = nearest_y(right.upper, right.fore, x_m, z_m, self.comfort, cap, lean[0], aim_rad)
        if left is not right:
            other, lean[1] = nearest_y(left.upper, left.fore, x_m, z_m, self.comfort, cap, lean[1], aim_rad)
            y = max(y, other)
        return y

    def nearest_touch_m(self, grip_m: float, aim_rad: float | None = None) -> float:
        """The touch point closest to the shoulders that the comfort limits allow at this grip, m.

        ``aim_rad``: how far the forearms lean toward the head there, as planned at the grip where None.
        """
        x, lean = self.side_m(grip_m), [0.1, 0.1]
        aim = self.aim_rad(grip_m) if aim_rad is None else aim_rad

        def room(y: float) -> float:
            return y - max(self.nearest_m(x, self.chest_bar_m(y), self.comfort.lean_rad, lean, aim), 0.0)

        y, before = self.chest.top_y_m, 0.0
        room_y, room_before = room(y), room(0.0)
        if room_before >= 0:
            return 0.0
        for _ in range(60):  # secant; room grows by nearly 1 m per m
            slope = (room_y - room_before) / (y - before) if y != before else 1.0
            to = y - room_y / (slope if 0.3 < slope < 3 else 1.0)
            before, room_before = y, room_y
            y = min(max(to, 0.0), BEYOND_M)
            room_y = room(y)
            if abs(room_y) < 1e-9:
                break
        return y

    def aim_rad(self, grip_m: float) -> float:
        """How far the forearms are planned to lean toward the head at a grip, rad.

        As far as the comfort setting plans, or as much further as brings the nearest touch onto the chest, up
        to the stacked limit (secant; the nearest touch is nearly straight in the tangent of the lean).
        """
        if grip_m not in self._aims:
            self._aims[grip_m] = self._aim_rad(grip_m)
        return self._aims[grip_m]

    def _aim_rad(self, grip_m: float) -> float:
        comfort, lean = self.comfort, [0.1, 0.1]
        x, z = self.side_m(grip_m), self.chest_bar_m(self.chest.end_y_m)

        def room(aim: float) -> float:
            return self.chest.end_y_m - self.nearest_m(x, z, comfort.lean_rad, lean, aim)

        a, b = comfort.stack_aim_rad, comfort.stack_rad
        room_a = room(a)
        if room_a >= 0:
            return a
        room_b = room(b)
        if room_b <= 0:
            return b
        for _ in range(8):
            aim = min(max(b - room_b * (b - a) / (room_b - room_a), comfort.stack_aim_rad), comfort.stack_rad)
            a, room_a = b, room_b
            b, room_b = aim, room(aim)
            if abs(room_b) < 1e-9 or room_b == room_a:
                break
        return b

    def circles(self, x: float, y: float, z: float) -> tuple[Circle, Circle]:
        """The elbow circles of the right and the left arm with the hand at (x, y, z) from the shoulder, m.

        Raises InfeasibleError where the bar is nearer or further than the two links can hold it.
        """
        right, left = self.links
        far = math.sqrt(x * x + y * y + z * z)
        for link in self.links:
            close, wide = abs(link.upper - link.fore), link.upper + link.fore + REACH_TOLERANCE_M
            if not close < far <= wide:
                lengths = {"far_m": far, "upper_m": link.upper, "fore_m": link.fore}
                raise InfeasibleError(Said(f"bar_too_{'close' if far <= close else 'far'}", lengths))
        first = Circle(right, x, y, z)
        return first, first if right is left else Circle(left, x, y, z)

    def pose(self, x: float, y: float, z: float, lean_rad: float, sideways: float) -> tuple[Pose, Pose, bool]:
        """Right and left pose of least effort with the hand at (x, y, z) from the shoulder joint (m)."""
        first, second = self.circles(x, y, z)
        swivel, _, ok = limited_swivel(self.links[0], first, self.comfort, lean_rad, sideways)
        right = pose_at(self.links[0], first, swivel, sideways)
        if first is second:
            return right, right, ok
        swivel, _, also = limited_swivel(self.links[1], second, self.comfort, lean_rad, sideways)
        return right, pose_at(self.links[1], second, swivel, sideways), ok and also

    def effort(self, frame: Frame, path: list[float], i: int) -> float:
        """The effort of row i of a path, of the arm that works harder, without its pose, m."""
        z = frame.heights_m[i]
        cap = self.comfort.lean_cap_rad(z - frame.heights_m[0])
        first, second = self.circles(frame.sides_m[i], path[i], z - frame.rise_m * i)
        square = limited_swivel(self.links[0], first, self.comfort, cap, frame.sideways)[1]
        if first is not second:
            square = max(square, limited_swivel(self.links[1], second, self.comfort, cap, frame.sideways)[1])
        return math.sqrt(max(square, 0.0))

    def chest_pose(self, grip_m: float, touch_m: float) -> tuple[Pose, Pose, bool]:
        """Right and left pose with the bar on the chest, and whether they are inside the limits."""
        x, z = self.side_m(grip_m), self.chest_bar_m(touch_m)
        return self.pose(x, touch_m, z, self.comfort.lean_rad, self.sideways_ratio(grip_m))

    def ends(self, grip_m: float, touch_m: float) -> tuple[float, float]:
        """Bar heights at the chest and at lockout above the starting shoulder line, m.

        Raises InfeasibleError where the bar cannot be reached at either.
        """
        x = self.side_m(grip_m)
        low, high = self.chest_bar_m(touch_m), self.lockout_bar_m(grip_m)
        longest = self.body.reach_m
        if low <= 0.02 or high - low < 0.02 or x * x + touch_m**2 + low * low >= longest * longest:
            raise InfeasibleError(Said("no_reach_from_chest", {"grip_m": grip_m, "touch_m": touch_m}))
        return low, high

    def frame(self, grip_m: float, touch_m: float, sideways: float | None = None) -> Frame:
        """Heights and bounds of a press, before any pose is taken.

        Raises InfeasibleError where the bar cannot be reached at the chest or at lockout.
        """
        x = self.side_m(grip_m)
        low, high = self.ends(grip_m, touch_m)
        step, rise, widen = (high - low) / SEGMENTS, self.raise_m / SEGMENTS, self.widen_m / SEGMENTS
        sides = [x - widen * i for i in range(SEGMENTS + 1)]
        heights = [low + step * i for i in range(SEGMENTS)] + [high]
        aim = self.aim_rad(grip_m)
        lean, bounds, free = [0.1, 0.1], [touch_m], False
        for i in range(1, SEGMENTS):
            if not free:
                cap = self.comfort.lean_cap_rad(step * i)
                bound = self.nearest_m(sides[i], heights[i] - rise * i, cap, lean, aim)
                free = bound <= 0.0
            bounds.append(0.0 if free else bound)
        bounds.append(0.0)
        return Frame(
            sides, heights, bounds, rise, self.sideways_ratio(grip_m) if sideways is None else sideways
        )

    def row(self, frame: Frame, path: list[float], i: int) -> tuple[Pose, Pose, bool]:
        """Right and left pose at row i of a path."""
        z = frame.heights_m[i]
        cap = self.comfort.lean_cap_rad(z - frame.heights_m[0])
        return self.pose(frame.sides_m[i], path[i], z - frame.rise_m * i, cap, frame.sideways)

    def rep(self, grip_m: float, touch_m: float, sideways: float | None = None) -> Rep:
        """One press at a setup along the computed path.

        Raises InfeasibleError where the bar cannot be reached at the chest or at lockout.
        """
        frame = self.frame(grip_m, touch_m, sideways)
        return self.rep_along(frame, least_path(frame.heights_m, frame.bounds_m))

    def rep_along(self, frame: Frame, path: list[float]) -> Rep:
        """One press along a path of bar positions (m, forward of the shoulders), one for each height."""
        poses: list[tuple[Pose, Pose]] = []
        inside: list[bool] = []
        for i in range(SEGMENTS + 1):
            right, left, ok = self.row(frame, path, i)
            poses.append((right, left))
            inside.append(ok)
        return Rep(frame.heights_m, path, frame.bounds_m, poses, inside)
