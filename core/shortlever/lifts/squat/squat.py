"""A squat as geometry and balance: the pose of any place of the hips, the bottom, the rep.

Of a pose the legs follow from the hips (``legs.leg``), and the trunk's lean from balance: the whole centre of
mass stands over the middle of the feet, a sin(lean) + b cos(lean) = c. At the bottom the depth fixes the hip
over the knee, and one freedom is left: how far the hips sit back, told by the shin's lean. Going up, the
shank unwinds in proportion to the knee (practice; least effort at each height separately drops the trunk to
15 to 20 degrees where lifters show 41).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from shortlever.lifts.legs.body import ANKLE_OF_FOOT, L5S1_BACK_M, L5S1_UP, Standing
from shortlever.lifts.legs.leg import Feet, Knee, Leg, Vector
from shortlever.lifts.legs.statics import Bearing, bearing
from shortlever.lifts.squat.gear import DEEPER_THAN_RULE_M, POSITIONS
from shortlever.lifts.squat.limits import COMFORTS, Comfort
from shortlever.units import GRAVITY_M_S2

ROWS = 16  # of a rep, bottom and standing included
SOLE_M = 0.010  # of a shoe under the ball (common practice, no source)
STANDING_LEAN_RAD = math.radians(5)  # of the trunk, with knees locked (practice)
ARMS_AT = 0.80  # of hip-acromion: arms that hold a bar on the back (assumption)
USUAL_LOAD = 1.5  # body weights: what a setup is worked out for where no load is given (practice)
STRAIGHT_RAD = 0.02  # of the knee's bend: the hips are a tenth of a millimetre lower


@dataclass(frozen=True)
class Upper:
    """Trunk, head, arms and bar as points along the trunk from the hips (m, kg): ``bar_up_m`` along,
    ``bar_back_m`` behind; masses and places of all of it and of what is above L5/S1; that joint's place."""

    bar_up_m: float
    bar_back_m: float
    mass_kg: float
    com_m: float
    above_kg: float
    above_com_m: float
    joint_up_m: float
    joint_back_m: float


def upper_of(body: Standing, position: str) -> Upper:
    """What the hips carry of a body with the bar so on its back."""
    bar, parts, n = POSITIONS[position], body.segments, body.neck_m
    points = (
        (parts.lower_trunk, parts.lower_trunk_at * n),
        (parts.middle_trunk, parts.middle_trunk_at * n),
        (parts.upper_trunk, parts.upper_trunk_at * n),
        (parts.head, parts.head_at * n),
        (2 * parts.arm, ARMS_AT * body.trunk_m),
    )
    whole = sum(mass for mass, _ in points)
    above = whole - parts.lower_trunk
    return Upper(
        bar_up_m=body.trunk_m + bar.above_acromion_m * body.size,
        bar_back_m=bar.behind_m * body.size,
        mass_kg=whole * body.body_mass_kg,
        com_m=sum(mass * at for mass, at in points) / whole,
        above_kg=above * body.body_mass_kg,
        above_com_m=sum(mass * at for mass, at in points[1:]) / above,
        joint_up_m=L5S1_UP * body.trunk_m,
        joint_back_m=L5S1_BACK_M * body.size,
    )


@dataclass(frozen=True, slots=True)
class Pose:
    """One instant: hip joint and knee (m), the bar's and L5/S1's places (y, z) in m, trunk lean (rad), what
    the joints bear. Arms are horizontal distances in m: of hip and knee from the middle of the feet, + the
    hip behind and the knee ahead of it; of L5/S1 from the bar. ``drift_m``: the bar ahead of the middle."""

    hip: Vector
    knee: Knee
    bar: tuple[float, float]
    lumbar: tuple[float, float]
    lean_rad: float
    thigh_rad: float
    spread_rad: float
    hip_arm_m: float
    knee_arm_m: float
    back_arm_m: float
    drift_m: float
    bears: Bearing


@dataclass(frozen=True)
class Squat:
    """A body, where the bar lies, how deep, what is comfortable, the load (kg): ready to stand anywhere."""

    body: Standing
    position: str = "low"
    depth: str = "rule"
    comfort: Comfort = COMFORTS["usual"]
    load_kg: float = 100.0
    bar_diameter_m: float = 0.029
    upper: Upper = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "upper", upper_of(self.body, self.position))

    @property
    def rise_m(self) -> float:
        """The hip joint over the knee joint at the bottom, m."""
        return 0.0 if self.depth == "level" else -(self.body.below_knee_m + DEEPER_THAN_RULE_M)

    def on(self, stance_m: float, turn_rad: float, heel_m: float = 0.0) -> Stance:
        """This squat on its feet."""
        return Stance(self, Leg(self.body, Feet(stance_m, turn_rad, heel_m, SOLE_M)))


class Stance:
    """A squat on its feet: its poses, its bottoms, its rep."""

    def __init__(self, squat: Squat, leg: Leg) -> None:
        self.squat, self.leg = squat, leg
        body, upper, load = squat.body, squat.upper, squat.load_kg
        self.middle_y = leg.middle_m * leg.cos
        self.total_kg = body.body_mass_kg + load
        self._a = upper.mass_kg * upper.com_m + load * upper.bar_up_m
        self._b = -load * upper.bar_back_m
        self._size, self._turn = math.hypot(self._a, self._b), math.atan2(self._b, self._a)
        ahead = (body.segments.foot_com - ANKLE_OF_FOOT) * body.foot_m * leg.cos
        self._c = self.total_kg * self.middle_y - 2 * body.segments.foot * body.body_mass_kg * ahead

    def pose(self, hip: Vector) -> Pose | None:
        """The pose with the right hip joint there; None where leg or balance do not allow it."""
        squat, leg = self.squat, self.leg
        body, upper, load = squat.body, squat.upper, squat.load_kg
        knee = leg.knee(hip)
        if knee is None:
            return None
        parts, at = body.segments, knee.at
        thigh_y = at[1] + (hip[1] - at[1]) * (1 - parts.thigh_com)
        shank_y = at[1] * (1 - parts.shank_com)
        c = self._c - 2 * body.body_mass_kg * (parts.thigh * thigh_y + parts.shank * shank_y)
        c -= (upper.mass_kg + load) * hip[1]
        if abs(c) > self._size:
            return None
        lean = math.asin(c / self._size) - self._turn
        sine, cosine = math.sin(lean), math.cos(lean)
        bar_y = hip[1] + upper.bar_up_m * sine - upper.bar_back_m * cosine
        bar_z = hip[2] + upper.bar_up_m * cosine + upper.bar_back_m * sine
        low_y = hip[1] + upper.joint_up_m * sine - upper.joint_back_m * cosine
        low_z = hip[2] + upper.joint_up_m * cosine + upper.joint_back_m * sine
        above_y = hip[1] + upper.above_com_m * sine
        back = GRAVITY_M_S2 * (load * (bar_y - low_y) + upper.above_kg * (above_y - low_y))
        return Pose(
            hip=hip,
            knee=knee,
            bar=(bar_y, bar_z),
            lumbar=(low_y, low_z),
            lean_rad=lean,
            thigh_rad=math.asin(max(-1.0, min(1.0, (hip[2] - at[2]) / body.thigh_m))),
            spread_rad=math.atan2(at[0] - hip[0], at[1] - hip[1]),
            hip_arm_m=self.middle_y - hip[1],
            knee_arm_m=at[1] - self.middle_y,
            back_arm_m=bar_y - low_y,
            drift_m=bar_y - self.middle_y,
            bears=bearing(leg, at, hip, lean, self.total_kg * GRAVITY_M_S2, back, leg.middle_m),
        )

    def bottom(self, shin_rad: float) -> Pose | None:
        """The bottom with the shin leaning so far along the foot; None where there is none."""
        hip = self.leg.hip_over_shin(shin_rad, self.squat.rise_m)
        return None if hip is None else self.pose(hip)

    @property
    def standing_hip_m(self) -> float:
        """Height of the hip joints with straight legs, m."""
        leg, body = self.leg, self.squat.body
        aside = leg.ankle[0] - body.half_hip_m
        return leg.ankle[2] + math.sqrt(max((body.shank_m + body.thigh_m) ** 2 - aside * aside, 0.0))

    @property
    def top_m(self) -> float:
        """Height of the bar's centre standing, m."""
        upper = self.squat.upper
        along, behind = math.cos(STANDING_LEAN_RAD), math.sin(STANDING_LEAN_RAD)
        return self.standing_hip_m + upper.bar_up_m * along + upper.bar_back_m * behind

    def rep(self, bottom: Pose, rows: int = ROWS) -> list[Pose]:
        """Poses from the bottom to legs that are straight but for STRAIGHT_RAD, the knee's bend in equal
        steps."""
        leg, bend = self.leg, bottom.bears.knee_bend_rad
        back = math.atan2(leg.ankle[1] - bottom.hip[1], bottom.hip[2] - leg.ankle[2])
        share = (leg.apex_rad(bend) - back) / bend
        found = [bottom]
        for i in range(1, rows):
            now = max(bend * (1 - i / (rows - 1)), STRAIGHT_RAD)
            hip = leg.hip_at(now, leg.apex_rad(now) - share * now)
            pose = None if hip is None else self.pose(hip)
            if pose is not None:
                found.append(pose)
        return found
