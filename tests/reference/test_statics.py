"""Statics of one arm against a general-purpose rigid-body engine: MuJoCo's inverse dynamics at rest."""

from __future__ import annotations

import math
import random

import mujoco
import numpy as np
import pytest
from numpy.typing import NDArray

from shortlever.lifts.bench.pose import Circle, Linkage, Pose, pose_at
from shortlever.person.body import Arm

Array = NDArray[np.float64]

RELATIVE = 1e-6
GRAVITY = 9.80665

# Two bodies hang from the world: an upper arm on a ball joint at the shoulder, a forearm on a hinge at the
# elbow. In the reference position the arm is straight down; the hinge turns about its own x axis, which lifts
# the hand toward +y: + closes the elbow. The engine asks for
# inertias; at rest they do nothing.
MODEL = """
<mujoco>
  <compiler angle="radian"/>
  <option gravity="0 0 -{gravity}"/>
  <worldbody>
    <body name="upper" pos="0 0 0">
      <joint name="shoulder" type="ball"/>
      <inertial pos="0 0 {upper_com}" mass="{upper_mass}" diaginertia="0.01 0.01 0.002"/>
      <body name="fore" pos="0 0 {elbow}">
        <joint name="elbow" type="hinge" axis="1 0 0"/>
        <inertial pos="0 0 {fore_com}" mass="{fore_mass}" diaginertia="0.01 0.01 0.002"/>
      </body>
    </body>
  </worldbody>
</mujoco>
"""


def random_pose(rng: random.Random) -> tuple[Arm, float, Pose]:
    """A random arm and load (kg) with its hand where a press can have it, any swivel, any sideways ratio."""
    while True:
        arm = Arm(
            upper_m=rng.uniform(0.20, 0.40),
            fore_m=rng.uniform(0.22, 0.46),
            upper_mass_kg=rng.uniform(0.8, 6.0),
            fore_mass_kg=rng.uniform(0.6, 5.0),
            upper_com=rng.uniform(0.4, 0.65),
            fore_com=rng.uniform(0.4, 0.7),
        )
        hand = rng.uniform(-0.15, 0.45), rng.uniform(-0.2, 0.35), rng.uniform(0.02, 0.75)
        if abs(arm.upper_m - arm.fore_m) + 0.005 < math.hypot(*hand) < arm.reach_m - 0.005:
            load = rng.uniform(20, 300)
            link = Linkage(arm, load)
            sideways = rng.uniform(-1, 1)
            return arm, load, pose_at(link, Circle(link, *hand), rng.uniform(-math.pi, math.pi), sideways)


def by_engine(arm: Arm, load: float, pose: Pose) -> tuple[Array, float]:
    """What the load does to the joints, N·m: moment vector about the shoulder, and bending of the elbow.

    The load is the arm's own weight and, on the hand, half the bar down and the sideways force inward.
    """
    model = mujoco.MjModel.from_xml_string(
        MODEL.format(
            gravity=GRAVITY,
            upper_com=-arm.upper_com * arm.upper_m,
            upper_mass=arm.upper_mass_kg,
            elbow=-arm.upper_m,
            fore_com=-arm.fore_com * arm.fore_m,
            fore_mass=arm.fore_mass_kg,
        )
    )
    data = mujoco.MjData(model)
    elbow, hand = np.array(pose.elbow), np.array(pose.hand)
    along = -elbow / arm.upper_m  # the upper arm's own z axis points from elbow to shoulder
    fore = (hand - elbow) / arm.fore_m
    # x axis so that turning the straight-down forearm (own -z) about it goes toward the hand
    axis = np.cross(-along, fore)
    axis /= np.linalg.norm(axis)
    turn = np.column_stack([axis, np.cross(along, axis), along])
    mujoco.mju_mat2Quat(data.qpos[:4], turn.ravel())
    data.qpos[4] = math.acos(np.clip(fore @ -along, -1, 1))
    mujoco.mj_inverse(model, data)
    fore_id = model.body("fore").id
    reached = data.xpos[fore_id] + data.xmat[fore_id].reshape(3, 3) @ np.array([0.0, 0.0, -arm.fore_m])
    assert reached == pytest.approx(hand, abs=1e-9)
    assert data.xpos[fore_id] == pytest.approx(elbow, abs=1e-9)
    # mj_inverse gives the joint forces that hold the arm's weight; the hand's load comes on top
    half = load * GRAVITY / 2
    held = np.zeros(model.nv)
    force = np.array([-pose.sideways * half, 0.0, -half])
    mujoco.mj_applyFT(model, data, force, np.zeros(3), hand, fore_id, held)
    generalised = held - data.qfrc_inverse  # what load and weight do, against which the muscles hold
    rotation = data.xmat[model.body("upper").id].reshape(3, 3)
    return rotation @ generalised[:3], float(generalised[3])


def mismatch(arm: Arm, load: float, pose: Pose) -> float:
    """Largest difference of the four moments, relative to the largest of them."""
    shoulder, elbow = by_engine(arm, load, pose)
    half = load * GRAVITY / 2
    ours = half * np.array([pose.flexion, pose.adduction, pose.abduction, pose.extension])
    theirs = np.array([-shoulder[0], shoulder[1], shoulder[2], elbow])
    return float(np.max(np.abs(ours - theirs)) / np.max(np.abs(theirs)))


def test_moments_of_random_poses() -> None:
    rng = random.Random(2024)
    worst = max(mismatch(*random_pose(rng)) for _ in range(400))
    assert worst < RELATIVE


def test_each_moment_of_a_known_pose() -> None:
    """Upper arm straight out, forearm upright, 100 kg, 0.2 sideways: 490.33 N x 0.235, 0 and 0.08 m."""
    arm = Arm(0.30, 0.40, 2.0, 1.5, 0.5, 0.6)
    link = Linkage(arm, 100.0)
    pose = pose_at(link, Circle(link, 0.30, 0.0, 0.40), 0.0, 0.2)
    shoulder, elbow = by_engine(arm, 100.0, pose)
    half = 100 * GRAVITY / 2
    assert shoulder == pytest.approx([0.0, 0.235 * half, 0.0], abs=1e-6)
    assert elbow == pytest.approx(0.08 * half, rel=1e-6)
