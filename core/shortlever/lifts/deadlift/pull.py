"""Poses of a pull: reach, balance and a bar that clears the leg.

Frame of ``legs.leg``: origin on the floor midway between the ankles, x right, y forward, z up. The bar leaves
the floor where the whole centre of mass is over the middle of the foot, and rises in a straight line. At a
height of the bar the arms fix where the shoulders are; then each lean of the trunk puts the hips, and with
them the legs, in one place. Of all leans that keep the bar in front of shin, knee cap and thigh the least is
taken, hips as low as the bar lets them, and a higher one only where that costs less effort.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from shortlever.lifts.deadlift.comfort import MOST_LEAN_RAD
from shortlever.lifts.deadlift.lean import NUDGE_RAD, least_inside, lower
from shortlever.lifts.legs.body import ANKLE_OF_FOOT, L5S1_BACK_M, L5S1_UP, PATELLA_M, Standing
from shortlever.lifts.legs.leg import Feet, Knee, Leg, Vector
from shortlever.lifts.legs.statics import Bearing, bearing
from shortlever.lifts.legs.strength import SHOULDER_EXTENSION
from shortlever.units import GRAVITY_M_S2

SOLE_M = 0.005  # of a flat shoe (common practice, no source)
SHIN_M, THIGH_M = 0.050, 0.095  # front of the leg from the joint line, at ankle and hip (memory)
HANG_M = 0.02  # what hooked fingers and a girdle drawn down add to the arm (assumption)
NEARLY_M = 1e-6  # of the weight from the middle of the foot, before the last secant
LOOKED = 60  # leans, where none keeps the limits
MOST_AHEAD_M = 0.20  # shoulder joints in front of the bar, that may be asked for
ARM_COM = 0.53  # centre of mass of a hanging arm above the grip, share of the arm (de Leva, derived)


@dataclass(frozen=True, slots=True)
class Pose:
    """One instant: joints of the right leg and the bar (m), what the joints bear, and the effort.

    ``bar``: (y, z). ``clear_m``: between bar and leg. ``pressure_m``: under the foot from the ankle, along
    it. ``shoulder_n_m``: what holds the arms to the bar, both; ``effort``: of the legs' joints, back and
    shoulders.
    """

    bar: tuple[float, float]
    lean_rad: float
    ahead_m: float
    hip: Vector
    knee: Knee
    shoulder: tuple[float, float]
    clear_m: float
    pressure_m: float
    bears: Bearing
    back_arm_m: float
    shoulder_n_m: float
    shoulder_part: float
    effort: float


class Pull:
    """A body on its feet with its hands on a bar: what does not depend on the pose.

    ``load_kg``: of the bar; ``bar_m``: its diameter; ``grip_m``: between the middles of the hands.
    """

    def __init__(self, body: Standing, feet: Feet, grip_m: float, load_kg: float, bar_m: float) -> None:
        self.body, self.load_kg, self.grip_m, self.bar_m = body, load_kg, grip_m, bar_m
        self.leg = Leg(body, feet)
        parts, neck, mass = body.segments, body.neck_m, body.body_mass_kg
        trunk = (
            (parts.lower_trunk, parts.lower_trunk_at),
            (parts.middle_trunk, parts.middle_trunk_at),
            (parts.upper_trunk, parts.upper_trunk_at),
            (parts.head, parts.head_at),
        )
        # trunk and head, and what of them is above L5/S1: mass (kg) and mass x distance from the hip (kg m)
        self.trunk_kg = mass * sum(share for share, _ in trunk)
        self.trunk_kg_m = mass * neck * sum(share * at for share, at in trunk)
        self.above_kg = mass * sum(share for share, _ in trunk[1:])
        self.above_kg_m = mass * neck * sum(share * at for share, at in trunk[1:])
        self.arms_kg = 2 * mass * parts.arm
        self.total_kg = mass + load_kg
        self.reach_m = body.arm_m + HANG_M
        self.aside_m = grip_m / 2 - body.half_shoulder_m
        self.l5s1_up, self.l5s1_back = L5S1_UP * body.trunk_m, L5S1_BACK_M * body.size

    @property
    def reaches(self) -> bool:
        """Whether arms so long hold a bar with the hands so far apart."""
        return self.reach_m**2 - self.aside_m**2 > MOST_AHEAD_M**2

    def drop_m(self, ahead_m: float) -> float:
        """The shoulder joints above the bar, m, for arms that reach it."""
        return math.sqrt(self.reach_m**2 - ahead_m**2 - self.aside_m**2)

    def front_m(self, knee: Vector, hip: Vector, z: float) -> float:
        """The least y of a bar at a height that is in front of the leg, m."""
        ankle, size = self.leg.ankle, self.body.size
        if z <= knee[2]:
            up = (z - ankle[2]) / (knee[2] - ankle[2])
            y = ankle[1] + (knee[1] - ankle[1]) * up
            thick = SHIN_M + (PATELLA_M - SHIN_M) * max(0.0, up)
        else:
            up = min(1.0, (z - knee[2]) / max(1e-6, hip[2] - knee[2]))
            y = knee[1] + (hip[1] - knee[1]) * up
            thick = PATELLA_M + (THIGH_M - PATELLA_M) * up
        return y + thick * size + self.bar_m / 2

    def weight_at_m(self, y: float, ahead_m: float, lean_rad: float, hip: Vector, knee: Vector) -> float:
        """The y of the whole centre of mass with the bar at y, m."""
        body, parts = self.body, self.body.segments
        thigh = knee[1] + (hip[1] - knee[1]) * (1 - parts.thigh_com)
        shank = knee[1] * (1 - parts.shank_com)
        foot = (parts.foot_com - ANKLE_OF_FOOT) * body.foot_m * self.leg.cos
        legs = 2 * body.body_mass_kg * (parts.thigh * thigh + parts.shank * shank + parts.foot * foot)
        trunk = self.trunk_kg * hip[1] + self.trunk_kg_m * math.sin(lean_rad)
        arms = self.arms_kg * (y + ARM_COM * ahead_m)
        return (legs + trunk + arms + self.load_kg * y) / self.total_kg

    def hip(self, y: float, z: float, ahead_m: float, lean_rad: float) -> Vector:
        """The hip joint under a leaning trunk whose arms hold the bar at (y, z), m."""
        up = self.body.shoulder_m
        return (
            self.body.half_hip_m,
            y + ahead_m - up * math.sin(lean_rad),
            z + self.drop_m(ahead_m) - up * math.cos(lean_rad),
        )

    def balanced(self, z: float, ahead_m: float, lean_rad: float, near: float) -> float | None:
        """Where a bar at a height has the whole weight over the middle of the foot (y, m): secant from
        ``near``; None where the legs do not reach."""
        middle = self.leg.middle_m * self.leg.cos
        aside, behind, high = self.hip(0.0, z, ahead_m, lean_rad)

        def off(y: float) -> float | None:
            hip = aside, y + behind, high
            knee = self.leg.knee(hip)
            return None if knee is None else self.weight_at_m(y, ahead_m, lean_rad, hip, knee.at) - middle

        a, fa = near, off(near)
        for step in (-0.06, 0.06, 0.12, -0.12):
            if fa is not None:
                break
            a, fa = near + step, off(near + step)
        if fa is None:
            return None
        b = a - fa  # the slope is nearly one
        for _ in range(12):
            fb = off(b)
            if fb is None:
                b = (a + b) / 2
                continue
            if fb == fa:
                return b
            last, a, fa, b = fb, b, fb, b - fb * (b - a) / (fb - fa)
            if abs(last) < NEARLY_M:  # one more secant is as good as exact
                return b
        return None

    def pose(
        self, y: float, z: float, ahead_m: float, lean_rad: float, knee: Knee | None = None
    ) -> Pose | None:
        """The pose with the bar at (y, z); None where the legs do not reach. ``knee``: where it is known."""
        body, leg = self.body, self.leg
        hip = self.hip(y, z, ahead_m, lean_rad)
        knee = knee or leg.knee(hip)
        if knee is None:
            return None
        sine, cosine = math.sin(lean_rad), math.cos(lean_rad)
        along = self.weight_at_m(y, ahead_m, lean_rad, hip, knee.at) / leg.cos
        back_y = hip[1] + self.l5s1_up * sine - self.l5s1_back * cosine
        arms_y = y + ARM_COM * ahead_m
        back = GRAVITY_M_S2 * (
            self.load_kg * (y - back_y)
            + self.above_kg * (hip[1] - back_y)
            + self.above_kg_m * sine
            + self.arms_kg * (arms_y - back_y)
        )
        bears = bearing(leg, knee.at, hip, lean_rad, self.total_kg * GRAVITY_M_S2, back, along)
        holds = GRAVITY_M_S2 * (self.load_kg + (1 - ARM_COM) * self.arms_kg) * ahead_m
        part = holds / (2 * SHOULDER_EXTENSION * body.body_mass_kg * GRAVITY_M_S2 * body.stature_m)
        return Pose(
            bar=(y, z),
            lean_rad=lean_rad,
            ahead_m=ahead_m,
            hip=hip,
            knee=knee,
            shoulder=(y + ahead_m, z + self.drop_m(ahead_m)),
            clear_m=y - self.front_m(knee.at, hip, z),
            pressure_m=along,
            bears=bears,
            back_arm_m=y - back_y,
            shoulder_n_m=holds,
            shoulder_part=part,
            effort=math.sqrt(bears.effort**2 + part * part),
        )

    # ---- the least lean that the bar and the ankle allow

    def room(self, y: float, z: float, ahead_m: float, lean_rad: float) -> float | None:
        """How far a pose is inside its limits, in the one that is nearest (rad, or as many tenths of a
        metre); None where the legs do not reach."""
        hip = self.hip(y, z, ahead_m, lean_rad)
        knee = self.leg.knee(hip)
        if knee is None:
            return None
        clear = y - self.front_m(knee.at, hip, z)
        return min(10 * clear, self.leg.most_shin_rad - knee.shin_rad)

    def least_lean(
        self, place: Callable[[float], float | None], z: float, ahead_m: float, near: float
    ) -> float | None:
        """The least lean inside the limits, rad; None where there is none. ``place``: the bar's y of a
        lean."""

        def room(lean: float) -> float | None:
            y = place(lean)
            return None if y is None else self.room(y, z, ahead_m, lean)

        return least_inside(room, near)

    def settled(
        self, place: Callable[[float], float | None], z: float, ahead_m: float, near: float
    ) -> Pose | None:
        """The pose at a height: at the least lean, or further over for as long as that costs less effort."""
        lean = self.least_lean(place, z, ahead_m, near)
        if lean is None:
            return None

        def at(lean: float) -> Pose | None:
            y = place(lean)
            return None if y is None else self.pose(y, z, ahead_m, lean)

        best, more = at(lean), at(lean + NUDGE_RAD)
        if best is None or more is None or more.effort >= best.effort:
            return best
        return lower(at, lean, more)

    def start(self, z: float, ahead_m: float, near: float = 1.0) -> Pose | None:
        """The pose in which the bar leaves the floor at a height, the weight over the middle of the foot."""
        y = 0.5 * self.leg.middle_m + 0.05

        def place(lean: float) -> float | None:
            nonlocal y
            found = self.balanced(z, ahead_m, lean, y)
            if found is not None:
                y = found
            return found

        return self.settled(place, z, ahead_m, near)

    def nearest(self, y: float, z: float, ahead_m: float) -> Pose | None:
        """The pose with the bar at (y, z) that breaks its limits least; None where the legs do not reach."""
        leans = [MOST_LEAN_RAD * i / LOOKED for i in range(LOOKED + 1)]
        found = [(room, lean) for lean in leans if (room := self.room(y, z, ahead_m, lean)) is not None]
        return self.pose(y, z, ahead_m, max(found)[1]) if found else None
