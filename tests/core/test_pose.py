"""One arm at one instant: moments by hand, by virtual work, and least effort against a dense grid."""

from __future__ import annotations

import math
import random
from collections.abc import Callable

import pytest

from shortlever.lifts.bench.pose import (
    STRENGTH,
    WIDEST_MEASURED,
    Circle,
    Effort,
    Linkage,
    Pose,
    Strength,
    pose_at,
    sideways_share,
)
from shortlever.person.body import Arm

Vector = tuple[float, float, float]

ROUNDING = 1e-12
ARM = Arm(upper_m=0.30, fore_m=0.40, upper_mass_kg=2.0, fore_mass_kg=1.5, upper_com=0.5, fore_com=0.6)
WEIGHTLESS = Arm(upper_m=0.30, fore_m=0.40, upper_mass_kg=0.0, fore_mass_kg=0.0, upper_com=0.5, fore_com=0.6)


def random_cases(count: int, seed: int) -> list[tuple[Arm, Linkage, Circle, float, float]]:
    """Random arms, loads, hands within reach, swivels (-1.4 to 2.8 rad) and sideways ratios (-1 to 1)."""
    rng = random.Random(seed)
    found = []
    while len(found) < count:
        arm = Arm(
            upper_m=rng.uniform(0.2, 0.4),
            fore_m=rng.uniform(0.2, 0.45),
            upper_mass_kg=rng.uniform(1, 5),
            fore_mass_kg=rng.uniform(0.8, 4),
            upper_com=rng.uniform(0.4, 0.6),
            fore_com=rng.uniform(0.4, 0.7),
        )
        hand = (rng.uniform(-0.1, 0.4), rng.uniform(-0.1, 0.3), rng.uniform(0.05, 0.7))
        distance = math.hypot(*hand)
        if not abs(arm.upper_m - arm.fore_m) + 0.01 < distance < arm.reach_m - 0.01:
            continue
        link = Linkage(arm, rng.uniform(20, 250))
        found.append((arm, link, Circle(link, *hand), rng.uniform(-1.4, 2.8), rng.uniform(-1, 1)))
    return found


CASES = random_cases(60, seed=20)


def test_upper_arm_out_and_forearm_upright_by_hand() -> None:
    """Upper arm straight out, forearm straight up, bar 100 kg, load 1 per hand, sideways k = 0.2.

    Seen from the head (x to the right, z up), forces on the arm in units of P::

              k=0.2 <-- H |1        H = (0.30, 0, 0.40)
                        | v
                        |           forearm 1.5 kg at 60 %: straight above E
        S ------+------ E           upper arm 2.0 kg at 50 %: 0.15 out
                v 0.04  v 0.03      weights 2 m / 100 kg: 0.04 and 0.03

    Opening the arms about y (adduction +): 1 x 0.30 + 0.04 x 0.15 + 0.03 x 0.30 - 0.2 x 0.40 = 0.235
    Toward the feet about x (flexion +): everything is at y = 0, so 0.
    About z (abduction +): y k = 0.
    Bending the elbow (+): the load pushes H inward with 0.2 over 0.40 m, the rest passes through E: 0.08
    """
    link = Linkage(ARM, 100.0)
    pose = pose_at(link, Circle(link, 0.30, 0.0, 0.40), 0.0, 0.2)
    assert pose.elbow == pytest.approx((0.30, 0.0, 0.0), abs=ROUNDING)
    assert pose.flexion == pytest.approx(0.0, abs=ROUNDING)
    assert pose.adduction == pytest.approx(1 * 0.30 + 0.04 * 0.15 + 0.03 * 0.30 - 0.2 * 0.40, abs=ROUNDING)
    assert pose.abduction == pytest.approx(0.0, abs=ROUNDING)
    assert pose.extension == pytest.approx(0.2 * 0.40, abs=ROUNDING)
    assert pose.flare_rad == pytest.approx(math.pi / 2)
    assert pose.elevation_rad == pytest.approx(0.0, abs=ROUNDING)
    assert pose.tilt_side_rad == pytest.approx(0.0, abs=ROUNDING)
    assert pose.tilt_head_rad == pytest.approx(0.0, abs=ROUNDING)


def test_arm_along_the_trunk_and_forearm_leaning_by_hand() -> None:
    """Upper arm along the trunk to the feet, forearm leaning 3-4-5 back over the shoulder, k = 0.

    Seen from the side (y to the feet, z up), forces on the arm per unit of load::

             1 |  H = (0, 0.06, 0.32)      forearm 0.40 m: 0.24 back, 0.32 up (3-4-5)
               v  \\
        S --------+-- E = (0, 0.30, 0)     forearm weight 0.03 at 60 %: y = 0.30 - 0.144 = 0.156
                  v                        upper arm weight 0.04 at y = 0.15

    Toward the feet (flexion +): 1 x 0.06 + 0.04 x 0.15 + 0.03 x 0.156 = 0.07068
    Bending the elbow (+): 1 x 0.24 + 0.03 x 0.144 = 0.24432
    """
    link = Linkage(ARM, 100.0)
    at = Circle(link, 0.0, 0.06, 0.32)
    pose = pose_at(link, at, math.pi / 2, 0.0)
    assert pose.elbow == pytest.approx((0.0, 0.30, 0.0), abs=1e-9)
    assert pose.flexion == pytest.approx(1 * 0.06 + 0.04 * 0.15 + 0.03 * 0.156, abs=1e-9)
    assert pose.adduction == pytest.approx(0.0, abs=1e-9)
    assert pose.extension == pytest.approx(1 * 0.24 + 0.03 * 0.144, abs=1e-9)
    assert pose.flare_rad == pytest.approx(0.0, abs=1e-9)
    assert pose.tilt_side_rad == pytest.approx(-math.atan2(3, 4))


def test_effort_by_hand() -> None:
    """The first arm with k = 0.2 and strengths 2, 1, 0.5: sqrt((0/2)^2 + 0.235^2 + (0.08/0.5)^2)."""
    link = Linkage(ARM, 100.0, Strength(flexion=2.0, adduction=1.0, extension=0.5))
    pose = pose_at(link, Circle(link, 0.30, 0.0, 0.40), 0.0, 0.2)
    assert pose.effort == pytest.approx(math.sqrt(0.235**2 + 0.16**2), abs=ROUNDING)


def test_strengths_are_the_published_ratios() -> None:
    """91.1, 128.5 and 69.9 N m: Jackson's and Kentel's athletes in the torque-muscle tables of the Rigid Body
    Dynamics Library (Millard, read in its source)."""
    assert STRENGTH.flexion / STRENGTH.adduction == pytest.approx(91.1 / 128.5)
    assert STRENGTH.extension / STRENGTH.adduction == pytest.approx(69.9 / 128.5)


def test_links_keep_their_length_everywhere_on_the_circle() -> None:
    for arm, _, at, swivel, _ in CASES:
        elbow = at.elbow(swivel)
        assert math.dist(elbow, (0, 0, 0)) == pytest.approx(arm.upper_m, abs=1e-12)
        assert math.dist(elbow, (at.x, at.y, at.z)) == pytest.approx(arm.fore_m, abs=1e-12)


def test_hanging_is_the_lowest_elbow() -> None:
    for _, _, at, _, _ in CASES:
        lowest = at.elbow(at.hanging())[2]
        assert all(at.elbow(0.1 * i)[2] >= lowest - ROUNDING for i in range(63))


def cross(a: Vector, b: Vector) -> Vector:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def minus(a: Vector, b: Vector) -> Vector:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def part(a: Vector, b: Vector, share: float) -> Vector:
    """The point ``share`` of the way from a to b."""
    return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]), a[2] + share * (b[2] - a[2]))


def test_moments_are_r_cross_f() -> None:
    """The load on the hand is (-k, 0, -1), weights are 2 m / load downward at the centres of mass."""
    rng = random.Random(4)
    for arm, _, at, swivel, k in CASES:
        load = rng.uniform(20, 250)
        pose = pose_at(Linkage(arm, load), at, swivel, k)
        upper_com = part((0, 0, 0), pose.elbow, arm.upper_com)
        fore_com = part(pose.elbow, pose.hand, arm.fore_com)
        forces = [
            (pose.hand, (-k, 0.0, -1.0)),
            (upper_com, (0.0, 0.0, -2 * arm.upper_mass_kg / load)),
            (fore_com, (0.0, 0.0, -2 * arm.fore_mass_kg / load)),
        ]
        about = [sum(cross(r, f)[axis] for r, f in forces) for axis in range(3)]
        assert pose.flexion == pytest.approx(-about[0], abs=1e-12)
        assert pose.adduction == pytest.approx(about[1], abs=1e-12)
        assert pose.abduction == pytest.approx(about[2], abs=1e-12)
        # elbow: about the normal of the arm's plane, + when the load closes the angle at the elbow
        normal = cross(minus(pose.hand, pose.elbow), minus((0, 0, 0), pose.elbow))
        size = math.hypot(*normal)
        distal = [(minus(r, pose.elbow), f) for r, f in (forces[0], forces[2])]
        bending = sum(sum(n * c for n, c in zip(normal, cross(r, f), strict=True)) for r, f in distal) / size
        assert pose.extension == pytest.approx(bending, abs=1e-12)


def rotated(point: Vector, about: Vector, axis: Vector, angle: float) -> Vector:
    """Rodrigues' rotation of a point about an axis through ``about``."""
    r = minus(point, about)
    size = math.hypot(*axis)
    n = (axis[0] / size, axis[1] / size, axis[2] / size)
    along = sum(a * b for a, b in zip(n, r, strict=True))
    side = cross(n, r)
    c, s = math.cos(angle), math.sin(angle)
    turned = [c * r[i] + s * side[i] + (1 - c) * along * n[i] for i in range(3)]
    return (about[0] + turned[0], about[1] + turned[1], about[2] + turned[2])


def slope(f: Callable[[float], float], step: float = 1e-5) -> float:
    return (f(step) - f(-step)) / (2 * step)


def test_moments_are_virtual_work() -> None:
    """Turn the arm a little about each joint axis: moment = work of the loads / angle."""
    origin = (0.0, 0.0, 0.0)
    for arm, _, at, swivel, k in CASES:
        load = 90.0
        pose = pose_at(Linkage(arm, load), at, swivel, k)

        def work(elbow: Vector, hand: Vector, arm: Arm = arm, load: float = load, k: float = k) -> float:
            upper_z = part((0, 0, 0), elbow, arm.upper_com)[2]
            fore_z = part(elbow, hand, arm.fore_com)[2]
            weights = (2 * arm.upper_mass_kg * upper_z + 2 * arm.fore_mass_kg * fore_z) / load
            return -(k * hand[0] + hand[2] + weights)

        def whole(axis: Vector, pose: Pose = pose, work: Callable[..., float] = work) -> float:
            return slope(
                lambda a: work(rotated(pose.elbow, origin, axis, a), rotated(pose.hand, origin, axis, a))
            )

        def elbow_only(pose: Pose = pose, work: Callable[..., float] = work) -> float:
            closing = cross(minus(pose.hand, pose.elbow), minus(origin, pose.elbow))
            return slope(lambda a: work(pose.elbow, rotated(pose.hand, pose.elbow, closing, a)))

        assert pose.flexion == pytest.approx(-whole((1, 0, 0)), abs=1e-8)
        assert pose.adduction == pytest.approx(whole((0, 1, 0)), abs=1e-8)
        assert pose.abduction == pytest.approx(whole((0, 0, 1)), abs=1e-8)
        assert pose.extension == pytest.approx(elbow_only(), abs=1e-8)


def test_moment_arm_by_dz_by_dangle() -> None:
    """Without arm weight and sideways force the flexion arm is dz/d(angle) of the hand, which is its y."""
    for _, _, at, swivel, _ in CASES:
        link = Linkage(WEIGHTLESS, 100.0)
        if not 0.11 < math.hypot(at.x, at.y, at.z) < 0.69:
            continue
        pose = pose_at(link, Circle(link, at.x, at.y, at.z), swivel, 0.0)
        lift = slope(lambda a, hand=pose.hand: rotated(hand, (0, 0, 0), (1, 0, 0), a)[2])
        assert pose.flexion == pytest.approx(at.y, abs=1e-12)
        assert lift == pytest.approx(at.y, abs=1e-9)


def test_derivatives_of_effort_by_finite_differences() -> None:
    step = 1e-4
    for _, link, at, swivel, k in CASES:
        effort = Effort(link, at, k)
        before, here, after = (effort.at(swivel + d) for d in (-step, 0.0, step))
        scale = 1.0 + abs(here[2])
        assert here[1] == pytest.approx((after[0] - before[0]) / (2 * step), abs=1e-6 * scale)
        assert here[2] == pytest.approx((after[1] - before[1]) / (2 * step), abs=1e-5 * scale)


def test_effort_over_the_swivel_and_of_the_pose_agree() -> None:
    for _, link, at, swivel, k in CASES:
        pose = pose_at(link, at, swivel, k)
        assert Effort(link, at, k).at(swivel)[0] == pytest.approx(pose.effort**2, rel=1e-9)


def test_least_effort_against_a_dense_grid_of_swivels() -> None:
    """No swivel of 2,001 is better, on narrow and on wide arcs: the deeper of two valleys is found."""
    rng = random.Random(8)
    for _, link, at, _, k in CASES:
        low = rng.uniform(-math.pi / 2, 0.5)
        high = rng.uniform(low, math.pi)
        effort = Effort(link, at, k)
        grid = min(effort.at(low + (high - low) * i / 2000)[0] for i in range(2001))
        swivel, square = effort.least(low, high)
        assert low <= swivel <= high
        assert square == pytest.approx(effort.at(swivel)[0])
        assert square <= grid * (1 + 1e-9) + 1e-12


@pytest.mark.parametrize(
    ("outside", "share"),
    [(0.10, -0.10), (0.10, -0.093), (0.225, -0.011), (0.347, 0.144), (0.425, 0.30)],
    ids=["40 cm, 10-RM", "40 cm", "56 cm", "71 cm", "81 cm, 10-RM"],
)
def test_hands_push_as_lifters_were_measured(outside: float, share: float) -> None:
    """Larsen 2021 (1-RM, abstract read) and Sports 2023, 11:154 (10-RM, abstract read); s of the average man.

    The law was fitted to these; that it lies within 0.05 of each says that two numbers are enough.
    """
    assert sideways_share(outside) == pytest.approx(share, abs=0.05)


def test_sideways_share_has_sane_ends() -> None:
    """Level with the hands inside the shoulders, no kink, outward more and more, never past the force that
    points from the shoulder to the hand at lockout."""
    assert sideways_share(-0.3) == sideways_share(0.0) < 0
    shares = [sideways_share(0.01 * i) for i in range(75)]
    assert shares == sorted(shares)
    for s in (0.0, WIDEST_MEASURED):
        left, right = (sideways_share(s + d) - sideways_share(s) for d in (-1e-6, 1e-6))
        assert -left == pytest.approx(right, abs=1e-10)
    assert all(share < 0.01 * i / math.sqrt(1 - (0.01 * i) ** 2) for i, share in enumerate(shares))
