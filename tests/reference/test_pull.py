"""The pull against other ways to work it out: MuJoCo at rest, and brute force in numpy."""

from __future__ import annotations

import math
import random

import mujoco
import numpy as np
import pytest

from shortlever import Tape
from shortlever.lifts.deadlift.comfort import STYLES
from shortlever.lifts.deadlift.library import puller_of
from shortlever.lifts.deadlift.measure import rep_from, start_of
from shortlever.lifts.deadlift.pull import ARM_COM, Pose, Pull
from shortlever.lifts.deadlift.search import REACHES, TURNS_RAD, Search
from shortlever.lifts.deadlift.setup import AHEAD_M, Puller, Setup
from shortlever.lifts.deadlift.tried import tried
from shortlever.lifts.legs.body import ANKLE_OF_FOOT
from shortlever.lifts.legs.statics import below_joints, pressure_at
from tests.reference.pull_brute import COARSE, Brute
from tests.reference.test_leg_statics import by_engine

GRAVITY = 9.80665
# The body above L5/S1 on a hinge, the arms with the bar on another in the shoulders. At rest the inertias do
# nothing.
MODEL = """
<mujoco>
  <option gravity="0 0 -{gravity}"/>
  <worldbody>
    <body pos="{low_back}">
      <joint type="hinge" axis="1 0 0"/>
      <inertial pos="{above_com}" mass="{above}" diaginertia="1 1 1"/>
      <body pos="{shoulder}">
        <joint type="hinge" axis="1 0 0"/>
        <inertial pos="{arms_com}" mass="{arms}" diaginertia="1 1 1"/>
        <body pos="{hand}"><inertial pos="0 0 0" mass="{load}" diaginertia="1 1 1"/></body>
      </body>
    </body>
  </worldbody>
</mujoco>
"""


def random_setup(rng: random.Random) -> tuple[Puller, Setup]:
    sex = rng.choice(["male", "female"])
    tape = Tape(sex=sex, stature=rng.uniform(1.5, 2.0), body_mass=rng.uniform(50, 130))
    lifter = puller_of(tape, load_kg=rng.uniform(40, 300))
    if rng.random() < 0.5:
        return lifter, Setup("conventional", rng.uniform(0.2, 0.4), rng.uniform(0, 25), rng.uniform(0.4, 0.7))
    return lifter, Setup("sumo", rng.uniform(0.55, 0.9), rng.uniform(25, 50), rng.uniform(0.35, 0.5))


def text(*vector: float) -> str:
    return " ".join(f"{v:.15g}" for v in vector)


def upper_body(pull: Pull, pose: Pose) -> tuple[float, float]:
    """What low back and shoulders have to hold, N·m, by the engine."""
    body, parts, mass = pull.body, pull.body.segments, pull.body.body_mass_kg
    sine, cosine = math.sin(pose.lean_rad), math.cos(pose.lean_rad)
    up, back = 0.20 * body.trunk_m, 0.03 * body.size
    at = np.array([0.0, pose.hip[1] + up * sine - back * cosine, pose.hip[2] + up * cosine + back * sine])
    along = np.array([0.0, sine, cosine])
    hips = np.array([0.0, pose.hip[1], pose.hip[2]])
    weights = [parts.middle_trunk, parts.upper_trunk, parts.head]
    places = [parts.middle_trunk_at, parts.upper_trunk_at, parts.head_at]
    above = mass * sum(weights)
    com = (
        sum(mass * w * (hips + p * body.neck_m * along) for w, p in zip(weights, places, strict=True)) / above
    )
    shoulder, hand = np.array([0.0, *pose.shoulder]), np.array([0.0, *pose.bar])
    model = mujoco.MjModel.from_xml_string(
        MODEL.format(
            gravity=GRAVITY,
            low_back=text(*at),
            above_com=text(*(com - at)),
            above=above,
            shoulder=text(*(shoulder - at)),
            arms_com=text(*((1 - ARM_COM) * (hand - shoulder))),
            arms=2 * mass * parts.arm,
            hand=text(*(hand - shoulder)),
            load=pull.load_kg,
        )
    )
    data = mujoco.MjData(model)
    mujoco.mj_inverse(model, data)
    return float(data.qfrc_inverse[0]), float(-data.qfrc_inverse[1])


def test_every_joint_of_random_pulls_by_the_engine() -> None:
    """Hip, knee, low back and shoulders, all the way up; the feet are pressed where the weight is."""
    rng, worst, found = random.Random(2027), 0.0, 0
    while found < 40:
        lifter, setup = random_setup(rng)
        pull, rep = rep_from(lifter, setup)
        found += 1
        for pose in rng.sample(rep.poses[:-1], 4):
            half, share = pose.bears.half_n, pose.bears.sideways
            assert pull.total_kg * GRAVITY == pytest.approx(2 * half)
            back, shoulders = upper_body(pull, pose)
            worst = max(worst, abs(back / pose.bears.back - 1))
            worst = max(worst, abs(shoulders - pose.shoulder_n_m) / half)
            hip_0, hip_1, knee_0, knee_1 = below_joints(
                pull.leg, pose.knee.at, pose.hip, half, pose.pressure_m
            )
            ours = [
                np.array(still) + share * np.array(moves)
                for still, moves in ((hip_0, hip_1), (knee_0, knee_1))
            ]
            pressed = pressure_at(pull.leg, pose.pressure_m)
            theirs = by_engine_at(pull, pose, half, share, pressed)
            for a, b in zip(ours, theirs, strict=True):
                worst = max(worst, float(np.abs(a - b).max()) / half)
    assert worst < 1e-9


def by_engine_at(pull: Pull, pose: Pose, half: float, share: float, pressed: object) -> object:
    """``by_engine`` with the feet pressed elsewhere: moved there, the floor's push turns by so much."""
    hip, knee = by_engine(pull.leg, pose.knee.at, pose.hip, half, share)
    before = np.array(pressure_at(pull.leg, pull.leg.middle_m))
    more = np.cross(np.array(pressed) - before, np.array([-half * share, 0.0, half]))
    return hip + more, knee + more


def test_the_centre_of_mass_is_where_the_feet_are_pressed() -> None:
    """The engine's centre of mass of all parts in their places, over the floor's push."""
    rng = random.Random(5)
    for _ in range(30):
        lifter, setup = random_setup(rng)
        pull, pose = start_of(lifter, setup)
        body, parts, mass = pull.body, pull.body.segments, pull.body.body_mass_kg
        sine, cosine = math.sin(pose.lean_rad), math.cos(pose.lean_rad)
        hip, knee, ankle = (np.array(p) for p in (pose.hip, pose.knee.at, pull.leg.ankle))
        foot = ankle + (parts.foot_com - ANKLE_OF_FOOT) * body.foot_m * np.array(
            [pull.leg.sin, pull.leg.cos, 0]
        )
        trunk = [(parts.lower_trunk, parts.lower_trunk_at), (parts.middle_trunk, parts.middle_trunk_at)]
        trunk += [(parts.upper_trunk, parts.upper_trunk_at), (parts.head, parts.head_at)]
        shoulder, hand = np.array([0.0, *pose.shoulder]), np.array([0.0, *pose.bar])
        weights = [
            (2 * mass * parts.thigh, hip + parts.thigh_com * (knee - hip)),
            (2 * mass * parts.shank, knee + parts.shank_com * (ankle - knee)),
            (2 * mass * parts.foot, foot),
            (2 * mass * parts.arm, hand + ARM_COM * (shoulder - hand)),
            (pull.load_kg, hand),
        ]
        weights += [(mass * w, hip + p * body.neck_m * np.array([0, sine, cosine])) for w, p in trunk]
        bodies = "".join(
            f'<body pos="{text(*p)}"><inertial pos="0 0 0" mass="{m}" diaginertia="1 1 1"/></body>'
            for m, p in weights
        )
        model = mujoco.MjModel.from_xml_string(f"<mujoco><worldbody>{bodies}</worldbody></mujoco>")
        data = mujoco.MjData(model)
        mujoco.mj_kinematics(model, data)
        mujoco.mj_comPos(model, data)
        shares = sum(m for m, _ in weights) / pull.total_kg  # the table's shares sum to one but for rounding
        assert shares == pytest.approx(1.0, abs=0.0015)
        pressed = pose.pressure_m * pull.leg.cos
        assert data.subtree_com[0][1] * shares == pytest.approx(pressed, abs=1e-9)


BODIES = {
    "man": Tape(stature=1.756, body_mass=85.5, sex="male"),
    "woman": Tape(stature=1.63, body_mass=66, sex="female"),
    "tall": Tape(stature=1.95, body_mass=105, sex="male"),
    "long arms": Tape(stature=1.78, body_mass=83, sex="male", arm_length=0.72),
}


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("name", BODIES)
def test_starts_are_those_that_a_scan_finds(name: str, style: str) -> None:
    """To the scan's step of half a thousandth of a radian."""
    lifter, rng = puller_of(BODIES[name]), random.Random(4)
    brute, search = Brute(lifter), Search(lifter, style)
    for _ in range(4):
        stance, turn = search.stance_m(rng.random()), search.turn_rad(0.7 * rng.random())
        ours, theirs = (
            tried(lifter, style, stance, turn, AHEAD_M, close_m=1e-6),
            brute.start(style, stance, turn),
        )
        assert ours is not None and theirs is not None
        assert theirs.lean - ours.pose.lean_rad == pytest.approx(0.0, abs=1.5e-3)
        assert theirs.effort == pytest.approx(ours.effort, rel=1e-3)
        assert theirs.stroke == pytest.approx(ours.stroke_m, abs=1e-4)
        assert theirs.grip == pytest.approx(ours.pull.grip_m, abs=1e-3)
        assert theirs.keeps == (min(ours.rooms) >= 0) or abs(min(ours.rooms)) < 3e-3


@pytest.mark.slow
@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("name", BODIES)
def test_feet_are_those_that_a_scan_finds(name: str, style: str) -> None:
    """The rule on a grid of 17 stances and 17 turn-outs: to a step of it."""
    lifter = puller_of(BODIES[name])
    search = Search(lifter, style)
    stances = np.linspace(search.narrow_m + 1e-4, search.narrow_m + REACHES[style] * lifter.body.size, 17)
    low, wide = TURNS_RAD[style]
    turns = np.linspace(low, low + wide, 17)
    feet, (stance, turn) = search.solve(), Brute(lifter, COARSE).feet(style, stances, turns)
    assert feet.stance_m == pytest.approx(stance, abs=stances[1] - stances[0])
    assert feet.turn_rad == pytest.approx(turn, abs=1.5 * (turns[1] - turns[0]))
