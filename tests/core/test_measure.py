"""What is measured of a setup: arms, work and its split, moments, limits and their margins."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest

from shortlever import Body, InfeasibleError, InputError, Setup, Tape, assess
from shortlever.lifts.bench.gear import BARS, RULEBOOKS, Gear
from shortlever.lifts.bench.limits import COMFORTS
from shortlever.lifts.bench.measure import assess_press, resultant_arms_m, same_shoulder_load_kg
from shortlever.lifts.bench.pose import Circle, Linkage, pose_at
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.work import ACTIONS
from shortlever.person.body import Arm
from shortlever.units import GRAVITY_M_S2

SETUPS = [Setup(0.5, 0.16), Setup(0.65, 0.12), Setup(0.81, 0.10), Setup(0.7, 0.12, 40.0, 0.3)]


def test_resultant_arms_by_hand() -> None:
    """Upper arm 0.30 out and level, forearm 0.40 upright, the hand pushes with (0.75, 0, 1): 5/4 in all.

    Shoulder to hand (0.30, 0, 0.40): r x F = 0.40 x 0.75 - 0.30 x 1 = 0: the force passes the shoulder.
    Elbow to hand (0, 0, 0.40): 0.40 x 0.75 = 0.30, over 1.25: 0.24 m.
    """
    link = Linkage(Arm(0.30, 0.40, 2.0, 1.5, 0.5, 0.6), 100.0)
    pose = pose_at(link, Circle(link, 0.30, 0.0, 0.40), 0.0, 0.75)
    assert resultant_arms_m(pose) == pytest.approx((0.0, 0.24), abs=1e-12)
    upright = pose_at(link, Circle(link, 0.30, 0.0, 0.40), 0.0, 0.0)
    assert resultant_arms_m(upright) == pytest.approx((0.30, 0.0), abs=1e-12)


def test_resultant_arms_are_distances_from_the_line_of_force(press: Press) -> None:
    """Against the least distance of the joint from points along the line, found by stepping along it."""
    for pose, _ in press.rep(0.7, 0.12).poses[:-1]:
        size = math.hypot(pose.sideways, 1.0)
        direction = (pose.sideways / size, 0.0, 1.0 / size)
        for joint, arm in zip(((0.0, 0.0, 0.0), pose.elbow), resultant_arms_m(pose), strict=True):
            along = sum((j - h) * d for j, h, d in zip(joint, pose.hand, direction, strict=True))
            least = min(
                math.dist(joint, [h + (along + t) * d for h, d in zip(pose.hand, direction, strict=True)])
                for t in (-0.01, -0.001, 0.0, 0.001, 0.01)
            )
            assert arm == pytest.approx(least, abs=1e-12)


@pytest.mark.parametrize("setup", SETUPS, ids=str)
@pytest.mark.parametrize("name", ["tall", "small", "arched", "middle"])
def test_work_is_weight_times_range_and_its_split_sums_to_it(
    lifters: dict[str, Body], name: str, setup: Setup
) -> None:
    got = assess(lifters[name], setup)
    weight = setup.load_kg * 9.80665  # standard gravity, 3rd CGPM 1901
    assert got.work_j == pytest.approx(weight * got.range_of_motion_m)
    assert tuple(got.work_share) == ACTIONS
    assert sum(got.work_share.values()) == pytest.approx(1.0, abs=1e-9)
    assert sum(s * got.work_j for s in got.work_share.values()) == pytest.approx(
        weight * got.range_of_motion_m
    )


def test_work_split_of_uneven_arms_sums_too(uneven: Body) -> None:
    assert sum(assess(uneven, Setup(0.7, 0.13)).work_share.values()) == pytest.approx(1.0, abs=1e-9)


def test_share_of_the_blades_by_hand(press: Press) -> None:
    """They lift the shoulder, and with it the bar, by raise_m of the stroke, and move it outward."""
    got = assess_press(press, Setup(0.7, 0.12, press.load_kg))
    work = press.raise_m + press.widen_m * got.sideways_ratio
    assert got.work_share["blades"] == pytest.approx(work / got.range_of_motion_m)


def test_share_of_the_elbow_by_its_angle(middle: Body) -> None:
    """Independent of how the arm swings: the elbow's angle follows from the distance of hand and shoulder, so

    work = sum of elbow arm x change of angle, row by row, the arm taken as the mean of both ends.
    """
    press = Press(middle, load_kg=1e9)  # so heavy that the arm's own weight does not count
    got = assess_press(press, Setup(0.7, 0.12, 600.0))
    poses = [pose for pose, _ in press.rep(0.7, 0.12).poses]
    u, f = middle.right.upper_m, middle.right.fore_m

    def angle(hand: tuple[float, float, float]) -> float:
        r = math.hypot(*hand)
        return math.acos(max(-1.0, (u * u + f * f - r * r) / (2 * u * f)))

    total = 0.0
    for a, b in pairwise(poses[:-1]):  # the last step is done by a square root: below
        total += (a.extension + b.extension) / 2 * (angle(b.hand) - angle(a.hand))
    last = poses[-2].extension / 2 * (math.pi - angle(poses[-2].hand))  # the arm falls to 0 at lockout
    assert got.work_share["elbow_extension"] * got.range_of_motion_m == pytest.approx(total + last, abs=0.004)


@pytest.mark.parametrize("setup", SETUPS, ids=str)
def test_measures_agree_with_the_pose_at_the_chest(middle: Body, setup: Setup) -> None:
    press = Press(middle, load_kg=setup.load_kg)
    got = assess(middle, setup)
    pose = press.rep(setup.grip_m, setup.touch_m, setup.sideways_ratio).poses[0][0]
    half = setup.load_kg * GRAVITY_M_S2 / 2
    assert got.moment_arm_m == setup.touch_m == pose.hand[1]
    assert got.tuck_deg == pytest.approx(math.degrees(math.atan2(pose.elbow[0], pose.elbow[1])))
    assert got.shoulder_moment_n_m == pytest.approx(pose.flexion * half)
    assert got.adduction_moment_n_m == pytest.approx(pose.adduction * half)
    assert got.elbow_moment_n_m == pytest.approx(pose.extension * half)
    assert got.elbow_height_above_pad_m == pytest.approx(pose.elbow[2] + middle.shoulder_height_m)
    assert got.sideways_ratio == pose.sideways
    assert got.sideways_arm_m == pytest.approx(abs(pose.hand[0] - pose.hand[2] * pose.sideways))
    rise = pose.hand[2] - pose.elbow[2]
    assert math.tan(math.radians(got.forearm_tilt_side_deg)) == pytest.approx(
        (pose.hand[1] - pose.elbow[1]) / rise
    )
    assert math.tan(math.radians(got.forearm_tilt_head_deg)) == pytest.approx(
        (pose.hand[0] - pose.elbow[0]) / rise
    )


def test_rows_of_the_path(middle: Body) -> None:
    got = assess(middle, Setup(0.7, 0.12))
    assert got.path[0].height_m == 0.0
    assert got.path[0].y_m == 0.12
    assert got.path[-1].height_m == pytest.approx(got.range_of_motion_m)
    assert got.path[-1].y_m == 0.0
    assert got.path[0].shoulder_arm_m == pytest.approx(got.resultant_shoulder_arm_m)
    assert got.path[0].elbow_arm_m == pytest.approx(got.resultant_elbow_arm_m)
    area = sum((a.y_m + b.y_m) / 2 * (b.height_m - a.height_m) for a, b in pairwise(got.path))
    assert got.mean_moment_arm_m == pytest.approx(area / got.range_of_motion_m)
    assert 0 <= got.sticking_height_m <= got.range_of_motion_m
    assert 0 < got.mean_moment_arm_m < got.moment_arm_m


def test_heights_at_lockout(middle: Body) -> None:
    press = Press(middle)
    got = assess(middle, Setup(0.7, 0.12))
    assert got.lockout_height_m == pytest.approx(press.lockout_bar_m(0.7) + middle.shoulder_height_m)
    assert got.rack_height_above_floor_m == pytest.approx(got.lockout_height_m + press.gear.bench.height_m)
    assert got.touch_tape_m == pytest.approx(press.chest.tape_m(0.12))


def test_index_is_reach_over_the_hardest_effort(press: Press) -> None:
    got = assess_press(press, Setup(0.7, 0.12, press.load_kg))
    assert got.limit_load_index == pytest.approx(press.body.reach_m / press.rep(0.7, 0.12).hardest()[0])


def limits(body: Body, setup: Setup, **gear: Any) -> dict[str, Any]:
    return {limit.name: limit for limit in assess(body, setup, **gear).limits}


def test_each_limit_is_named_once_with_a_reason(middle: Body) -> None:
    got = assess(middle, Setup(0.7, 0.12), comfort=COMFORTS["careful"])
    names = [limit.name for limit in got.limits]
    assert names == [
        *("ring", "cautious_grip", "flare", "stacked", "lean", "path", "elbow_depth", "chest", "reach")
    ]
    assert all(str(limit.reason).endswith(".") and len(str(limit.reason)) < 160 for limit in got.limits)
    assert all(limit.unit in ("m", "deg") for limit in got.limits)
    assert got.ok == all(limit.ok for limit in got.limits)


def test_ring_margin(middle: Body) -> None:
    assert limits(middle, Setup(0.70, 0.12))["ring"].margin == pytest.approx(0.11)
    assert limits(middle, Setup(0.81, 0.12))["ring"].ok
    broken = limits(middle, Setup(0.82, 0.12))["ring"]
    assert (broken.ok, broken.margin) == (False, pytest.approx(-0.01))
    free = Gear(bar=BARS["training"], rules=RULEBOOKS["none"])
    assert limits(middle, Setup(0.90, 0.12), gear=free)["ring"].ok


def test_cautious_grip_is_one_and_a_half_biacromial(middle: Body) -> None:
    """Green and Comfort 2007, Strength Cond J 29:10 (abstract read): a caution."""
    cap = 1.5 * middle.biacromial_m
    careful = {"comfort": COMFORTS["careful"]}
    assert limits(middle, Setup(cap, 0.15), **careful)["cautious_grip"].ok
    assert not limits(middle, Setup(cap + 0.001, 0.15), **careful)["cautious_grip"].ok
    assert "cautious_grip" not in limits(middle, Setup(cap, 0.15))


def test_elbow_depth_is_asked_only_where_the_rulebook_asks(middle: Body) -> None:
    assert "elbow_depth" in limits(middle, Setup(0.7, 0.12))
    assert "elbow_depth" not in limits(middle, Setup(0.7, 0.12), gear=Gear(rules=RULEBOOKS["spacing"]))


def test_flare_margin_is_cap_minus_tuck(middle: Body) -> None:
    for setup in SETUPS:
        got = assess(middle, setup)
        depth = -(got.elbow_height_above_pad_m - middle.shoulder_height_m)
        cap = math.degrees(COMFORTS["usual"].flare_cap_rad(depth))
        margin = next(limit.margin for limit in got.limits if limit.name == "flare")
        assert margin == pytest.approx(cap - got.tuck_deg, abs=1e-9)


def test_too_close_a_touch_breaks_a_limit_and_is_measured_all_the_same(middle: Body) -> None:
    near = Press(middle).nearest_touch_m(0.7)
    assert assess(middle, Setup(0.7, near + 0.001)).ok
    broken = assess(middle, Setup(0.7, near / 2))
    assert not broken.ok
    assert broken.moment_arm_m == near / 2
    assert {limit.name for limit in broken.limits if not limit.ok} & {"flare", "stacked", "lean", "path"}


def test_out_of_reach_is_a_named_reason(middle: Body) -> None:
    with pytest.raises(InfeasibleError) as caught:
        assess(middle, Setup(1.3, 0.5))
    assert "cm" in caught.value.reason


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("grip_m", 0.19),
        ("grip_m", 1.31),
        ("grip_m", 70),
        ("grip_m", "0.7"),
        ("grip_m", math.nan),
        ("grip_m", None),
        ("grip_m", 10**400),
        ("touch_m", -0.01),
        ("touch_m", 0.51),
        ("touch_m", math.inf),
        ("load_kg", 0.0),
        ("load_kg", -20.0),
        ("load_kg", 601.0),
        ("sideways_ratio", 2.5),
        ("sideways_ratio", math.nan),
        ("sideways_ratio", "wide"),
    ],
    ids=lambda v: str(v)[:12],
)
def test_a_setup_out_of_range_names_field_and_range(field: str, value: Any) -> None:
    with pytest.raises(InputError) as caught:
        Setup(**{"grip_m": 0.7, "touch_m": 0.12, field: value})
    assert caught.value.field == field
    assert caught.value.code == "out_of_range"
    assert caught.value.remedy and field in caught.value.message


@pytest.mark.parametrize(
    ("numbers", "grip", "touch", "comfort"),
    [
        (
            {
                "arm_length": 0.45325924289973457,
                "chest_flat": 0.20856999874369264,
                "right": {"arm_length": 0.8605019137276759, "forearm_to_grip": 0.36203553085894735},
            },
            0.7246424743078013,
            0.12404926845657571,
            "careful",
        ),
        ({"upper_arm": 0.2468, "stature": 2.1784, "span": 2.5, "sex": "male"}, 0.34229, 0.17391, "loose"),
    ],
    ids=["one arm half the other", "folded forearm"],
)
def test_very_different_arms_are_a_result_or_a_named_reason(
    numbers: dict[str, Any], grip: float, touch: float, comfort: str
) -> None:
    """The bar comes closer than two unlike links fold, or further than the shorter arm reaches midway."""
    try:
        got = assess(Tape(**numbers), Setup(grip, touch), comfort=COMFORTS[comfort])
    except InfeasibleError as none:
        assert none.reason
    else:
        assert sum(got.work_share.values()) == pytest.approx(1.0, abs=1e-6)


def test_same_shoulder_load_by_hand(middle: Body) -> None:
    """The bar's share of the peak flexion moment is load x arm: 100 kg at 0.18 m is 150 kg at 0.12 m."""
    far, near = assess(middle, Setup(0.7, 0.18)), assess(middle, Setup(0.7, 0.12))
    assert same_shoulder_load_kg(far, near) == pytest.approx(150.0)
    assert same_shoulder_load_kg(far, far) == pytest.approx(100.0)


def test_heavier_bars_scale_work_and_leave_geometry(middle: Body) -> None:
    light, heavy = (assess(middle, Setup(0.7, 0.12, kg)) for kg in (50.0, 200.0))
    assert heavy.work_j == pytest.approx(4 * light.work_j)
    assert heavy.range_of_motion_m == light.range_of_motion_m
    assert heavy.shoulder_moment_n_m < 4 * light.shoulder_moment_n_m  # the arm weighs the same


def test_assess_takes_a_tape_or_its_body() -> None:
    tape = Tape(arm_length=0.62, shoulder_breadth=0.39)
    assert assess(tape, Setup(0.7, 0.12)) == assess(Body.from_tape(tape), Setup(0.7, 0.12))


def test_plain_is_json_with_everything_in_it(middle: Body) -> None:
    got = assess(middle, Setup(0.7, 0.12))
    plain = json.loads(json.dumps(got.plain(), allow_nan=False))
    assert set(plain) == set(got.__dataclass_fields__)
    assert len(plain["path"]) == len(got.path)
    assert plain["limits"][0]["name"] == got.limits[0].name


def test_more_arch_raises_the_bar_and_shortens_the_stroke_by_as_much(middle: Body) -> None:
    """At the same touch and grip lockout stays: what the chest rises, the stroke loses."""
    flat = assess(middle, Setup(0.7, 0.12))
    body = replace(middle, chest_arched_m=middle.chest_flat_m + 0.05)
    rise = Press(body).chest.height_m(0.12) - Press(middle).chest.height_m(0.12)
    assert rise > 0.02
    assert flat.range_of_motion_m - assess(body, Setup(0.7, 0.12)).range_of_motion_m == pytest.approx(rise)
