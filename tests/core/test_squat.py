"""The squat: balance, depth, work, the search and what is told of it. Invented lifters."""

from __future__ import annotations

import itertools
import math
import random
from dataclasses import replace
from typing import Any

import pytest

from shortlever import InfeasibleError, InputError, Tape
from shortlever.lifts.legs.body import MIDDLE_OF_FOOT, MIDDLE_OF_FOOT_SD, Standing
from shortlever.lifts.legs.marks import heels_m, stance_of_heels_m
from shortlever.lifts.legs.strength import FLOOR, FLOOR_SD
from shortlever.lifts.legs.words import clock
from shortlever.lifts.legs.work import JOINTS, work_j
from shortlever.lifts.squat.advice import Suggestion, suggest_squat
from shortlever.lifts.squat.doubt import OUTPUTS, doubt_of, outcome
from shortlever.lifts.squat.gear import DEEPER_THAN_RULE_M
from shortlever.lifts.squat.library import assess, squat_of, suggest
from shortlever.lifts.squat.limits import COMFORTS
from shortlever.lifts.squat.measure import Assessment, Setup, bottom_of
from shortlever.lifts.squat.search import MOST_HEEL_M, SLACK, Search
from shortlever.lifts.squat.setting import kept, pulled, that_can_be_set
from shortlever.lifts.squat.squat import Pose, Squat, Stance
from shortlever.lifts.squat.valley import FLAT
from shortlever.numerics import Z90
from shortlever.units import GRAVITY_M_S2

TAPES: dict[str, dict[str, Any]] = {
    "average": {"stature": 1.756, "body_mass": 83.0, "sex": "male"},
    "tall": {"stature": 1.95, "body_mass": 105.0, "sex": "male"},
    "small": {"stature": 1.52, "body_mass": 52.0, "sex": "female"},
    "long_legs": {"stature": 1.78, "body_mass": 83.0, "sex": "male", "sitting_height": 0.88},
    "stiff": {"stature": 1.85, "body_mass": 90.0, "sex": "male", "knee_to_wall": 0.01},
}
NAMES = list(TAPES)


def squat(name: str, **more: Any) -> Squat:
    return squat_of(Tape(**TAPES[name]), **more)


@pytest.fixture(scope="module")
def advice() -> dict[str, Suggestion]:
    return {name: suggest_squat(squat(name)) for name in NAMES}


def bottom(name: str, **more: Any) -> tuple[Squat, Stance, Pose]:
    one = squat(name, **more)
    stance, _, pose = bottom_of(one, Setup(0.5, 30.0))
    return one, stance, pose


# ---- poses


def whole_centre(one: Squat, stance: Stance, pose: Pose) -> tuple[float, float]:
    """Centre of mass of body and bar (y, z), m, from the segments one by one."""
    body, upper, parts, leg = one.body, one.upper, one.body.segments, stance.leg
    sine, cosine = math.sin(pose.lean_rad), math.cos(pose.lean_rad)
    trunk = pose.hip[1] + upper.com_m * sine, pose.hip[2] + upper.com_m * cosine
    points = [(one.load_kg, pose.bar), (upper.mass_kg, trunk)]
    for share, low, high, at in (
        (parts.thigh, pose.knee.at, pose.hip, parts.thigh_com),
        (parts.shank, leg.ankle, pose.knee.at, parts.shank_com),
    ):
        y, z = (high[i] + at * (low[i] - high[i]) for i in (1, 2))
        points.append((2 * share * body.body_mass_kg, (y, z)))
    foot = (parts.foot_com - 0.25) * body.foot_m * leg.cos, 0.0
    points.append((2 * parts.foot * body.body_mass_kg, foot))
    whole = sum(mass for mass, _ in points)
    y, z = (sum(mass * at[i] for mass, at in points) / whole for i in (0, 1))
    return y, z


@pytest.mark.parametrize("position", ["low", "high"])
@pytest.mark.parametrize("name", NAMES)
def test_every_pose_of_a_rep_balances_over_the_middle_of_the_feet(name: str, position: str) -> None:
    one, stance, pose = bottom(name, bar_position=position)
    masses = one.body.segments
    assert 2 * (masses.thigh + masses.shank + masses.foot) + one.upper.mass_kg / one.body.body_mass_kg == (
        pytest.approx(1.0, abs=0.002)
    )
    rep = stance.rep(pose)
    assert len(rep) == 16
    for at in rep:
        y, _ = whole_centre(one, stance, at)
        slack = 0.002 * 0.3  # the table's shares add up to 1 but for a thousandth
        assert y == pytest.approx(stance.middle_y, abs=slack)


@pytest.mark.parametrize("name", NAMES)
def test_a_legal_depth_has_the_crease_below_the_top_of_the_knee(name: str) -> None:
    one, _, pose = bottom(name)
    crease = pose.hip[2] + one.body.crease_m
    assert crease == pytest.approx(pose.knee.at[2] + one.body.knee_top_m - DEEPER_THAN_RULE_M)
    level = bottom(name, depth="level")[2]
    assert level.thigh_rad == pytest.approx(0.0, abs=1e-9)
    assert level.hip[2] > pose.hip[2]


@pytest.mark.parametrize("name", NAMES)
def test_a_rep_goes_up_without_turning_back_and_ends_standing(name: str) -> None:
    _, stance, pose = bottom(name)
    rep = stance.rep(pose)
    assert all(b.bar[1] > a.bar[1] for a, b in itertools.pairwise(rep))
    assert rep[-1].bears.knee_bend_rad == pytest.approx(0.02, abs=1e-6)
    assert rep[-1].hip[2] == pytest.approx(stance.standing_hip_m, abs=3e-4)
    assert stance.top_m == pytest.approx(rep[-1].bar[1], abs=0.02)
    tall = one_body("tall")
    assert stance.squat.body.trunk_m <= tall.trunk_m + 1e-9


def one_body(name: str) -> Standing:
    return squat(name).body


@pytest.mark.parametrize("name", NAMES)
def test_work_of_the_joints_raises_every_weight(name: str) -> None:
    """Virtual work against potential energy: the joints' work is what bar and body are raised by."""
    one, stance, pose = bottom(name)
    rep = stance.rep(pose, 200)
    weight = stance.total_kg * GRAVITY_M_S2
    done = work_j(stance.leg, [(p.hip, p.knee.at, p.lean_rad, p.bears.sideways) for p in rep], weight)
    raised = whole_centre(one, stance, rep[-1])[1] - whole_centre(one, stance, rep[0])[1]
    assert set(done) == set(JOINTS)
    assert sum(done.values()) == pytest.approx(raised * weight, rel=1e-3)


# ---- measures


def test_the_arms_are_where_the_load_passes_the_joints() -> None:
    got = assess(Tape(**TAPES["average"]), Setup(0.5, 30.0), load_kg=130)
    stance, _, pose = bottom_of(squat("average", load_kg=130.0), Setup(0.5, 30.0))
    assert got.hip_arm_m == pytest.approx(stance.middle_y - pose.hip[1])
    assert got.knee_arm_m == pytest.approx(pose.knee.at[1] - stance.middle_y)
    assert got.back_arm_m == pytest.approx(pose.bar[0] - pose.lumbar[0])
    assert got.sit_back_m == got.hip_arm_m
    assert got.ankle_deg == pytest.approx(got.shin_deg)  # no heel
    assert sum(got.work_share.values()) == pytest.approx(1.0)
    assert got.path[0].height_m == 0 and got.path[0].hip_arm_m == got.hip_arm_m
    assert all(b.height_m > a.height_m for a, b in itertools.pairwise(got.path))
    assert got.stroke_m == pytest.approx(got.bar_standing_m - pose.bar[1])
    assert got.hardest_height_m == 0.0  # the bottom is the hardest point of the model
    plain = got.plain()
    assert set(plain["setup"]) == {  # type: ignore[call-overload]
        *("stance_m", "turn_out_deg", "heel_m", "sit_back_m", "bar_position", "depth"),
    }


def test_the_low_back_bears_what_is_above_it() -> None:
    """The bar and the parts of the body above L5/S1, each by its weight and how far it is ahead."""
    one, _, pose = bottom("average", load_kg=130.0)
    body, sine = one.body, math.sin(pose.lean_rad)
    parts = body.segments
    above = [
        (parts.middle_trunk, parts.middle_trunk_at * body.neck_m),
        (parts.upper_trunk, parts.upper_trunk_at * body.neck_m),
        (parts.head, parts.head_at * body.neck_m),
        (2 * parts.arm, 0.8 * body.trunk_m),  # hands on the bar
    ]
    joint = pose.hip[1] + 0.20 * body.trunk_m * sine - 0.030 * body.size * math.cos(pose.lean_rad)
    assert pose.lumbar[0] == pytest.approx(joint)
    arms = sum(share * body.body_mass_kg * (pose.hip[1] + up * sine - joint) for share, up in above)
    whole = GRAVITY_M_S2 * (arms + 130.0 * (pose.bar[0] - joint))
    assert pose.bears.back == pytest.approx(whole) and whole > 0


def test_marks_are_geometry() -> None:
    one, got = squat("average"), assess(Tape(**TAPES["average"]), Setup(0.5, 30.0))
    foot = one.body.foot_m
    assert got.marks.heels_m == pytest.approx(0.5 - 2 * 0.25 * foot * math.sin(math.radians(30)))
    assert got.marks.toes_m == pytest.approx(0.5 + 2 * 0.75 * foot * math.sin(math.radians(30)))
    turn = math.radians(30)
    assert stance_of_heels_m(one.body, heels_m(one.body, 0.5, turn), turn) == pytest.approx(0.5)
    assert 0 < got.bar_standing_m - got.marks.hook_m < 0.1
    assert 0.2 < got.marks.box_m < 0.5
    assert clock(30) == "1:00" and clock(0) == "12:00" and clock(45, right=False) == "10:30"


@pytest.mark.parametrize(
    ("change", "key", "rises"),
    [
        ({"sit_back_m": 0.24}, "trunk_lean_deg", True),
        ({"sit_back_m": 0.24}, "knee_arm_m", False),
        ({"sit_back_m": 0.24}, "hip_moment_n_m", True),
        ({"stance_m": 0.6}, "stroke_m", False),
    ],
)
def test_what_a_lifter_changes_moves_what_the_trade_says(
    change: dict[str, float], key: str, rises: bool
) -> None:
    base = Setup(0.5, 30.0, sit_back_m=0.20)
    lifter = Tape(**TAPES["average"])

    def value(setup: Setup) -> float:
        found: Any = assess(lifter, setup)
        for part in key.split("."):
            found = getattr(found, part)
        return float(found)

    assert (value(replace(base, **change)) > value(base)) == rises


def test_a_bar_carried_low_leans_the_trunk_and_eases_the_back() -> None:
    high, low = (
        assess(Tape(**TAPES["average"]), Setup(0.5, 30.0, sit_back_m=0.2), bar_position=p)
        for p in ("high", "low")
    )
    assert low.trunk_lean_deg > high.trunk_lean_deg
    assert low.back_moment_n_m < high.back_moment_n_m
    assert low.hip_moment_n_m == pytest.approx(high.hip_moment_n_m, rel=0.02)  # balance fixes the legs'


@pytest.mark.parametrize(
    ("setup", "field"),
    [
        ({"stance_m": 3.0}, "stance_m"),
        ({"turn_out_deg": -5.0}, "turn_out_deg"),
        ({"heel_m": 0.5}, "heel_m"),
        ({"sit_back_m": math.nan}, "sit_back_m"),
        ({"stance_m": "wide"}, "stance_m"),
    ],
)
def test_a_setup_that_cannot_be_is_refused_with_its_range(setup: dict[str, Any], field: str) -> None:
    with pytest.raises(InputError) as wrong:
        Setup(**{"stance_m": 0.5, "turn_out_deg": 30.0, **setup})
    assert wrong.value.field == field and wrong.value.remedy


def test_what_is_no_choice_is_refused() -> None:
    for more in ({"bar_position": "front"}, {"depth": "deep"}, {"load_kg": -3.0}, {"load_kg": math.nan}):
        with pytest.raises(InputError):
            squat("average", **more)
    with pytest.raises(InputError):
        suggest(Tape(**TAPES["average"]), preference=1.5)


def test_feet_too_far_apart_hold_no_bottom() -> None:
    with pytest.raises(InfeasibleError) as none:
        assess(Tape(**TAPES["small"]), Setup(1.4, 10.0))
    assert none.value.reason


# ---- the suggestion


@pytest.mark.parametrize("name", NAMES)
def test_the_suggestion_keeps_every_limit(name: str, advice: dict[str, Suggestion]) -> None:
    got = advice[name].measures
    assert got.ok, [limit for limit in got.limits if not limit.ok]
    assert advice[name].binding, "says what stopped it"


@pytest.mark.sweep
@pytest.mark.parametrize("name", NAMES)
def test_no_setup_inside_the_limits_is_much_easier_or_shorter_as_cheaply(name: str) -> None:
    """Against setups at random on the suggested heel: the strongest is the easiest of all, and none within
    SLACK of it has a shorter stroke."""
    one = squat(name)
    search, rng = Search(one), random.Random(5)
    strongest, found = search.solve()
    stroke = search.stance_of(found).top_m - found.valley.pose.bar[1]
    tried = 0
    for _ in range(250):
        turn = math.radians(rng.uniform(0, 40))
        stance = one.on(rng.uniform(0.2, 0.9), turn, found.heel_m)
        valley = search.bottoms.valley(stance)
        if valley is None or valley.outside_rad > 0 or search.spread_room(turn, valley.pose) < 0:
            continue
        tried += 1
        assert valley.effort > strongest.valley.effort * (1 - 2e-4)
        if valley.effort < (1 + SLACK) * strongest.valley.effort:
            assert stance.top_m - valley.pose.bar[1] > stroke - 5e-4
    assert tried > 20


@pytest.mark.parametrize("name", NAMES)
def test_the_dial_moves_load_from_the_knees_to_the_hips_inside_the_flat_stretch(
    name: str, advice: dict[str, Suggestion]
) -> None:
    choices = advice[name].frontier
    assert all(b.hip_arm_m > a.hip_arm_m for a, b in itertools.pairwise(choices))
    assert all(b.knee_arm_m < a.knee_arm_m for a, b in itertools.pairwise(choices))
    assert all(c.effort <= 1 + FLAT + 1e-4 for c in choices)
    sums = [c.hip_arm_m + c.knee_arm_m for c in choices]
    assert max(sums) - min(sums) < 0.003  # the thigh is as long as it is
    ends = [suggest_squat(squat(name), p).measures.hip_arm_m for p in (0.0, 0.5, 1.0)]
    assert ends == sorted(ends)


def test_nearly_free_choices_are_told_as_bands(advice: dict[str, Suggestion]) -> None:
    for name, one in advice.items():
        bands = {band.key: band for band in one.bands}
        assert set(bands) == {"heels_m", "turn_out_deg", "sit_back_m", "trunk_lean_deg", "shin_deg"}, name
        assert all(band.low < band.high for band in one.bands)
        back = bands["sit_back_m"]
        assert back.low - 1e-6 <= one.measures.sit_back_m <= back.high + 1e-6
    assert {band.key: band for band in advice["average"].bands}["heels_m"].low < 0.35


def test_a_stiff_ankle_asks_for_a_heel_and_a_free_one_does_not(advice: dict[str, Suggestion]) -> None:
    assert advice["average"].setup.heel_m == 0.0
    lifter = Tape(**TAPES["stiff"])
    stiff = suggest(lifter, comfort=COMFORTS["careful"])  # a wider stance would ease the ankle, too
    assert 0.0025 < stiff.setup.heel_m <= MOST_HEEL_M
    assert "heel" in [reason.code for reason in stiff.binding]
    flat, raised = (assess(lifter, Setup(0.45, 25.0, heel)) for heel in (0.0, 0.02))
    assert raised.trunk_lean_deg < flat.trunk_lean_deg - 1
    free = Tape(**TAPES["average"], knee_to_wall=0.14)
    flat, raised = (assess(free, Setup(0.45, 25.0, heel)) for heel in (0.0, 0.02))
    assert raised.trunk_lean_deg == pytest.approx(flat.trunk_lean_deg, abs=1.0)


def test_the_heel_is_the_least_that_helps_the_ankle() -> None:
    lifter = TAPES["stiff"]
    heels = [
        suggest(Tape(**lifter | {"knee_to_wall": wall}), comfort=COMFORTS["careful"]).setup.heel_m
        for wall in (0.01, 0.02, 0.06)
    ]
    assert MOST_HEEL_M > heels[0] > heels[1] + 0.002 and heels[2] == 0.0


@pytest.mark.sweep
def test_intervals_hold_what_is_assumed_of_balance_and_strength() -> None:
    """The model's part of the spread against the suggestion of bodies one standard deviation off."""
    lifter, one = Tape(**TAPES["average"]), squat("average")
    at = OUTPUTS.index("stroke_m")
    both = [doubt_of(one, lifter, 0.5, model=model).intervals["stroke_m"] for model in (True, False)]
    halves = [(found.high - found.low) / 2 for found in both]
    moved = [
        [outcome(replace(one, body=replace(one.body, **{name: mean + way * sd})), 0.5)[at] for way in (1, -1)]
        for name, mean, sd in (("middle", MIDDLE_OF_FOOT, MIDDLE_OF_FOOT_SD), ("floor", FLOOR, FLOOR_SD))
    ]
    model = math.hypot(*((up - down) / 2 for up, down in moved))
    assert math.sqrt(halves[0] ** 2 - halves[1] ** 2) == pytest.approx(Z90 * model, rel=0.15)


def test_the_hips_comfort_sets_the_turn_out(advice: dict[str, Suggestion]) -> None:
    assert "spread" in [reason.code for reason in advice["average"].binding]
    turns = [
        suggest(Tape(**TAPES["average"]), comfort=COMFORTS[name]).setup.turn_out_deg
        for name in ("careful", "usual", "loose")
    ]
    assert turns == sorted(turns) and turns[2] - turns[0] > 15


def test_it_says_stay_where_nothing_would_change(advice: dict[str, Suggestion]) -> None:
    setup = advice["average"].setup
    again = suggest_squat(squat("average"), current=setup)
    assert again.gain is not None and again.gain.stay
    narrow = suggest_squat(squat("average"), current=Setup(0.3, 5.0))
    assert narrow.gain is not None and not narrow.gain.stay
    assert narrow.current is not None and narrow.measures.effort < narrow.current.effort
    assert narrow.gain.stroke < 1 and narrow.gain.effort < 1, "the wide squat is shorter and easier"
    assert [step.key for step in narrow.gain.steps] == ["stance", "turn", "heel", "hips"]
    whole = math.prod(step.stroke for step in narrow.gain.steps)
    assert whole == pytest.approx(narrow.gain.stroke, rel=1e-3)


def test_the_other_way_of_carrying_the_bar_stands_beside(advice: dict[str, Suggestion]) -> None:
    beside = advice["average"].beside
    assert beside is not None and beside.bar_position == "high"
    assert beside.stance_m == advice["average"].setup.stance_m


@pytest.mark.parametrize("unit", ["cm", "in"])
@pytest.mark.parametrize("name", NAMES)
def test_what_can_be_set_is_round_and_still_inside(
    name: str, unit: str, advice: dict[str, Suggestion]
) -> None:
    one = squat(name)
    setup = that_can_be_set(one, advice[name].setup, unit)
    step = 0.005 if unit == "cm" else 0.00635
    heels = heels_m(one.body, setup.stance_m, setup.turn_rad) / step
    assert heels == pytest.approx(round(heels), abs=1e-6)
    assert setup.turn_out_deg == round(setup.turn_out_deg)
    got = assess(Tape(**TAPES[name]), setup)
    assert not [limit.name for limit in got.limits if limit.broken]
    assert that_can_be_set(one, setup, unit) == setup


def test_a_picked_setup_is_pulled_inside_the_limits() -> None:
    one = squat("average")
    far = pulled(one, {"stance_m": 0.5, "turn_out_deg": 60.0, "heel_m": 0.2, "sit_back_m": 0.6})
    got = assess(Tape(**TAPES["average"]), far)
    assert not [limit.name for limit in got.limits if limit.broken]
    inside = Setup(0.5, 30.0, 0.0, 0.2)
    assert kept(one, inside) == inside


def test_the_index_is_a_ratio_of_loads() -> None:
    """Of two setups the one with twice the index bears twice the load at the same effort."""
    lifter = Tape(**TAPES["average"])
    a, b = Setup(0.5, 30.0, sit_back_m=0.19), Setup(0.4, 20.0, sit_back_m=0.25)
    got: list[Assessment] = [assess(lifter, one, load_kg=130) for one in (a, b)]
    mass = squat("average").body.body_mass_kg
    at_limit = [
        assess(lifter, s, load_kg=g.limit_load_index * mass) for s, g in zip((a, b), got, strict=True)
    ]
    assert at_limit[0].effort == pytest.approx(at_limit[1].effort, rel=1e-3)
    assert at_limit[0].effort == pytest.approx(2.0, rel=1e-3)


def test_a_millimetre_of_tape_moves_the_setup_by_millimetres() -> None:
    base = {"stature": 1.70, "body_mass": 75.0, "hip_bone_height": 0.87, "knee_to_wall": 0.06}
    for key in ("stature", "hip_bone_height", "knee_to_wall"):
        a, b = (suggest(Tape(**{**base, key: base[key] + more})) for more in (0.0, 0.001))
        assert abs(a.setup.stance_m - b.setup.stance_m) < 0.003
        assert abs(a.measures.sit_back_m - b.measures.sit_back_m) < 0.003
        assert abs(a.setup.turn_out_deg - b.setup.turn_out_deg) < 0.3


@pytest.mark.parametrize(
    "other", [{"thigh_m": 0.012}, {"shank_m": -0.012}, {"trunk_m": 0.02}, {"dorsiflexion_rad": -0.12}]
)
def test_feet_of_a_body_that_is_near_are_those_of_a_search_of_its_own(other: dict[str, float]) -> None:
    """To millimetres of what is suggested: the intervals are found so."""
    here = squat_of(Tape(stature=1.756, body_mass=85.5, sex="male"))
    body = replace(here.body, **{key: getattr(here.body, key) + more for key, more in other.items()})
    there = replace(here, body=body)
    own, by = Search(there).solve()[1], Search(there, Search(here).solve()).solve()[1]
    assert by.stance_m == pytest.approx(own.stance_m, abs=0.003)
    assert by.turn_rad == pytest.approx(own.turn_rad, abs=1e-3)
    assert by.heel_m == pytest.approx(own.heel_m, abs=5e-4)
