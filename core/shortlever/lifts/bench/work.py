"""The work of one press, shared out to the joint actions that do it."""

from __future__ import annotations

import math

from shortlever.lifts.bench.pose import Pose
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.rep import Rep

ACTIONS = (
    "shoulder_flexion",
    "shoulder_horizontal_adduction",
    "shoulder_abduction",
    "elbow_extension",
    "blades",
)


def work_share(press: Press, rep: Rep, grip_m: float) -> dict[str, float]:
    """Shares of bar weight times range of motion by joint action, by virtual work along the path (sum 1).

    Between two rows the arm moves as a hinge at the elbow on a ball joint at the shoulder; the velocities
    are taken so that both links keep their length exactly, and the power of the hand force is then the sum of
    moment times angular velocity of each action, to rounding. ``blades`` is what moves the shoulder itself.
    """
    totals = dict.fromkeys(ACTIONS, 0.0)
    n = len(rep.heights_m) - 1
    sideways = rep.poses[0][0].sideways
    up, out = press.raise_m / n, press.widen_m / n
    for i in range(n):
        share = (i + 0.5) / n
        dz = rep.heights_m[i + 1] - rep.heights_m[i]
        y = (rep.path_m[i] + rep.path_m[i + 1]) / 2
        z = (rep.heights_m[i] + rep.heights_m[i + 1]) / 2 - press.raise_m * share
        cap = press.comfort.lean_cap_rad(dz * (i + 0.5))
        x = press.side_m(grip_m) - out * (i + 0.5)
        middle = press.pose(x, y, z, cap, sideways)[:2]
        for side in (0, 1):
            before, after = rep.poses[i][side], rep.poses[i + 1][side]
            swing = [b - a for a, b in zip(before.elbow, after.elbow, strict=True)]
            part = _virtual_work(middle[side], (-out, rep.path_m[i + 1] - rep.path_m[i], dz - up), swing)
            for action, value in zip(ACTIONS, part, strict=False):
                totals[action] += value
            totals["blades"] += up + sideways * out
    whole = 2 * rep.range_of_motion_m
    return {action: value / whole for action, value in totals.items()}


def _cross(
    a: tuple[float, ...] | list[float], b: tuple[float, ...] | list[float]
) -> tuple[float, float, float]:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def _dot(a: tuple[float, ...] | list[float], b: tuple[float, ...] | list[float]) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _virtual_work(
    pose: Pose, hand_step: tuple[float, float, float], elbow_step: list[float]
) -> tuple[float, float, float, float]:
    """Work per newton of hand force (m) of flexion, adduction, abduction, extension over one step."""
    e, hand = pose.elbow, pose.hand
    d = [h - v for h, v in zip(hand, e, strict=True)]
    normal = _cross(e, d)
    size = math.sqrt(_dot(normal, normal))
    n = [v / size for v in normal]
    # elbow step in the arm's plane from e.v = 0 and d.(hand step - v) = 0; across the plane as it moved
    across = _dot(elbow_step, n)
    in_plane = _cross(n, e)  # perpendicular to e in the plane
    rate = _dot(d, hand_step) / _dot(d, in_plane)
    v = [rate * p + across * c for p, c in zip(in_plane, n, strict=True)]
    turn = _cross(e, v)
    upper = _dot(e, e)
    omega = [t / upper for t in turn]
    left_over = [h - a - b for h, a, b in zip(hand_step, v, _cross(omega, d), strict=True)]
    unit = [c / math.sqrt(upper) for c in e]
    spin = _dot(left_over, n) / _dot(_cross(unit, d), n)
    omega = [o + spin * u for o, u in zip(omega, unit, strict=True)]
    bend = _dot(left_over, _cross(n, d)) / _dot(d, d)
    force_up = (pose.sideways, 0.0, 1.0)  # of the hand on the bar
    shoulder = _cross(hand, force_up)
    elbow = _dot(n, _cross(d, force_up))
    return shoulder[0] * omega[0], shoulder[1] * omega[1], shoulder[2] * omega[2], elbow * bend
