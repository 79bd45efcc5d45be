"""Comfort and rule limits: caps, the stacked arc, and the nearest place of the bar against brute force."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest

from shortlever import Body, Comfort
from shortlever.lifts.bench.limits import (
    CAUTIOUS_GRIP_OF_BIACROMIAL,
    COMFORTS,
    elbow_rule_margin_m,
    flare_edge,
    flare_room,
    limited_swivel,
    nearest_y,
    stacked_arc,
)
from shortlever.lifts.bench.pose import Circle, Effort, Linkage, pose_at
from shortlever.person.body import Arm

USUAL = Comfort()
PLANNED = replace(USUAL, stack_rad=USUAL.stack_aim_rad)  # what touch points and paths are planned for
HAIR = 1e-6
STEPS = 720


def cases(count: int, seed: int) -> list[tuple[Linkage, Circle, float]]:
    """Random arms with the hand where a bench press has it, and a lean limit of 20 to 80 degrees."""
    rng = random.Random(seed)
    found = []
    while len(found) < count:
        upper, fore = rng.uniform(0.22, 0.36), rng.uniform(0.25, 0.42)
        hand = rng.uniform(0.0, 0.32), rng.uniform(0.0, 0.25), rng.uniform(0.05, 0.62)
        if abs(upper - fore) + 0.005 < math.hypot(*hand) < upper + fore - 0.005:
            link = Linkage(Arm(upper, fore, 2.4, 1.9, 0.577, 0.58), 90.0)
            found.append((link, Circle(link, *hand), math.radians(rng.uniform(20, 80))))
    return found


CASES = cases(60, seed=6)


@pytest.mark.parametrize(
    ("depth", "degrees"), [(-0.3, 90), (-0.10, 90), (0.0, 75), (0.10, 60), (0.20, 45), (0.30, 30), (0.9, 30)]
)
def test_usual_flare_cap(depth: float, degrees: float) -> None:
    """75 degrees level, 45 at 0.20 m, 90 above (common practice, no source): 150 a metre, least 30."""
    assert math.degrees(USUAL.flare_cap_rad(depth)) == pytest.approx(degrees)


def test_settings_of_comfort_are_5_degrees_apart() -> None:
    for depth in (0.02, 0.05, 0.10, 0.15):
        caps = [math.degrees(COMFORTS[n].flare_cap_rad(depth)) for n in ("careful", "usual", "loose")]
        assert caps[1] - caps[0] == pytest.approx(5)
        assert caps[2] - caps[1] == pytest.approx(5)
    assert COMFORTS["careful"].max_grip_of_biacromial == CAUTIOUS_GRIP_OF_BIACROMIAL
    assert CAUTIOUS_GRIP_OF_BIACROMIAL == 1.5  # Green and Comfort 2007, Strength Cond J 29:10 (abstract read)
    assert COMFORTS["usual"].max_grip_of_biacromial is None


def test_stack_is_10_degrees_and_lean_opens_with_height() -> None:
    assert 0 < USUAL.stack_aim_rad <= USUAL.stack_rad
    assert math.degrees(USUAL.stack_rad) == pytest.approx(10)  # common practice, no source
    leans = [USUAL.lean_cap_rad(0.05 * i) for i in range(-2, 13)]
    assert leans == sorted(leans)
    assert math.degrees(leans[0]) == pytest.approx(20)
    assert math.degrees(leans[-1]) == pytest.approx(80)


def stacked(at: Circle, swivel: float, lean: float, slack: float) -> bool:
    """Whether the forearm is stacked, written from the words: seen from the side the hand is within
    tan(10 degrees) of being above the elbow, and seen from the head not further inside than ``lean``."""
    x, y, z = at.elbow(swivel)
    rise = at.z - z
    to_side = abs(at.y - y) <= math.tan(USUAL.stack_rad) * rise + slack
    return to_side and x - at.x <= math.tan(lean) * rise + slack


def toward_feet(at: Circle, swivel: float) -> float:
    """How far the elbow is toward the feet, measured along the forearm's limit, m."""
    _, y, z = at.elbow(swivel)
    return y + math.tan(USUAL.stack_rad) * z


def test_stacked_arc_is_what_a_dense_scan_finds() -> None:
    """From the elbow straight out (-90 degrees) inward, in 1/4 degree steps: the first run of stacked places.

    It ends at the latest where the elbow is furthest toward the feet; beyond, it comes back inside.
    """
    found = 0
    swivels = [math.radians(i / 4) for i in range(-360, 721)]
    for _, at, lean in CASES:
        arc = stacked_arc(at, USUAL, lean)
        peak = max(swivels, key=lambda s, at=at: toward_feet(at, s))
        flags = [stacked(at, s, lean, 0.0) and s <= peak for s in swivels]
        if True not in flags[: 2 * 360 + 1]:  # none up to 90 degrees: the elbow is nowhere outside
            assert arc is None or arc[0] > math.pi / 2
            continue
        begin = flags.index(True)
        end = flags.index(False, begin) if False in flags[begin:] else len(flags)
        assert arc is not None
        found += 1
        low, high = arc
        step = math.radians(1 / 4)
        assert swivels[begin] - step - HAIR <= low <= swivels[begin] + HAIR
        assert swivels[end - 1] - step - HAIR <= high <= swivels[end - 1] + step + HAIR
    assert found > 20


def test_edges_of_the_stacked_arc_satisfy_their_equations() -> None:
    """Hand 10 degrees before or behind the elbow, hand at the lean, or elbow furthest toward the feet."""
    tan = math.tan(USUAL.stack_rad)
    kinds = set()
    for _, at, lean in CASES:
        arc = stacked_arc(at, USUAL, lean)
        for edge in arc or ():
            x, y, z = at.elbow(edge)
            rise = at.z - z
            equations = {
                "behind": (at.y - y) - tan * rise,
                "before": (at.y - y) + tan * rise,
                "lean": (x - at.x) - math.tan(lean) * rise,
                "furthest": (toward_feet(at, edge + 1e-4) - toward_feet(at, edge - 1e-4)) / 2e-4,
            }
            name, miss = min(equations.items(), key=lambda item: abs(item[1]))
            assert abs(miss) < 1e-9
            kinds.add(name)
    assert {"behind", "before", "lean"} <= kinds


def test_flare_room_by_hand() -> None:
    """Upper arm straight out and level: 90 degrees of flare where 75 are allowed: 15 too many."""
    link = Linkage(Arm(0.30, 0.40, 0, 0, 0.5, 0.5), 100.0)
    assert math.degrees(flare_room(Circle(link, 0.30, 0.0, 0.40), 0.0, USUAL)) == pytest.approx(-15)


def test_flare_edge_is_the_first_swivel_inside() -> None:
    used = 0
    for _, at, lean in CASES:
        arc = stacked_arc(at, USUAL, lean)
        if arc is None:
            continue
        low, high = arc
        edge = flare_edge(at, low, high, USUAL, (low + high) / 2)
        rooms = [
            (s, flare_room(at, s, USUAL)) for s in (low + (high - low) * i / STEPS for i in range(STEPS + 1))
        ]
        if edge is None:
            assert rooms[-1][1] < 0
            continue
        used += 1
        assert flare_room(at, edge, USUAL) >= -HAIR
        assert all(room < HAIR for s, room in rooms if s < edge - 1e-7) or edge == low
    assert used > 15


@pytest.mark.sweep
@pytest.mark.parametrize("held", [-0.1, 0.15])
def test_limited_swivel_is_the_least_effort_inside_the_limits(held: float) -> None:
    """Against 720 swivels of the stacked arc; those outside the flare cap do not count."""
    inside = 0
    for link, at, lean in CASES:
        swivel, square, ok = limited_swivel(link, at, USUAL, lean, held)
        arc = stacked_arc(at, USUAL, lean)
        if arc is None:
            assert not ok
            continue
        low, high = arc
        grid = [low + (high - low) * i / STEPS for i in range(STEPS + 1)]
        allowed = [Effort(link, at, held).at(s)[0] for s in grid if flare_room(at, s, USUAL) >= 0]
        if ok:
            inside += 1
            assert low - HAIR <= swivel <= high + HAIR
            assert flare_room(at, swivel, USUAL) >= -HAIR
            effort = Effort(link, at, held).at(swivel)[0]
            assert square == pytest.approx(effort)
            assert all(effort <= other * (1 + 1e-6) + 1e-9 for other in allowed)
        else:
            assert not allowed
            assert swivel == high  # stacked still, and as little flare as can be had
    assert inside > 15


def reachable(upper: float, fore: float, x: float, y: float, z: float, lean: float) -> bool:
    """Whether some elbow holds the hand there inside every limit: scan of the arc, its ends included."""
    if not abs(upper - fore) < math.sqrt(x * x + y * y + z * z) < upper + fore:
        return False
    at = Circle(Linkage(Arm(upper, fore, 0, 0, 0.5, 0.5), 100.0), x, y, z)
    arc = stacked_arc(at, PLANNED, lean)
    if arc is None:
        return False
    low, high = arc
    return any(flare_room(at, low + (high - low) * i / 60, USUAL) >= 0 for i in range(60, -1, -1))


def test_nearest_y_against_brute_force() -> None:
    """The first y from 0 upward, in 2 mm steps and then halved, at which some elbow is inside the limits."""
    rng = random.Random(9)
    compared = free = 0
    while compared < 30:
        upper, fore = rng.uniform(0.24, 0.34), rng.uniform(0.28, 0.40)
        x, z = rng.uniform(0.05, 0.26), rng.uniform(0.08, 0.45)
        lean = math.radians(rng.uniform(20, 60))
        ys = [0.002 * i for i in range(150)]
        first = next((i for i, y in enumerate(ys) if reachable(upper, fore, x, y, z, lean)), None)
        if first is None:
            continue
        y, _ = nearest_y(upper, fore, x, z, USUAL, lean)
        if first == 0:
            free += 1
            assert y <= HAIR
            continue
        outside, inside = ys[first - 1], ys[first]
        while inside - outside > 1e-7:
            middle = (outside + inside) / 2
            if reachable(upper, fore, x, middle, z, lean):
                inside = middle
            else:
                outside = middle
        assert y == pytest.approx(inside, abs=1e-5), (upper, fore, x, z, lean)
        compared += 1
    assert free > 0


def test_nearest_y_does_not_depend_on_where_it_starts() -> None:
    rng = random.Random(10)
    for _ in range(40):
        arm = rng.uniform(0.24, 0.34), rng.uniform(0.28, 0.40)
        x, z, lean = rng.uniform(0.05, 0.26), rng.uniform(0.08, 0.40), math.radians(rng.uniform(20, 60))
        found = [max(nearest_y(*arm, x, z, USUAL, lean, start)[0], 0.0) for start in (-0.3, 0.0, 0.2, 0.6)]
        assert found == pytest.approx([found[0]] * 4, abs=1e-6), (arm, x, z, lean)


@pytest.mark.parametrize("degrees", [90.0, 89.0, 75.0, 60.0, 45.0])
def test_a_vertical_path_over_the_shoulder_needs_90_degrees_of_flare(degrees: float) -> None:
    """B13, exact: with the forearm upright seen from the side, the bar is above the elbow, so

    y = (horizontal length of the upper arm) x cos(flare), which is 0 only at 90 degrees (common practice).
    """
    flat = replace(
        USUAL,
        flare_level_rad=math.radians(degrees),
        flare_per_depth=0.0,
        flare_least_rad=math.radians(degrees),
        flare_most_rad=math.radians(degrees),
        stack_rad=0.0,
        stack_aim_rad=0.0,
    )
    for z in (0.10, 0.20, 0.30, 0.40):
        y, lean = nearest_y(0.29, 0.35, 0.20, z, flat, math.radians(60))
        depth = z - 0.35 * math.cos(lean)
        level = math.sqrt(0.29**2 - depth**2)
        assert y == pytest.approx(level * math.cos(math.radians(degrees)), abs=1e-9)
        assert (y < 1e-9) == (degrees == 90.0)


def test_tighter_limits_never_let_the_bar_closer() -> None:
    for x, z in ((0.12, 0.15), (0.18, 0.20), (0.24, 0.25)):
        near = {n: nearest_y(0.29, 0.34, x, z, COMFORTS[n], math.radians(20))[0] for n in COMFORTS}
        assert near["loose"] < near["usual"] < near["careful"]


def test_a_constant_cap_would_let_the_bar_touch_too_close(middle: Body) -> None:
    """Why the cap falls with depth: with 75 degrees at any depth the bar would come several cm closer."""
    constant = replace(USUAL, flare_per_depth=0.0)
    arm = middle.right
    falling, fixed = (
        nearest_y(arm.upper_m, arm.fore_m, 0.20, 0.17, c, math.radians(20))[0] for c in (USUAL, constant)
    )
    assert falling - fixed > 0.03


def test_elbow_rule_by_hand() -> None:
    """Level elbow: shoulder top 5 cm above its joint, underside of the elbow 4 cm below its axis: 9 cm."""
    link = Linkage(Arm(0.30, 0.40, 0, 0, 0.5, 0.5), 100.0)
    pose = pose_at(link, Circle(link, 0.30, 0.0, 0.40), 0.0, 0.0)
    assert elbow_rule_margin_m(pose) == pytest.approx(0.09)
