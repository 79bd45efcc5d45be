"""Statics of one leg against a general-purpose rigid-body engine: MuJoCo's inverse dynamics at rest."""

from __future__ import annotations

import math
import random

import mujoco
import numpy as np
from numpy.typing import NDArray

from shortlever import Tape
from shortlever.lifts.legs.body import ANKLE_OF_FOOT, Standing
from shortlever.lifts.legs.leg import Feet, Leg, Vector
from shortlever.lifts.legs.statics import bearing, below_joints, pressure_at

Array = NDArray[np.float64]
RELATIVE = 1e-9
GRAVITY = 9.80665

# A thigh hangs from the world on a ball joint, a shank with the foot from the thigh on another; at rest the
# inertias do nothing. The pose asked for is the reference position, so that all axes are the world's.
MODEL = """
<mujoco>
  <option gravity="0 0 -{gravity}"/>
  <worldbody>
    <body pos="{hip}">
      <joint type="ball"/>
      <inertial pos="{thigh_com}" mass="{thigh_mass}" diaginertia="1 1 1"/>
      <body name="shank" pos="{to_knee}">
        <joint type="ball"/>
        <inertial pos="{shank_com}" mass="{shank_mass}" diaginertia="1 1 1"/>
        <body pos="{foot_com}">
          <inertial pos="0 0 0" mass="{foot_mass}" diaginertia="1 1 1"/>
        </body>
      </body>
    </body>
  </worldbody>
</mujoco>
"""


def by_engine(leg: Leg, knee: Vector, hip: Vector, half: float, share: float) -> tuple[Array, Array]:
    """What floor and weight do to hip and knee, N·m, when the floor pushes inward with ``share``."""
    body, parts = leg.body, leg.body.segments
    h, k, a = (np.array(p) for p in (hip, knee, leg.ankle))
    ahead = (parts.foot_com - ANKLE_OF_FOOT) * body.foot_m
    foot = np.array([leg.ankle[0] + ahead * leg.sin, leg.ankle[1] + ahead * leg.cos, 0.0])

    def text(vector: Array) -> str:
        return " ".join(f"{v:.15g}" for v in vector)

    model = mujoco.MjModel.from_xml_string(
        MODEL.format(
            gravity=GRAVITY,
            hip=text(h),
            thigh_com=text((k - h) * parts.thigh_com),
            thigh_mass=parts.thigh * body.body_mass_kg,
            to_knee=text(k - h),
            shank_com=text((a - k) * parts.shank_com),
            shank_mass=parts.shank * body.body_mass_kg,
            foot_com=text(foot - k),
            foot_mass=parts.foot * body.body_mass_kg,
        )
    )
    data = mujoco.MjData(model)
    mujoco.mj_inverse(model, data)
    held = np.zeros(model.nv)
    force, at = np.array([-half * share, 0.0, half]), np.array(pressure_at(leg, leg.middle_m))
    mujoco.mj_applyFT(model, data, force, np.zeros(3), at, model.body("shank").id, held)
    done = held - data.qfrc_inverse
    return done[:3], done[3:]


def test_hip_and_knee_moments_of_random_poses() -> None:
    rng, worst, found = random.Random(2026), 0.0, 0
    while found < 400:
        tape = Tape(
            sex=rng.choice(["male", "female"]), stature=rng.uniform(1.5, 2.0), body_mass=rng.uniform(50, 130)
        )
        turn, heel = math.radians(rng.uniform(0, 45)), rng.choice([0.0, 0.02])
        leg = Leg(Standing.from_tape(tape), Feet(rng.uniform(0.25, 0.8), turn, heel, 0.01))
        hip = leg.hip_over_shin(rng.uniform(0.1, 0.8), rng.uniform(-0.05, 0.2))
        knee = leg.knee(hip) if hip else None
        if hip is None or knee is None:
            continue
        found += 1
        weight = rng.uniform(60, 400) * GRAVITY
        got = bearing(leg, knee.at, hip, rng.uniform(0, 1), weight, 0.0, leg.middle_m)
        hip_0, hip_1, knee_0, knee_1 = (
            np.array(v) for v in below_joints(leg, knee.at, hip, weight / 2, leg.middle_m)
        )
        k = got.sideways
        for ours, theirs in zip(
            (hip_0 + k * hip_1, knee_0 + k * knee_1), by_engine(leg, knee.at, hip, weight / 2, k), strict=True
        ):
            worst = max(worst, float(np.abs(ours - theirs).max() / np.linalg.norm(theirs)))
        # what is told of each joint is that vector along its axes
        size = math.hypot(got.hip, got.adduction, got.rotation)
        assert math.isclose(size, float(np.linalg.norm(hip_0 + k * hip_1)), rel_tol=1e-12)
    assert worst < RELATIVE
