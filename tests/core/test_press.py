"""One press: where hand and bar are, what can be reached, and that both arms are served."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from shortlever import Body, Gear, InfeasibleError, Tape
from shortlever.lifts.bench.gear import BARS, RULEBOOKS
from shortlever.lifts.bench.limits import COMFORTS
from shortlever.lifts.bench.path import SEGMENTS
from shortlever.lifts.bench.pose import sideways_share
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.rep import top_of

GRIPS = (0.45, 0.60, 0.75, 0.81)


def test_hand_and_bar_by_hand(middle: Body) -> None:
    """Half the grip plus 4 cm (common practice, no source) less the shoulder; chest plus half a 29 mm bar."""
    body = replace(middle, half_shoulder_m=0.20, shoulder_height_m=0.07)
    press = Press(body)
    assert press.side_m(0.80) == pytest.approx(0.40 + 0.04 - 0.20)
    touch = press.chest.top_y_m
    assert press.chest_bar_m(touch) == pytest.approx(press.chest.top_m + 0.0145 - 0.07)


def test_lockout_by_hand(middle: Body) -> None:
    """Arms of 0.64 m, hand 0.384 m outside the shoulder: 0.512 m up (3-4-5), plus what the blades give.

    They let the joints 1 cm forward and 5 mm outward, so the grip is wider by as much.
    """
    arm = replace(middle.right, upper_m=0.30, fore_m=0.34)
    press = Press(replace(middle, right=arm, left=arm, half_shoulder_m=0.10), raise_m=0.01, widen_m=0.005)
    assert press.lockout_bar_m(2 * (0.384 + 0.105 - 0.04)) == pytest.approx(0.512 + 0.01)


def test_wider_is_lower_at_lockout(middle: Body) -> None:
    """B10's sign (common practice)."""
    heights = [Press(middle).lockout_bar_m(g) for g in GRIPS]
    assert heights == sorted(heights, reverse=True)


def test_grip_wider_than_the_arms_reach_is_infeasible(middle: Body) -> None:
    press = Press(middle)
    with pytest.raises(InfeasibleError, match="wider than the arms can reach"):
        press.lockout_bar_m(2 * (middle.reach_m + middle.half_shoulder_m))
    with pytest.raises(InfeasibleError, match="do not reach"):
        press.frame(0.6, 0.49)


@pytest.mark.parametrize("name", ["tall", "small", "arched", "middle"])
@pytest.mark.parametrize("grip", GRIPS)
def test_nearest_touch_is_the_nearest(lifters: dict[str, Body], name: str, grip: float) -> None:
    """Inside the limits that are planned for; not inside 0.1 mm closer; inside further off."""
    planned = replace(COMFORTS["usual"], stack_rad=COMFORTS["usual"].stack_aim_rad)
    press = Press(lifters[name], comfort=planned)
    touch = press.nearest_touch_m(grip)
    assert touch > 0.001
    assert press.chest_pose(grip, touch)[2]
    assert press.chest_pose(grip, touch + 1e-4)[2]
    assert not press.chest_pose(grip, touch - 1e-4)[2]


def test_rows_of_a_press(press: Press) -> None:
    rep = press.rep(0.7, 0.12)
    assert len(rep.heights_m) == len(rep.path_m) == len(rep.poses) == len(rep.inside) == SEGMENTS + 1
    assert rep.heights_m[0] == press.chest_bar_m(0.12)
    assert rep.heights_m[-1] == press.lockout_bar_m(0.7)
    assert rep.path_m[0] == 0.12 and rep.path_m[-1] == 0.0
    steps = [b - a for a, b in zip(rep.heights_m, rep.heights_m[1:], strict=False)]
    assert steps == pytest.approx([rep.range_of_motion_m / SEGMENTS] * SEGMENTS)


def test_every_pose_holds_the_bar_with_both_links(press: Press) -> None:
    rep = press.rep(0.7, 0.12)
    arm = press.body.right
    for i, ((pose, other), y, z) in enumerate(zip(rep.poses, rep.path_m, rep.heights_m, strict=True)):
        assert other is pose
        up = press.raise_m * i / SEGMENTS
        out = press.widen_m * i / SEGMENTS
        assert pose.hand == pytest.approx((press.side_m(0.7) - out, y, z - up), abs=1e-12)
        assert math.hypot(*pose.elbow) == pytest.approx(arm.upper_m, abs=1e-9)
        assert math.dist(pose.elbow, pose.hand) == pytest.approx(arm.fore_m, abs=1e-6)


def test_arms_are_straight_at_lockout(press: Press) -> None:
    pose = press.rep(0.7, 0.12).poses[-1][0]
    assert math.hypot(*pose.hand) == pytest.approx(press.body.reach_m, abs=1e-9)
    assert pose.extension == pytest.approx(0.0, abs=0.03)


def test_every_row_of_a_suggested_place_is_inside(lifters: dict[str, Body]) -> None:
    for body in lifters.values():
        press = Press(body)
        rep = press.rep(0.7, press.nearest_touch_m(0.7))
        assert all(rep.inside)


def test_held_sideways_ratio_is_held(press: Press) -> None:
    for pose, _ in press.rep(0.7, 0.12, sideways=0.25).poses:
        assert pose.sideways == 0.25


def test_both_hands_push_sideways_alike_and_as_measured(press: Press, uneven: Body) -> None:
    """Action and reaction along the bar: different arms, one ratio, the measured one of their mean reach."""
    other = Press(uneven)
    for right, left in other.rep(0.7, 0.13).poses:
        assert right is not left
        assert right.sideways == left.sideways == other.sideways_ratio(0.7)
    reach = (uneven.right.reach_m + uneven.left.reach_m) / 2
    assert other.sideways_ratio(0.7) == sideways_share(other.side_m(0.7) / reach)
    more = replace(press, sideways_more=0.05)
    assert more.rep(0.7, 0.12).poses[0][0].sideways == pytest.approx(press.sideways_ratio(0.7) + 0.05)


def test_swapping_the_arms_swaps_the_poses(uneven: Body) -> None:
    mirrored = replace(uneven, right=uneven.left, left=uneven.right)
    here, there = Press(uneven).rep(0.7, 0.13), Press(mirrored).rep(0.7, 0.13)
    assert here.path_m == pytest.approx(there.path_m, abs=1e-9)
    for (a, b), (c, d) in zip(here.poses, there.poses, strict=True):
        assert (a.effort, b.effort) == pytest.approx((d.effort, c.effort), rel=1e-6)
        assert a.sideways == pytest.approx(c.sideways, abs=1e-6)


def test_hardest_point_is_the_top_of_the_efforts(press: Press) -> None:
    rep = press.rep(0.7, 0.12)
    effort, height = rep.hardest()
    efforts = [pose.effort for pose, _ in rep.poses]
    top = efforts.index(max(efforts))
    step = rep.range_of_motion_m / SEGMENTS
    assert max(efforts) <= effort < 1.01 * max(efforts)
    assert abs(height - step * top) <= 0.5 * step + 1e-12
    assert (height - step * top) * (efforts[top + 1] - efforts[top - 1]) > 0, "nearer to the harder neighbour"


def test_the_top_of_a_hump_of_rows() -> None:
    """A parabola is met exactly, between rows, on a row and at the chest; a fall from the chest has its top
    there; and a hump that moves by a thousandth of a row at a time never makes the top step."""

    def parabola(top: float) -> tuple[float, float]:
        efforts = [2 - 0.01 * (i - top) ** 2 for i in range(SEGMENTS + 1)]
        return top_of(efforts.__getitem__, max(range(SEGMENTS + 1), key=efforts.__getitem__))

    for top in (0.0, 0.3, 4.0, 4.49, 4.51, 9.8):
        assert parabola(top) == pytest.approx((2.0, top), abs=1e-12)
    assert top_of([5 - 0.1 * i for i in range(SEGMENTS + 1)].__getitem__, 0) == (5.0, 0.0)

    def skewed(top: float) -> float:
        efforts = [2 - 0.01 * (i - top) ** 2 - 0.02 * max(i - top, 0) ** 3 for i in range(SEGMENTS + 1)]
        return top_of(efforts.__getitem__, max(range(SEGMENTS + 1), key=efforts.__getitem__))[0]

    tops = [skewed(4 + i / 1000) for i in range(1001)]
    assert max(abs(b - a) for a, b in pairwise(tops)) < 5e-5
    assert tops[0] == pytest.approx(tops[-1])


def test_forearms_lean_no_more_than_the_chest_asks() -> None:
    """As planned where the touch is on the chest; further where it would be past it, until it is not; never
    further than stacked, and then the touch is past the chest."""
    comfort = COMFORTS["careful"]
    for arm, shoulders, tall, touch_is in (
        (0.62, 0.40, 1.75, "on"),
        (0.80, 0.40, 1.95, "at the end"),
        (0.90, 0.28, 1.50, "past"),
    ):
        tape = Tape(
            arm_length=arm, shoulder_breadth=shoulders, stature=tall, chest_flat=0.25, shoulder_height=0.02
        )
        press, grip = Press(Body.from_tape(tape), comfort=comfort), 1.5 * shoulders
        lean, touch, end = press.aim_rad(grip), press.nearest_touch_m(grip), press.chest.end_y_m
        if touch_is == "on":
            assert lean == comfort.stack_aim_rad and touch < end - 0.005
        elif touch_is == "at the end":
            assert comfort.stack_aim_rad < lean < comfort.stack_rad and touch == pytest.approx(end, abs=1e-8)
            assert press.nearest_touch_m(grip, comfort.stack_aim_rad) > end
            assert press.chest_pose(grip, end)[2]
        else:
            assert lean == comfort.stack_rad and touch > end


def test_widest_grip_by_rules_and_bar() -> None:
    """81 cm between forefingers (IPF technical rules, second-hand); without rules what the sleeves leave."""
    assert Gear().max_grip_m == 0.81
    assert Gear(rules=RULEBOOKS["spacing"]).max_grip_m == 0.81
    free = Gear(bar=BARS["training"], rules=RULEBOOKS["none"]).max_grip_m
    assert 0.81 < free < BARS["training"].between_collars_m
