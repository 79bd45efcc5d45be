"""What is measured of a squat: arms, moments, stroke, work, the hardest point, and every limit."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.errors import InfeasibleError, InputError
from shortlever.lifts.legs import measure as legs
from shortlever.lifts.legs.measure import Row, angle_limit, load_for
from shortlever.lifts.legs.work import work_j
from shortlever.lifts.limit import Limit
from shortlever.lifts.squat.gear import DEEPER_THAN_RULE_M, RULE
from shortlever.lifts.squat.marks import Marks, marks_of
from shortlever.lifts.squat.squat import SOLE_M, Pose, Squat, Stance
from shortlever.lifts.squat.valley import Bottoms
from shortlever.say import Said
from shortlever.units import GRAVITY_M_S2, with_plain_numbers

EFFORT_AT_LIMIT = 2.0  # effort by which the limit-load index is told; only ratios of it matter
RANGES = (
    ("stance_m", 0.1, 1.4, "m"),
    ("turn_out_deg", 0.0, 75.0, "degrees"),
    ("heel_m", 0.0, 0.08, "m"),
    ("sit_back_m", 0.0, 0.7, "m"),
)


@dataclass(frozen=True)
class Setup:
    """What a lifter can choose: ankle joints apart (m), turn-out of each foot (deg), heel over ball (m), and
    how far the hips sit behind the middle of the feet at the bottom (m; None: as far as effort is least).

    >>> Setup(stance_m=0.5, turn_out_deg=30.0).heel_m
    0.0
    """

    stance_m: float
    turn_out_deg: float
    heel_m: float = 0.0
    sit_back_m: float | None = None

    def __post_init__(self) -> None:
        with_plain_numbers(self, (name for name, *_ in RANGES))
        for name, low, high, unit in RANGES:
            value = getattr(self, name)
            if value is None and name == "sit_back_m":
                continue
            if not isinstance(value, int | float) or not low <= value <= high:
                of = {"name": name, "given": repr(value), "low": low, "high": high, "unit": unit}
                raise InputError(
                    name,
                    "out_of_range",
                    f"{value!r}"[:24],
                    Said("setup_out_of_range", of),
                    Said("setup_out_of_range_remedy", of),
                )

    @property
    def turn_rad(self) -> float:
        """The turn-out in rad."""
        return math.radians(self.turn_out_deg)


@dataclass(frozen=True)
class Assessment(legs.Assessment):
    """Those of every lift from the legs, at the bottom, and: ``hip_arm_m`` and ``knee_arm_m``: hip joint
    behind and knee joint ahead of the plumb line through the middle of the feet; ``sit_back_m``: the first of
    them as a setup holds it; ``bar_standing_m``: the bar over the floor before the squat."""

    heel_m: float
    sit_back_m: float
    bar_position: str
    depth: str
    bar_standing_m: float
    marks: Marks

    @property
    def setup(self) -> Setup:
        """The setup that was measured."""
        return Setup(self.stance_m, self.turn_out_deg, self.heel_m, self.sit_back_m)

    def told(self) -> dict[str, object]:
        """The assessment as plain parts, with its sentences still to be said."""
        out = super().told()
        setup = ("stance_m", "turn_out_deg", "heel_m", "sit_back_m", "bar_position", "depth")
        return out | {"setup": {name: out[name] for name in setup}}


def bottom_of(squat: Squat, setup: Setup) -> tuple[Stance, float, Pose]:
    """The feet, the shin's lean and the bottom of a setup. Raises InfeasibleError where there is none."""
    stance = squat.on(setup.stance_m, setup.turn_rad, setup.heel_m)
    bottoms = Bottoms(squat)
    if setup.sit_back_m is None:
        valley = bottoms.valley(stance)
        shin = None if valley is None else valley.shin_rad
    else:
        shin = bottoms.shin_for(stance, setup.sit_back_m)
    pose = None if shin is None else stance.bottom(shin)
    if shin is None or pose is None:
        raise InfeasibleError(Said("squat_no_bottom_here", {"stance_m": setup.stance_m}))
    return stance, shin, pose


def limits_of(squat: Squat, stance: Stance, pose: Pose) -> tuple[Limit, ...]:
    """Every limit with its margin for a bottom."""
    found: list[Limit] = []
    comfort, feet = squat.comfort, stance.leg.feet

    if squat.depth == "rule":
        found.append(
            Limit("depth", True, DEEPER_THAN_RULE_M, "m", Said("squat_limit_depth", {"by_m": 0.005}))
        )
    most, evert = stance.leg.most_shin_rad, abs(pose.knee.evert_rad)
    found += [
        angle_limit("ankle", most - pose.knee.shin_rad, most - stance.leg.tilt_rad),
        angle_limit("spread", comfort.spread_rad - pose.spread_rad, comfort.spread_rad),
        angle_limit("apart", comfort.apart_rad - abs(pose.spread_rad - feet.turn_rad), comfort.apart_rad),
        angle_limit("evert", comfort.evert_rad - evert, comfort.evert_rad),
        angle_limit("lean", comfort.lean_rad - pose.lean_rad, comfort.lean_rad),
        angle_limit("fold", comfort.fold_rad - pose.bears.hip_flexion_rad, comfort.fold_rad),
    ]
    highest = RULE.max_sole_m
    if squat.depth == "rule" and highest is not None:
        room = highest - SOLE_M - feet.heel_m
        found.append(Limit("sole", room >= -1e-6, room, "m", Said("squat_limit_sole", {"sole_m": highest})))
    return tuple(found)


def limit_load_kg(squat: Squat, setup: Setup, shin_rad: float, effort: float) -> float:
    """The load that brings the bottom of a setup to an effort, the hips where they are, kg."""

    def at(load: float) -> float:
        other = Squat(squat.body, squat.position, squat.depth, squat.comfort, load)
        pose = other.on(setup.stance_m, setup.turn_rad, setup.heel_m).bottom(shin_rad)
        return math.nan if pose is None else pose.bears.effort - effort

    return load_for(at, squat.load_kg)


def assess_squat(squat: Squat, setup: Setup) -> Assessment:
    """All measures of a setup. Raises InfeasibleError where there is no such bottom."""
    stance, shin, bottom = bottom_of(squat, setup)
    rep = stance.rep(bottom)
    hardest = max(rep, key=lambda pose: pose.bears.effort)
    weight = stance.total_kg * GRAVITY_M_S2
    instants = [(p.hip, p.knee.at, p.lean_rad, p.bears.sideways) for p in rep]
    work = work_j(stance.leg, instants, weight) if len(rep) > 1 else {}
    whole = sum(work.values())
    at_limit = limit_load_kg(squat, setup, shin, EFFORT_AT_LIMIT * bottom.bears.effort / hardest.bears.effort)
    knee, ankle = bottom.knee, stance.leg.ankle
    row = _row(bottom, bottom)
    return Assessment(
        stance_m=setup.stance_m,
        turn_out_deg=setup.turn_out_deg,
        heel_m=setup.heel_m,
        sit_back_m=bottom.hip_arm_m,
        bar_position=squat.position,
        depth=squat.depth,
        load_kg=squat.load_kg,
        hip_arm_m=bottom.hip_arm_m,
        knee_arm_m=bottom.knee_arm_m,
        back_arm_m=bottom.back_arm_m,
        trunk_lean_deg=row.trunk_lean_deg,
        shin_deg=row.shin_deg,
        shin_side_deg=math.degrees(math.atan2(knee.at[1] - ankle[1], knee.at[2] - ankle[2])),
        thigh_deg=row.thigh_deg,
        knee_deg=row.knee_deg,
        hip_deg=math.degrees(bottom.bears.hip_flexion_rad),
        ankle_deg=math.degrees(knee.shin_rad - stance.leg.tilt_rad),
        spread_deg=math.degrees(bottom.spread_rad),
        hip_moment_n_m=bottom.bears.hip,
        knee_moment_n_m=bottom.bears.knee,
        back_moment_n_m=bottom.bears.back,
        hip_moment_side_n_m=bottom.bears.hip_sagittal,
        knee_moment_side_n_m=bottom.bears.knee_sagittal,
        sideways_ratio=bottom.bears.sideways,
        stroke_m=stance.top_m - bottom.bar[1],
        bar_drift_m=bottom.drift_m,
        work_j=whole,
        work_share={joint: part / whole for joint, part in work.items()},
        effort=hardest.bears.effort,
        hardest_height_m=hardest.bar[1] - bottom.bar[1],
        limit_load_index=at_limit / squat.body.body_mass_kg,
        bar_standing_m=stance.top_m,
        marks=marks_of(squat, stance, bottom),
        path=tuple(_row(pose, bottom) for pose in rep),
        limits=limits_of(squat, stance, bottom),
    )


def _row(pose: Pose, bottom: Pose) -> Row:
    return Row(
        height_m=pose.bar[1] - bottom.bar[1],
        trunk_lean_deg=math.degrees(pose.lean_rad),
        shin_deg=math.degrees(pose.knee.shin_rad),
        thigh_deg=math.degrees(pose.thigh_rad),
        knee_deg=math.degrees(pose.bears.knee_bend_rad),
        hip_arm_m=pose.hip_arm_m,
        knee_arm_m=pose.knee_arm_m,
        back_arm_m=pose.back_arm_m,
        hip_moment_n_m=pose.bears.hip,
        knee_moment_n_m=pose.bears.knee,
        back_moment_n_m=pose.bears.back,
        bar_drift_m=pose.drift_m,
        effort=pose.bears.effort,
    )
