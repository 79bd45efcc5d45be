"""What is measured of a pull: arms, moments, stroke, work, the hardest point, and how it stands against every
limit."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace

from shortlever.errors import InfeasibleError
from shortlever.lifts.deadlift.comfort import (
    LEAST_PRESSURE,
    MOST_EVERSION_RAD,
    MOST_FLEXION_RAD,
    MOST_LEAN_RAD,
    MOST_PRESSURE,
)
from shortlever.lifts.deadlift.marks import Marks, marks_of
from shortlever.lifts.deadlift.pull import Pose, Pull
from shortlever.lifts.deadlift.rep import Rep, rep_of
from shortlever.lifts.deadlift.setup import Puller, Setup
from shortlever.lifts.deadlift.tried import spread_rad, toe_m
from shortlever.lifts.legs import measure as legs
from shortlever.lifts.legs.body import ANKLE_OF_FOOT
from shortlever.lifts.legs.measure import angle_limit, load_for
from shortlever.lifts.legs.work import work_j
from shortlever.lifts.limit import Limit
from shortlever.say import Said
from shortlever.units import GRAVITY_M_S2

EFFORT_AT_LIMIT = 3.0  # effort by which the limit-load index is told; only ratios of it matter
TOUCHES_M = 1e-4  # a bar that is so near rests against the leg


@dataclass(frozen=True)
class Row(legs.Row):
    """One height of the bar above where it lay, and where the feet are pressed there, from the heel, share of
    their length."""

    pressure: float


@dataclass(frozen=True)
class Assessment(legs.Assessment):
    """Those of every lift from the legs, at the start, and: ``hip_arm_m``: the bar ahead of the hip joint;
    ``knee_arm_m``: the knee joint ahead of the bar; ``hip_abduction_moment_n_m`` presses the thighs outward,
    - inward; ``hip_height_m``: the hip joint over the floor; ``lockout_height_m``: the bar at the end."""

    style: str
    grip_m: float
    shoulder_ahead_m: float
    hip_height_m: float
    hip_abduction_moment_n_m: float
    lockout_height_m: float
    marks: Marks
    path: tuple[Row, ...]

    @property
    def setup(self) -> Setup:
        """The setup that was measured."""
        return Setup(self.style, self.stance_m, self.turn_out_deg, self.grip_m, self.shoulder_ahead_m)

    def told(self) -> dict[str, object]:
        """The assessment as plain parts, with its sentences still to be said."""
        return super().told() | {"setup": asdict(self.setup)}


def start_of(puller: Puller, setup: Setup) -> tuple[Pull, Pose]:
    """The pull of a setup and the pose in which the bar leaves the floor. Raises InfeasibleError without
    one."""
    pull = puller.pull(setup)
    start = pull.start(puller.gear.start_m, setup.shoulder_ahead_m)
    if start is None:
        raise InfeasibleError(Said("pull_no_start_here", {"stance_m": setup.stance_m}))
    return pull, start


def rep_from(puller: Puller, setup: Setup) -> tuple[Pull, Rep]:
    """The pull of a setup and its rep. Raises InfeasibleError where there is none."""
    pull, start = start_of(puller, setup)
    rep = rep_of(pull, start)
    if rep is None or rep.stroke_m <= 0:
        raise InfeasibleError(Said("pull_no_lockout", {"stance_m": setup.stance_m}))
    return pull, rep


def limits_of(puller: Puller, setup: Setup, pull: Pull, rep: Rep) -> tuple[Limit, ...]:
    """Every limit with its margin for a pull."""
    found: list[Limit] = []
    comfort, leg, start, foot = puller.comfort, pull.leg, rep.poses[0], puller.body.foot_m

    def length(name: str, margin_m: float, said: Said) -> None:
        found.append(Limit(name, margin_m >= -TOUCHES_M, margin_m, "m", said))

    length("shin", start.clear_m, Said("pull_limit_shin"))
    found.append(angle_limit("ankle", leg.most_shin_rad - start.knee.shin_rad, leg.most_shin_rad))
    found.append(angle_limit("fold", MOST_FLEXION_RAD - start.bears.hip_flexion_rad, MOST_FLEXION_RAD))
    found.append(angle_limit("lean", MOST_LEAN_RAD - start.lean_rad, MOST_LEAN_RAD))
    spread, most = spread_rad(start), comfort.most_spread_rad(setup.style)
    found.append(angle_limit("spread", most - spread, most))
    found.append(angle_limit("apart", comfort.align_rad - abs(spread - leg.feet.turn_rad), comfort.align_rad))
    found.append(angle_limit("evert", MOST_EVERSION_RAD - abs(start.knee.evert_rad), MOST_EVERSION_RAD))
    length("hands", puller.hands_room_m(setup.style, pull, start), Said(f"pull_limit_hands_{setup.style}"))
    length("plates", puller.gear.bar.between_collars_m / 2 - toe_m(pull), Said("pull_limit_plates"))
    shares = [ANKLE_OF_FOOT + pose.pressure_m / foot for pose in rep.poses]
    room = min(min(shares) - LEAST_PRESSURE, MOST_PRESSURE - max(shares)) * foot
    ends = {"low": 100 * LEAST_PRESSURE, "high": 100 * MOST_PRESSURE}
    length("pressure", room, Said("pull_limit_pressure", ends))
    path = 0.0 if not rep.outside else min(rep.poses[i].clear_m for i in rep.outside)
    length("path", path, Said("pull_limit_path"))
    return tuple(found)


def work_of(pull: Pull, poses: Sequence[Pose]) -> dict[str, float]:
    """Work of the joints from pose to pose, J; the shoulders': what holds the arms to the bar times the
    trunk's turn less the arms'."""
    instants = [(p.hip, p.knee.at, p.lean_rad, p.bears.sideways) for p in poses]
    weight = pull.total_kg * GRAVITY_M_S2
    done = work_j(pull.leg, instants, weight, [p.pressure_m for p in poses])
    done["shoulder"] = 0.0
    for here, there in itertools.pairwise(poses):
        arms = [math.atan2(-p.ahead_m, pull.drop_m(p.ahead_m)) for p in (here, there)]
        turn = here.lean_rad - there.lean_rad - (arms[1] - arms[0])
        done["shoulder"] += (here.shoulder_n_m + there.shoulder_n_m) / 2 * turn
    return done


def limit_load_kg(puller: Puller, setup: Setup, effort: float) -> float:
    """The load that brings the start of a setup to an effort, kg."""

    def at(load: float) -> float:
        start = replace(puller, load_kg=load).pull(setup).start(puller.gear.start_m, setup.shoulder_ahead_m)
        return math.nan if start is None else start.effort - effort

    return load_for(at, puller.load_kg)


def assess_pull(puller: Puller, setup: Setup, pull: Pull | None = None, rep: Rep | None = None) -> Assessment:
    """All measures of a setup. Raises InfeasibleError where it cannot be held.

    ``pull`` and ``rep`` are the setup's own, where they are already there.
    """
    if pull is None or rep is None:
        pull, rep = rep_from(puller, setup)
    start, hardest, ankle = rep.poses[0], rep.hardest, pull.leg.ankle
    work = work_of(pull, rep.poses)
    whole = sum(work.values())
    row, knee = _row(pull, start, start), start.knee
    at_limit = limit_load_kg(puller, setup, EFFORT_AT_LIMIT * start.effort / hardest.effort)
    return Assessment(
        style=setup.style,
        stance_m=setup.stance_m,
        turn_out_deg=setup.turn_out_deg,
        grip_m=setup.grip_m,
        shoulder_ahead_m=setup.shoulder_ahead_m,
        load_kg=puller.load_kg,
        hip_height_m=start.hip[2],
        hip_arm_m=row.hip_arm_m,
        knee_arm_m=row.knee_arm_m,
        back_arm_m=row.back_arm_m,
        trunk_lean_deg=row.trunk_lean_deg,
        shin_deg=row.shin_deg,
        shin_side_deg=math.degrees(math.atan2(knee.at[1] - ankle[1], knee.at[2] - ankle[2])),
        thigh_deg=row.thigh_deg,
        knee_deg=row.knee_deg,
        hip_deg=math.degrees(start.bears.hip_flexion_rad),
        ankle_deg=math.degrees(knee.shin_rad - pull.leg.tilt_rad),
        spread_deg=math.degrees(spread_rad(start)),
        hip_moment_n_m=start.bears.hip,
        knee_moment_n_m=start.bears.knee,
        back_moment_n_m=start.bears.back,
        hip_moment_side_n_m=start.bears.hip_sagittal,
        knee_moment_side_n_m=start.bears.knee_sagittal,
        hip_abduction_moment_n_m=start.bears.adduction,
        sideways_ratio=start.bears.sideways,
        stroke_m=rep.stroke_m,
        bar_drift_m=row.bar_drift_m,
        work_j=whole,
        work_share={joint: part / whole for joint, part in work.items()},
        effort=hardest.effort,
        hardest_height_m=hardest.bar[1] - start.bar[1],
        limit_load_index=at_limit / puller.body.body_mass_kg,
        lockout_height_m=rep.poses[-1].bar[1],
        marks=marks_of(puller, pull, start),
        path=tuple(_row(pull, pose, start) for pose in rep.poses),
        limits=limits_of(puller, setup, pull, rep),
    )


def _row(pull: Pull, pose: Pose, start: Pose) -> Row:
    y, bears, leg = pose.bar[0], pose.bears, pull.leg
    rise = (pose.hip[2] - pose.knee.at[2]) / pull.body.thigh_m
    return Row(
        height_m=pose.bar[1] - start.bar[1],
        trunk_lean_deg=math.degrees(pose.lean_rad),
        shin_deg=math.degrees(pose.knee.shin_rad),
        thigh_deg=math.degrees(math.asin(max(-1.0, min(1.0, rise)))),
        knee_deg=math.degrees(bears.knee_bend_rad),
        hip_arm_m=y - pose.hip[1],
        knee_arm_m=pose.knee.at[1] - y,
        back_arm_m=pose.back_arm_m,
        hip_moment_n_m=bears.hip,
        knee_moment_n_m=bears.knee,
        back_moment_n_m=bears.back,
        bar_drift_m=y - leg.middle_m * leg.cos,
        pressure=ANKLE_OF_FOOT + pose.pressure_m / pull.body.foot_m,
        effort=pose.effort,
    )
