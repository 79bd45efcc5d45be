"""The pull: poses against geometry and statics by hand, the search against its own rule, limits and
reasons."""

from __future__ import annotations

import functools
import itertools
import math
import random
from dataclasses import replace

import pytest

from shortlever import InfeasibleError, InputError, Tape
from shortlever.lifts.deadlift.advice import Suggestion, suggest_pull, winner
from shortlever.lifts.deadlift.comfort import COMFORTS, STYLES
from shortlever.lifts.deadlift.gear import START_M, Gear
from shortlever.lifts.deadlift.lean import least_inside
from shortlever.lifts.deadlift.library import assess, puller_of, suggest
from shortlever.lifts.deadlift.measure import assess_pull, rep_from, start_of, work_of
from shortlever.lifts.deadlift.one_style import AHEADS_M, HIPS_SLACK, best_of, dialled
from shortlever.lifts.deadlift.polynomial import PLACES, read, through
from shortlever.lifts.deadlift.pull import ARM_COM, HANG_M, Pose, Pull
from shortlever.lifts.deadlift.reasons import WINS
from shortlever.lifts.deadlift.rep import BEHIND_M
from shortlever.lifts.deadlift.search import SLACK, STROKE_SLACK, Line, Search, best_on
from shortlever.lifts.deadlift.setting import pulled, that_can_be_set
from shortlever.lifts.deadlift.setup import AHEAD_M, HALF_CALF_M, Puller, Setup
from shortlever.lifts.deadlift.tried import tried
from shortlever.lifts.legs.body import ANKLE_OF_FOOT

TAPES = {
    "man": Tape(stature=1.756, body_mass=85.5, sex="male"),
    "woman": Tape(stature=1.63, body_mass=66, sex="female"),
    "tall": Tape(stature=1.95, body_mass=105, sex="male", knee_to_wall=0.06),
    "long arms": Tape(stature=1.78, body_mass=83, sex="male", arm_length=0.72),
    "long trunk": Tape(stature=1.78, body_mass=83, sex="male", sitting_height=0.97, crotch_height=0.80),
    "short": Tape(stature=1.50, body_mass=50, hip_bone_height=0.77),
}
CONVENTIONAL = Setup("conventional", 0.30, 10.0, 0.50)
SUMO = Setup("sumo", 0.68, 42.0, 0.40)
EVERY = [(name, style) for name in TAPES for style in STYLES]


@functools.cache
def puller(name: str = "man") -> Puller:
    return puller_of(TAPES[name])


@functools.cache
def advice(name: str, style: str = "") -> Suggestion:
    return suggest_pull(replace(puller(name), style=style))


def energy_j(pull: Pull, pose: Pose) -> float:
    """Of body and bar in a pose, from the heights of their parts."""
    body, parts, hip, knee = pull.body, pull.body.segments, pose.hip, pose.knee.at
    thigh = knee[2] + (hip[2] - knee[2]) * (1 - parts.thigh_com)
    shank = pull.leg.ankle[2] + (knee[2] - pull.leg.ankle[2]) * (1 - parts.shank_com)
    legs = 2 * body.body_mass_kg * (parts.thigh * thigh + parts.shank * shank)
    trunk = pull.trunk_kg * hip[2] + pull.trunk_kg_m * math.cos(pose.lean_rad)
    arms = pull.arms_kg * (pose.bar[1] + ARM_COM * pull.drop_m(pose.ahead_m))
    return 9.80665 * (legs + trunk + arms + pull.load_kg * pose.bar[1])


# ---- one pose


@pytest.mark.parametrize("setup", [CONVENTIONAL, SUMO], ids=STYLES)
@pytest.mark.parametrize("name", TAPES)
def test_a_start_keeps_every_bone_and_the_bar_touches_the_shin(name: str, setup: Setup) -> None:
    pull, pose = start_of(puller(name), setup)
    body, ankle, knee, hip = pull.body, pull.leg.ankle, pose.knee.at, pose.hip
    assert math.dist(ankle, knee) == pytest.approx(body.shank_m)
    assert math.dist(knee, hip) == pytest.approx(body.thigh_m)
    (sy, sz), (by, bz) = pose.shoulder, pose.bar
    assert math.hypot(sy - hip[1], sz - hip[2]) == pytest.approx(body.shoulder_m)
    hand, joint = (setup.grip_m / 2, by, bz), (body.half_shoulder_m, sy, sz)
    assert math.dist(hand, joint) == pytest.approx(body.arm_m + HANG_M)
    assert bz == START_M and sy - by == pytest.approx(AHEAD_M)
    # the shin's front is a straight line from ankle to knee cap: the bar lies on it, half its thickness ahead
    up = (bz - ankle[2]) / (knee[2] - ankle[2])
    thick = (0.050 + 0.005 * up) * body.size
    assert by - (ankle[1] + up * (knee[1] - ankle[1])) == pytest.approx(thick + 0.0145, abs=1e-6)


@pytest.mark.parametrize("setup", [CONVENTIONAL, SUMO], ids=STYLES)
def test_at_the_start_all_weight_is_over_the_middle_of_the_feet(setup: Setup) -> None:
    """Where the moments of all parts about the floor cancel, from joints alone."""
    pull, pose = start_of(puller(), setup)
    body, parts, mass = pull.body, pull.body.segments, pull.body.body_mass_kg
    hip, knee, ankle = pose.hip, pose.knee.at, pull.leg.ankle
    sine = math.sin(pose.lean_rad)
    foot = (parts.foot_com - ANKLE_OF_FOOT) * body.foot_m * math.cos(math.radians(setup.turn_out_deg))
    places = [
        (2 * mass * parts.thigh, hip[1] + parts.thigh_com * (knee[1] - hip[1])),
        (2 * mass * parts.shank, knee[1] + parts.shank_com * (ankle[1] - knee[1])),
        (2 * mass * parts.foot, foot),
        (mass * parts.lower_trunk, hip[1] + parts.lower_trunk_at * body.neck_m * sine),
        (mass * parts.middle_trunk, hip[1] + parts.middle_trunk_at * body.neck_m * sine),
        (mass * parts.upper_trunk, hip[1] + parts.upper_trunk_at * body.neck_m * sine),
        (mass * parts.head, hip[1] + parts.head_at * body.neck_m * sine),
        (2 * mass * parts.arm, pose.bar[0] + ARM_COM * pose.ahead_m),
        (pull.load_kg, pose.bar[0]),
    ]
    middle = (body.middle - ANKLE_OF_FOOT) * body.foot_m * math.cos(math.radians(setup.turn_out_deg))
    whole = mass + pull.load_kg  # the shares sum to one to the rounding of their table
    assert sum(m * y for m, y in places) / whole == pytest.approx(middle, abs=1e-6)
    assert pose.pressure_m == pytest.approx(pull.leg.middle_m)


def test_the_back_bears_what_is_above_it() -> None:
    pull, pose = start_of(puller(), CONVENTIONAL)
    body, parts, mass = pull.body, pull.body.segments, pull.body.body_mass_kg
    up, behind = 0.20 * body.trunk_m, 0.03 * body.size
    at = pose.hip[1] + up * math.sin(pose.lean_rad) - behind * math.cos(pose.lean_rad)
    above = ((parts.middle_trunk, parts.middle_trunk_at), (parts.upper_trunk, parts.upper_trunk_at))
    above += ((parts.head, parts.head_at),)
    by_hand = pull.load_kg * (pose.bar[0] - at)
    by_hand += 2 * mass * parts.arm * (pose.bar[0] + ARM_COM * AHEAD_M - at)
    for share, far in above:
        by_hand += mass * share * (pose.hip[1] + far * body.neck_m * math.sin(pose.lean_rad) - at)
    assert pose.bears.back == pytest.approx(9.80665 * by_hand)
    assert pose.back_arm_m == pytest.approx(pose.bar[0] - at)


def test_a_start_is_the_lowest_that_clears_and_no_dearer_than_a_little_higher() -> None:
    pull, pose = start_of(puller(), CONVENTIONAL)
    y = pose.bar[0]
    for more in (0.01, 0.03, 0.1):
        lean = pose.lean_rad + more
        there = pull.balanced(START_M, AHEAD_M, lean, y)
        assert there is not None
        higher = pull.pose(there, START_M, AHEAD_M, lean)
        assert higher is not None and higher.clear_m > 0 and higher.effort > pose.effort
        lean = pose.lean_rad - more
        there = pull.balanced(START_M, AHEAD_M, lean, y)
        assert there is not None and (pull.room(there, START_M, AHEAD_M, lean) or 0.0) < 0


def test_a_stiff_ankle_lifts_the_hips() -> None:
    stiff = replace(puller(), body=replace(puller().body, dorsiflexion_rad=math.radians(5)))
    _, pose = start_of(stiff, CONVENTIONAL)
    _, free = start_of(puller(), CONVENTIONAL)
    assert pose.knee.shin_rad == pytest.approx(math.radians(5), abs=1e-6)
    assert pose.clear_m > 0.01 and pose.hip[2] > free.hip[2]


def test_the_edge_of_what_is_allowed_is_found_from_either_side() -> None:
    for near in (0.2, 0.7, 1.4):
        assert least_inside(lambda lean: lean - 0.7, near) == pytest.approx(0.7, abs=1e-6)
        # legs that do not reach count as hips too high
        assert least_inside(lambda lean: None if lean > 0.8 else lean - 0.7, near) == pytest.approx(
            0.7, abs=1e-6
        )
        assert least_inside(lambda lean: -1.0, near) is None


# ---- the whole pull


@pytest.mark.parametrize(("name", "style"), EVERY)
def test_the_bar_goes_up_straight_in_front_of_the_legs_to_lockout(name: str, style: str) -> None:
    pull, rep = rep_from(puller(name), advice(name, style).setup)
    heights = [pose.bar[1] for pose in rep.poses]
    assert rep.outside == ()
    assert {round(pose.bar[0], 12) for pose in rep.poses} == {round(rep.poses[0].bar[0], 12)}
    steps = [b - a for a, b in itertools.pairwise(heights)]
    assert max(steps) - min(steps) < 1e-9
    assert all(pose.clear_m > -1e-5 for pose in rep.poses)
    shares = [ANKLE_OF_FOOT + pose.pressure_m / pull.body.foot_m for pose in rep.poses]
    assert 0.4 < min(shares) and max(shares) < 0.65
    hips = [pose.hip[2] for pose in rep.poses]
    assert all(b > a - 0.006 for a, b in itertools.pairwise(hips))  # all but still as the bar passes the knee
    top = rep.poses[-1]
    assert math.degrees(top.bears.knee_bend_rad) < 0.1
    assert top.shoulder[0] - top.bar[0] == pytest.approx(-BEHIND_M)
    assert top.clear_m == pytest.approx(0.0, abs=1e-5)
    assert rep.hardest is rep.poses[0]


@pytest.mark.parametrize("setup", [CONVENTIONAL, SUMO], ids=STYLES)
def test_the_joints_work_is_what_body_and_bar_are_raised_by(
    setup: Setup, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Virtual work, to second order in the rows; measured with sixteen it is right to two in a thousand."""
    errors = []
    for rows in (16, 64):
        monkeypatch.setattr("shortlever.lifts.deadlift.rep.ROWS", rows)
        pull, rep = rep_from(puller(), setup)
        raised = energy_j(pull, rep.poses[-1]) - energy_j(pull, rep.poses[0])
        errors.append(sum(work_of(pull, rep.poses).values()) / raised - 1)
    assert abs(errors[0]) < 3e-3 and abs(errors[1]) < 3e-4


def test_the_knee_gives_at_lift_off_and_is_held_as_the_bar_passes_it() -> None:
    got = assess_pull(puller(), CONVENTIONAL)
    assert got.knee_moment_n_m > 0
    knee = puller().body.shank_m + puller().body.ankle_height_m
    passing = min(got.path, key=lambda row: abs(row.height_m + START_M - knee))
    assert passing.knee_moment_n_m < 0


def test_work_shares_sum_to_one_and_the_path_starts_at_the_measures() -> None:
    got = assess_pull(puller(), SUMO)
    assert sum(got.work_share.values()) == pytest.approx(1.0)
    first, last = got.path[0], got.path[-1]
    assert first.height_m == 0 and last.height_m == pytest.approx(got.stroke_m)
    for name in ("trunk_lean_deg", "shin_deg", "thigh_deg", "hip_arm_m", "knee_arm_m", "back_arm_m"):
        assert getattr(first, name) == getattr(got, name)
    plain = got.plain()
    assert plain["setup"] == vars(SUMO) and len(plain["path"]) == len(got.path)  # type: ignore[arg-type]


def test_index_is_the_load_that_the_same_effort_lifts() -> None:
    got = assess_pull(puller(), CONVENTIONAL)
    heavier = replace(puller(), load_kg=got.limit_load_index * puller().body.body_mass_kg)
    assert assess_pull(heavier, CONVENTIONAL).effort == pytest.approx(3.0, rel=1e-6)


# ---- the suggestion


@pytest.mark.sweep
@pytest.mark.parametrize(("name", "style"), EVERY)
def test_feet_and_hands_keep_the_rule(name: str, style: str) -> None:
    """Every limit kept; of 36 other feet none costs less than SLACK allows, and none of those that cost no
    more has a shorter stroke than STROKE_SLACK allows."""
    got = advice(name, style).measures
    assert got.ok, [(limit.name, limit.margin) for limit in got.limits if not limit.ok]
    search = Search(puller(name), style)
    others = []
    for x, u in itertools.product((0.01, 0.15, 0.3, 0.45, 0.6, 0.8), (0.0, 0.15, 0.3, 0.45, 0.6, 0.75)):
        one = tried(puller(name), style, search.stance_m(x), search.turn_rad(u), AHEAD_M)
        if one is not None and min(one.rooms) >= 0:
            others.append(one)
    least = min(one.effort for one in others)
    assert got.effort < (1 + SLACK + 0.003) * least
    shortest = min(one.stroke_m for one in others if one.effort < (1 + SLACK - 0.003) * least)
    assert got.stroke_m < (1 + STROKE_SLACK + 0.001) * shortest


def test_a_stance_on_the_very_edge_of_a_limit_counts_as_inside() -> None:
    """The narrowest sumo stance leaves hands no room at all: rounding must not make it cost without end."""
    line = Line(through([3.0] * 5), through([0.5] * 5), [through([-1e-12] * 5)])
    assert best_on(line).effort == pytest.approx(3.0)
    assert math.isfinite(best_on(Line(through([3.0] * 5), through([0.5] * 5), [through([-0.1] * 5)])).effort)


@pytest.mark.parametrize("name", TAPES)
def test_both_styles_are_told_and_a_winner_only_beyond_a_tenth(name: str) -> None:
    found = advice(name)
    assert found.other is not None and found.effort_ratio is not None
    assert {found.setup.style, found.other.style} == set(STYLES)
    assert found.effort_ratio == pytest.approx(found.other.effort / found.measures.effort)
    close = 1 / (1 + WINS) <= found.effort_ratio <= 1 + WINS
    assert (found.winner == "") == close
    codes = {reason.code for reason in found.binding}
    assert ("sets_decide" in codes) == close and ("style" in codes) != close


def test_a_winner_is_named_by_effort_alone() -> None:
    assert winner("sumo", "conventional", 1.11) == "sumo"
    assert winner("sumo", "conventional", 0.90) == "conventional"
    assert winner("sumo", "conventional", 1.09) == winner("sumo", "conventional", 0.92) == ""
    assert winner("sumo", None, None) == "sumo"


def test_the_style_that_is_carried_is_shown_unless_another_is_asked_for() -> None:
    assert suggest_pull(puller(), current=SUMO).setup.style == "sumo"
    assert suggest_pull(replace(puller(), style="conventional"), current=SUMO).setup.style == "conventional"


def test_hips_are_nearly_free_and_the_dial_moves_them() -> None:
    """Ten centimetres and more for a hundredth of effort, where common practice sells one angle."""
    found = advice("man")
    bands = {band.key: band for band in found.bands}
    hips = bands["hip_height_m"]
    assert hips.high - hips.low > 0.10 and hips.within == HIPS_SLACK == 0.01
    assert bands["shoulder_ahead_m"].low >= AHEADS_M[0] and bands["shoulder_ahead_m"].high <= AHEADS_M[1]
    low, high = (suggest_pull(puller(), preference) for preference in (0.0, 1.0))
    assert low.measures.hip_height_m == pytest.approx(hips.low, abs=1e-6)
    assert high.measures.hip_height_m == pytest.approx(hips.high, abs=1e-6)
    assert low.measures.trunk_lean_deg < found.measures.trunk_lean_deg < high.measures.trunk_lean_deg
    assert low.measures.knee_arm_m > found.measures.knee_arm_m > high.measures.knee_arm_m
    assert max(choice.effort for choice in found.frontier) < (1 + HIPS_SLACK) ** 2
    assert [choice.hip_height_m for choice in found.frontier] == sorted(
        c.hip_height_m for c in found.frontier
    )
    assert dialled((0.0, 0.11), 0.5) == AHEAD_M


def test_long_arms_lift_the_hips_and_shorten_the_stroke() -> None:
    """Common practice, no source."""
    body = puller().body
    long = replace(puller(), body=replace(body, arm_m=body.arm_m + 0.03))
    a, b = (assess_pull(one, CONVENTIONAL) for one in (puller(), long))
    assert b.hip_height_m > a.hip_height_m + 0.01
    assert b.stroke_m < a.stroke_m - 0.02 and b.effort < a.effort


def test_a_higher_bar_is_an_easier_start() -> None:
    raised = replace(puller(), gear=Gear(start_m=0.325))
    a, b = (best_of(one, "conventional", 0.5).measures for one in (puller(), raised))
    assert b.stroke_m == pytest.approx(a.stroke_m - 0.10, abs=0.01)
    assert b.effort < a.effort and b.hip_height_m > a.hip_height_m
    assert b.marks.stack_m == pytest.approx(0.10) and b.marks.discs_m == pytest.approx(0.65)


def test_marks_are_geometry() -> None:
    got = assess_pull(puller(), CONVENTIONAL)
    body, marks, turn = puller().body, got.marks, math.radians(10)
    assert marks.heels_m == pytest.approx(0.30 - 0.5 * body.foot_m * math.sin(turn))
    assert marks.toes_m == pytest.approx(0.30 + 1.5 * body.foot_m * math.sin(turn))
    assert marks.hands_m == pytest.approx(0.50 + body.hand_breadth_m)
    assert marks.from_ring_m is not None and marks.from_ring_in_hands is not None
    assert 2 * marks.from_ring_m + marks.hands_m == pytest.approx(0.810) == marks.ring_m
    assert 2 * marks.from_sleeve_m + marks.hands_m == pytest.approx(1.310)
    assert marks.from_ring_in_hands * body.hand_breadth_m == pytest.approx(marks.from_ring_m)
    assert marks.bar_to_shin_in_fingers * body.hand_breadth_m / 4 == pytest.approx(marks.bar_to_shin_m)
    assert marks.string_m == got.hip_height_m and marks.stack_m == 0
    assert 0.02 < marks.bar_to_shin_m < 0.06


@pytest.mark.parametrize(("turn_deg", "outside"), [(0.0, False), (25.0, True)])
def test_hands_clear_ankle_and_knee(turn_deg: float, outside: bool) -> None:
    """Half a calf and half a hand beside whichever of both reaches further out."""
    setup = replace(CONVENTIONAL, turn_out_deg=turn_deg)
    _, start = start_of(puller(), setup)
    ankle, knee, body = setup.stance_m / 2, start.knee.at[0], puller().body
    assert (knee > ankle) == outside
    clear = setup.grip_m / 2 - body.hand_breadth_m / 2 - HALF_CALF_M * body.size - max(ankle, knee)
    hands = next(limit for limit in assess_pull(puller(), setup).limits if limit.name == "hands")
    assert hands.margin == pytest.approx(clear)


def test_a_setup_that_breaks_limits_says_which() -> None:
    narrow = assess_pull(puller(), replace(CONVENTIONAL, grip_m=0.42))
    assert [limit.name for limit in narrow.limits if not limit.ok] == ["hands"]
    wide = assess_pull(puller(), Setup("sumo", 1.05, 50.0, 0.40))
    assert {"plates"} <= {limit.name for limit in wide.limits if not limit.ok}
    assert all(str(limit.reason) for limit in wide.limits)


def test_where_nothing_keeps_every_limit_it_says_so_and_what_blocks_would_do() -> None:
    tape = Tape(stature=1.8, body_mass=90, arm_length=0.50, sex="male")
    found = suggest(tape, style="conventional")
    told = {reason.code: reason.said for reason in found.binding}
    assert "fold" in told and "more than is common" in str(told["fold"])
    high = told["blocks"].values["start_m"]
    assert isinstance(high, float) and START_M < high < START_M + 0.25
    assert suggest(tape, style="conventional", gear=Gear(start_m=high)).measures.ok


def test_a_bar_out_of_reach_is_refused() -> None:
    with pytest.raises(InfeasibleError) as none:
        suggest(replace(puller().body, arm_m=0.05))
    assert none.value.said.code == "pull_none" and "22.5 cm" in none.value.reason


def test_careful_hips_turn_out_less() -> None:
    usual, careful = (
        suggest(TAPES["long trunk"], style="sumo", comfort=COMFORTS[name]).measures
        for name in ("usual", "careful")
    )
    assert careful.spread_deg <= 40.1 and usual.spread_deg > careful.spread_deg


def test_the_present_setup_is_compared_with_its_price() -> None:
    own = advice("man").setup
    same = suggest_pull(puller(), current=own).gain
    assert same is not None and same.stay and same.effort == pytest.approx(1.0)
    wide = suggest_pull(puller(), current=replace(CONVENTIONAL, grip_m=0.75)).gain
    assert wide is not None and not wide.stay and wide.stroke < 0.97
    product = math.prod(step.stroke for step in wide.steps)
    assert product == pytest.approx(wide.stroke)
    other = suggest_pull(replace(puller(), style="conventional"), current=SUMO).gain
    assert other is not None and [step.key for step in other.steps] == ["style"]


# ---- as it is set and asked for


@pytest.mark.parametrize("unit", ["cm", "in"])
@pytest.mark.parametrize(("name", "style"), EVERY)
def test_what_is_set_is_round_clear_and_near(name: str, style: str, unit: str) -> None:
    found = advice(name, style)
    setup = that_can_be_set(puller(name), found.setup, unit)
    step = 0.005 if unit == "cm" else 0.00635
    got = assess_pull(puller(name), setup)
    for value in (got.marks.heels_m, got.marks.hands_m):
        assert value / step == pytest.approx(round(value / step), abs=1e-6)
    assert setup.turn_out_deg == round(setup.turn_out_deg)
    assert not [limit.name for limit in got.limits if limit.broken]
    hands = next(limit for limit in got.limits if limit.name == "hands")
    assert hands.ok, "rounded away from the legs"
    assert abs(setup.stance_m - found.setup.stance_m) < 0.012
    assert abs(got.effort / found.measures.effort - 1) < 0.01


def test_a_picked_setup_is_pulled_inside() -> None:
    parts = {"stance_m": 0.30, "turn_out_deg": 60.0, "grip_m": 0.32, "shoulder_ahead_m": 0.5}
    inside = pulled(puller(), parts)
    got = assess_pull(puller(), inside)
    assert inside.style == "conventional" and inside.shoulder_ahead_m == AHEADS_M[1]
    assert got.spread_deg < 35.1 and not [
        limit.name for limit in got.limits if limit.name == "hands" and not limit.ok
    ]
    inside = pulled(puller(), parts | {"stance_m": 0.70, "turn_out_deg": 40.0, "grip_m": 0.69})
    assert inside.style == "sumo" and assess_pull(puller(), inside).ok


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"style": "hex"}, "style"),
        ({"stance_m": 3.0}, "stance_m"),
        ({"turn_out_deg": -5.0}, "turn_out_deg"),
        ({"grip_m": math.nan}, "grip_m"),
    ],
)
def test_a_setup_out_of_range_is_refused(change: dict[str, float], field: str) -> None:
    with pytest.raises(InputError) as refused:
        replace(CONVENTIONAL, **change)
    assert refused.value.field == field and refused.value.remedy


def test_what_is_asked_out_of_range_is_refused() -> None:
    for asked in ({"style": "hex"}, {"preference": 2.0}, {"load_kg": 0.0}, {"gear": Gear(start_m=2.0)}):
        with pytest.raises(InputError):
            suggest(TAPES["man"], **asked)  # type: ignore[arg-type]
    with pytest.raises(InfeasibleError):
        assess(replace(puller().body, arm_m=0.3), Setup("conventional", 0.3, 10, 1.1))


# ---- random tapes


def random_tape(rng: random.Random) -> dict[str, float | str | None]:
    """Numbers that go together, most of them given or not."""
    stature = rng.uniform(1.45, 2.05)
    tape: dict[str, float | str | None] = {"stature": stature, "body_mass": stature**2 * rng.uniform(19, 36)}
    tape["sex"] = rng.choice(["male", "female", None])
    for key, share, spread in (
        ("arm_length", 0.377, 0.015),
        ("hip_bone_height", 0.513, 0.015),
        ("shoulder_tip_height", 0.82, 0.010),
        ("knee_bump_height", 0.28, 0.010),
        ("hip_breadth", 0.20, 0.015),
        ("foot_length", 0.153, 0.007),
        ("shoulder_breadth", 0.233, 0.012),
    ):
        if rng.random() < 0.5:
            tape[key] = stature * (share + spread * rng.uniform(-1.5, 1.5))
    if rng.random() < 0.5:
        tape["knee_to_wall"] = rng.uniform(0.02, 0.18)
    return tape


MOST_MM = {"stance_m": 6.0, "grip_m": 8.0, "hip_height_m": 5.0, "stroke_m": 3.0}


def moved_mm(tape: dict[str, float | str | None], key: str, style: str) -> dict[str, float]:
    """By how many mm a suggestion moves with one mm of a tape number."""
    there = tape | {key: float(tape[key] or 0.0) + 0.001}
    a, b = (best_of(puller_of(Tape(**one)), style, 0.5).measures for one in (tape, there))  # type: ignore[arg-type]
    return {name: 1000 * abs(getattr(b, name) - getattr(a, name)) for name in MOST_MM}


def check_tape(seed: int) -> None:
    """A suggestion in both styles that keeps every limit or says which it cannot, and moves little."""
    rng = random.Random(seed)
    tape = random_tape(rng)
    key = rng.choice([name for name in tape if name not in ("sex", "body_mass")])
    for style in STYLES:
        got = best_of(puller_of(Tape(**tape)), style, 0.5).measures  # type: ignore[arg-type]
        assert 0.2 < got.stroke_m < 0.9 and math.isfinite(got.effort), seed
        assert got.hardest_height_m == 0, seed
        if got.ok:
            moved = moved_mm(tape, key, style)
            assert all(moved[name] < most for name, most in MOST_MM.items()), (seed, key, style, moved)


@pytest.mark.sweep
@pytest.mark.parametrize("seed", range(8))
def test_a_millimetre_of_tape_moves_a_suggestion_by_millimetres(seed: int) -> None:
    check_tape(seed)


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize(
    "other", [{"thigh_m": 0.012}, {"shank_m": -0.012}, {"arm_m": 0.02}, {"foot_m": 0.01}]
)
def test_feet_of_a_body_that_is_near_are_those_of_a_search_of_its_own(
    style: str, other: dict[str, float]
) -> None:
    """To half a centimetre and a degree: the intervals are found so."""
    here = puller("man")
    body = replace(here.body, **{key: getattr(here.body, key) + more for key, more in other.items()})
    there = replace(here, body=body)
    own, by = Search(there, style).solve(), Search(there, style, near=Search(here, style)).solve()
    assert by.stance_m == pytest.approx(own.stance_m, abs=0.007)
    assert by.turn_rad == pytest.approx(own.turn_rad, abs=0.02)


def test_polynomials_go_through_their_values() -> None:
    values = [3.0, -1.0, 0.5, 2.0, 7.0]
    assert [read(through(values), place) for place in PLACES] == pytest.approx(values)
