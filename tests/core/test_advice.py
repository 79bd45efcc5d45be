"""The suggestion: inside all limits, close to the best index, and moved by the dial as it says."""

from __future__ import annotations

import json
import math
from itertools import pairwise
from typing import Any

import pytest

from shortlever import Body, Gear, InfeasibleError, InputError, Setup, Suggestion, Tape, assess, suggest
from shortlever.lifts.bench.chest import PAST_THE_TOP_M
from shortlever.lifts.bench.gear import BARS, RULEBOOKS
from shortlever.lifts.bench.limits import COMFORTS
from shortlever.lifts.bench.measure import assess_press
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.search import Search
from shortlever.lifts.bench.setting import that_can_be_set
from shortlever.lifts.bench.worth import INDEX_SLACK, STROKE_WEIGHT
from shortlever.lifts.limit import ROUNDING_M
from shortlever.numerics import crossing, minimum

Advice = dict[tuple[str, float], Suggestion]
NAMES = ["tall", "small", "arched", "middle", "uneven"]
TENTH_OF_A_MILLIMETRE = 1e-4


def test_every_suggestion_keeps_every_limit(advice: Advice) -> None:
    for key, found in advice.items():
        broken = [limit for limit in found.measures.limits if not limit.ok]
        assert not broken, (key, broken)


def test_measures_are_those_of_the_setup(advice: Advice, lifters: dict[str, Body]) -> None:
    for (name, _), found in advice.items():
        if name in lifters:
            assert found.measures == assess(lifters[name], found.setup)


def test_index_stays_within_its_slack_of_the_best(advice: Advice) -> None:
    for key, found in advice.items():
        share = found.measures.limit_load_index / found.strongest.limit_load_index
        assert share >= 1 - INDEX_SLACK - 0.001, key
        assert share <= 1.001, key  # nothing is better than the best


@pytest.mark.parametrize("name", NAMES)
def test_the_dial_trades_stroke_against_arm(advice: Advice, name: str) -> None:
    """0: the shortest stroke; 1: the shortest mean arm; in between neither beats an end at its own."""
    stroke, middle, arm = (advice[name, p].measures for p in (0.0, 0.5, 1.0))
    assert stroke.range_of_motion_m <= middle.range_of_motion_m + TENTH_OF_A_MILLIMETRE
    assert middle.range_of_motion_m <= arm.range_of_motion_m + TENTH_OF_A_MILLIMETRE
    assert arm.mean_moment_arm_m <= middle.mean_moment_arm_m + TENTH_OF_A_MILLIMETRE
    assert middle.mean_moment_arm_m <= stroke.mean_moment_arm_m + TENTH_OF_A_MILLIMETRE
    assert arm.mean_moment_arm_m < stroke.mean_moment_arm_m


@pytest.mark.parametrize("name", NAMES[:4])
@pytest.mark.parametrize("preference", [0.0, 0.5, 1.0])
def test_no_neighbour_is_better(
    advice: Advice, lifters: dict[str, Body], name: str, preference: float
) -> None:
    """2 to 20 mm away in grip and touch: outside a limit, too hard, or no better than half a percent.

    Grips narrower than the strongest one do not count: they give index away for a longer stroke.
    """
    found = advice[name, preference]
    press = Press(lifters[name], load_kg=found.setup.load_kg)
    search, reach = Search(press, preference), press.body.reach_m
    grip, touch = found.setup.grip_m, found.setup.touch_m
    shortest = search.stroke(*search.shortest_stroke())
    arm = found.strongest.mean_moment_arm_m

    def balance(grip: float, touch: float) -> float:
        """The greater of what is given up of the stroke and of the arm, by the dial's weights."""
        s, m = search.stroke_and_arm(grip, touch)
        return max((1 - preference) * STROKE_WEIGHT * math.log(s / shortest), preference * math.log(m / arm))

    here = balance(grip, touch)
    needed = (1 - INDEX_SLACK) * found.strongest.limit_load_index
    for size in (0.002, 0.005, 0.02):
        for way in range(16):
            g = grip + size * math.cos(way * math.pi / 8)
            t = touch + size * math.sin(way * math.pi / 8)
            if not search.band()[0] <= g <= search.widest or not search.nearest(g) <= t <= search.furthest_m:
                continue
            if reach / press.rep(g, t).hardest()[0] >= needed:
                assert balance(g, t) >= here - 0.005, (size, way)


def test_grips_stay_between_narrow_and_the_ring(advice: Advice) -> None:
    assert all(0.30 < found.setup.grip_m <= 0.81 for found in advice.values())


def test_a_small_lifter_is_not_sent_to_the_rings(advice: Advice) -> None:
    """Published best: 1.65-2.0 x biacromial (Wagner 1992, abstract; Lockie and Moreno 2017, second-hand)."""
    small = advice["small", 0.5].setup.grip_m
    assert small < 0.76
    assert small < 2.1 * 0.35
    assert small < advice["tall", 0.5].setup.grip_m


def test_nobody_touches_near_the_collarbone(advice: Advice) -> None:
    assert all(found.measures.touch_tape_m > 0.06 for found in advice.values())
    assert all(found.setup.touch_m > 0.03 for found in advice.values())


def test_an_arch_brings_the_touch_closer_and_shortens_the_stroke() -> None:
    numbers = {"arm_length": 0.62, "shoulder_breadth": 0.39, "chest_flat": 0.24}
    flat, arch = (suggest(Tape(**numbers, chest_arched=c)) for c in (0.24, 0.30))
    assert arch.measures.range_of_motion_m < flat.measures.range_of_motion_m - 0.03
    assert arch.measures.mean_moment_arm_m < flat.measures.mean_moment_arm_m


def test_past_trouble_narrows_the_grip_and_says_why(middle: Body) -> None:
    found = suggest(middle, comfort=COMFORTS["careful"])
    assert found.setup.grip_m <= 1.5 * middle.biacromial_m + 1e-9
    assert "cautious_grip" in [reason.code for reason in found.binding]


def test_no_rulebook_and_wider_rings_allow_a_wider_grip() -> None:
    broad = Body.from_tape(Tape(arm_length=0.72, shoulder_breadth=0.48))
    free = suggest(broad, gear=Gear(bar=BARS["training"], rules=RULEBOOKS["none"]))
    assert suggest(broad).setup.grip_m <= 0.81 < free.setup.grip_m


def test_no_grip_is_told_at_which_no_hands_were_measured() -> None:
    """81 cm grips put the hands 0.45 reaches outside the shoulders (Sports 2023, 11:154). Past that the index
    of this small lifter would rise again, to 2.9 shoulder breadths."""
    tape = Tape(arm_length=0.518, shoulder_breadth=0.349, chest_flat=0.315)
    body, free = Body.from_tape(tape), Gear(BARS["training"], rules=RULEBOOKS["none"])
    for preference in (0.0, 0.5, 1.0):
        found = suggest(tape, gear=free, preference=preference)
        hand = found.setup.grip_m / 2 + 0.04 - body.half_shoulder_m
        assert hand <= 0.45 * body.reach_m + 1e-9
        assert found.widest_m < Search(Press(body, free)).widest - 0.2
    assert "measured" in [reason.code for reason in found.binding]
    search = Search(Press(body, free))
    assert search.at_nearest(0.95) > search.at_nearest(0.75)


def test_reasons_name_what_stopped_it(advice: Advice) -> None:
    for key, found in advice.items():
        assert found.binding, key
        known = {limit.name for limit in found.measures.limits} | {"effort", "measured", "allowed"}
        assert {reason.code for reason in found.binding} <= known
        assert all(str(reason.said).endswith(".") for reason in found.binding)
    tall = [reason.code for reason in advice["tall", 0.5].binding]
    assert ("ring" in tall) == (advice["tall", 0.5].setup.grip_m > 0.8095)


def test_marks_by_hand(advice: Advice, lifters: dict[str, Body]) -> None:
    """Fingers: a quarter of the hand's breadth each, from rings 81 cm apart; rack: the lockout heights."""
    for name, body in lifters.items():
        found = advice[name, 0.5]
        inside = (0.81 - found.setup.grip_m) / 2
        assert found.marks.fingers_from_ring == pytest.approx(inside / (body.hand_breadth_m / 4))
        assert found.marks.touch_tape_m == found.measures.touch_tape_m
        assert found.marks.rack_height_above_pad_m == found.measures.lockout_height_m
        assert found.marks.rack_height_above_floor_m == pytest.approx(found.measures.lockout_height_m + 0.435)


def test_strongest_has_the_best_index_at_the_nearest_touch(advice: Advice, lifters: dict[str, Body]) -> None:
    """Against 24 other grips, each at its nearest touch and measured in full."""
    for name, body in lifters.items():
        found = advice[name, 0.5]
        press = Press(body, load_kg=found.setup.load_kg)
        search = Search(press)
        strongest = found.strongest
        assert strongest.touch_m == pytest.approx(press.nearest_touch_m(strongest.grip_m), abs=1e-9)
        for i in range(25):
            grip = search.narrowest + (search.widest - search.narrowest) * i / 24
            index = body.reach_m / press.rep(grip, press.nearest_touch_m(grip)).hardest()[0]
            assert index <= strongest.limit_load_index * (1 + 1e-6)


def test_frontier_is_not_dominated_and_holds_the_suggestion(advice: Advice) -> None:
    for key, found in advice.items():
        assert len(found.frontier) >= 2, key
        setups = [(c.grip_m, c.touch_m) for c in found.frontier]
        assert (found.setup.grip_m, found.setup.touch_m) in setups
        for a in found.frontier:
            assert a.limit_load_index >= (1 - INDEX_SLACK) * found.strongest.limit_load_index - 1e-3
            if (a.grip_m, a.touch_m) == (found.setup.grip_m, found.setup.touch_m):
                continue
            for b in found.frontier:
                better = (
                    b.range_of_motion_m < a.range_of_motion_m
                    and b.mean_moment_arm_m < a.mean_moment_arm_m
                    and b.limit_load_index > a.limit_load_index
                )
                assert not better, key


def test_frontier_keeps_the_limits(advice: Advice, lifters: dict[str, Body]) -> None:
    for name, body in lifters.items():
        found = advice[name, 0.5]
        for choice in found.frontier:
            got = assess(body, Setup(choice.grip_m, choice.touch_m, found.setup.load_kg))
            assert got.range_of_motion_m == pytest.approx(choice.range_of_motion_m)
            assert got.mean_moment_arm_m == pytest.approx(choice.mean_moment_arm_m)
            assert got.limit_load_index == pytest.approx(choice.limit_load_index, rel=1e-3)
            assert not [limit for limit in got.limits if not limit.ok], (name, choice)


def test_gain_against_a_present_setup(middle: Body) -> None:
    present = Setup(0.50, 0.19)
    found = suggest(middle, current=present)
    gain, now = found.gain, found.current
    assert gain is not None and now is not None
    assert gain.moment_arm == pytest.approx(found.setup.touch_m / 0.19)
    assert gain.range_of_motion == pytest.approx(found.measures.range_of_motion_m / now.range_of_motion_m)
    assert gain.mean_moment_arm == pytest.approx(found.measures.mean_moment_arm_m / now.mean_moment_arm_m)
    assert gain.same_shoulder_load_kg == pytest.approx(100 * 0.19 / found.setup.touch_m)
    assert gain.by_grip * gain.by_touch == pytest.approx(gain.moment_arm)
    assert gain.by_arch == 1.0  # lies flat
    assert gain.moment_arm < 1 and gain.range_of_motion < 1 and gain.limit_load_index > 1


def test_the_suggestion_against_itself_gains_nothing(middle: Body) -> None:
    first = suggest(middle)
    gain = suggest(middle, current=first.setup).gain
    assert gain is not None
    assert (gain.moment_arm, gain.range_of_motion, gain.limit_load_index, gain.by_touch) == pytest.approx(
        (1.0, 1.0, 1.0, 1.0)
    )


@pytest.mark.sweep
def test_intervals_hold_the_suggestion_and_shrink_with_the_tape() -> None:
    few = suggest(Tape(arm_length=0.62, shoulder_breadth=0.39), with_intervals=True)
    more = suggest(
        Tape(arm_length=0.62, shoulder_breadth=0.39, upper_arm=0.316, chest_flat=0.25, shoulder_height=0.07),
        with_intervals=True,
    )
    assert few.doubt is not None and more.doubt is not None
    value = {
        "grip_m": few.setup.grip_m,
        "touch_m": few.setup.touch_m,
        "touch_tape_m": few.measures.touch_tape_m,
        "tuck_deg": few.measures.tuck_deg,
        "range_of_motion_m": few.measures.range_of_motion_m,
        "mean_moment_arm_m": few.measures.mean_moment_arm_m,
        "lockout_height_m": few.measures.lockout_height_m,
    }
    assert set(value) == set(few.doubt.intervals)
    for name, interval in few.doubt.intervals.items():
        assert interval.low <= value[name] <= interval.high, name
    widths = [
        sum(i.high - i.low for n, i in d.intervals.items() if n in ("touch_m", "range_of_motion_m"))
        for d in (few.doubt, more.doubt)
    ]
    assert widths[1] < widths[0]
    further = few.doubt.next_measurement
    assert further is not None
    assert 0 < further.narrows <= 1
    assert further.key not in ("arm_length", "shoulder_breadth")


def test_a_load_only_changes_how_much_the_arms_weigh(middle: Body) -> None:
    light, heavy = suggest(middle, load_kg=40.0), suggest(middle, load_kg=200.0)
    assert abs(light.setup.grip_m - heavy.setup.grip_m) < 0.04
    assert light.setup.load_kg == 40.0


def test_tape_and_body_agree() -> None:
    tape = Tape(arm_length=0.62, shoulder_breadth=0.39)
    assert suggest(tape).setup == suggest(Body.from_tape(tape)).setup


@pytest.mark.parametrize("preference", [-0.01, 1.01, math.nan, math.inf, "0.5", None], ids=str)
def test_a_preference_out_of_range_says_so(middle: Body, preference: Any) -> None:
    with pytest.raises(InputError) as caught:
        suggest(middle, preference=preference)
    assert (caught.value.field, caught.value.code) == ("preference", "out_of_range")
    assert "0 to 1" in caught.value.message


@pytest.mark.parametrize("load", [0.0, -5.0, math.nan, math.inf, 1e6, "80"], ids=str)
def test_a_load_out_of_range_says_so(middle: Body, load: Any) -> None:
    with pytest.raises(InputError) as caught:
        suggest(middle, load_kg=load)
    assert caught.value.field == "load_kg"


def test_plain_is_json(advice: Advice) -> None:
    plain = json.loads(json.dumps(advice["middle", 0.5].plain(), allow_nan=False))
    asked = {"setup", "measures", "current", "gain", "frontier", "binding", "intervals", "next_measurement"}
    assert asked | {"warnings"} <= set(plain)
    assert set(plain["setup"]) == {"grip_m", "touch_m", "tuck_deg", "marks"}


def broken(found: Suggestion) -> list[str]:
    return [limit.name for limit in found.measures.limits if not limit.ok]


def test_an_unreachable_grip_does_not_end_the_search() -> None:
    """Narrow grips bring the bar too close to the joint for these arms; wider ones keep every limit."""
    found = suggest(Tape(arm_length=0.66, shoulder_breadth=0.40, chest_flat=0.18, shoulder_height=0.10))
    assert broken(found) == []
    assert 1.65 * 0.40 < found.setup.grip_m < 2.0 * 0.40


def test_the_touch_stays_on_the_chest() -> None:
    """Long arms want to touch past the end of the chest at most grips; also rounded to what can be set it is
    not left unsaid."""
    tape = Tape(arm_length=0.84, shoulder_breadth=0.44)
    found = suggest(tape)
    assert broken(found) == []
    press = Press(Body.from_tape(tape), load_kg=found.setup.load_kg)
    for unit in ("cm", "in"):
        got = assess_press(press, that_can_be_set(press, found.setup, unit))
        past = got.touch_m - press.chest.top_y_m - PAST_THE_TOP_M
        assert past < ROUNDING_M or any(limit.broken for limit in got.limits)


def test_a_millimetre_of_chest_does_not_throw_the_grip() -> None:
    """Where the shortest arm and the shortest stroke are 10 cm of grip apart the dial goes between, not to an
    end that a millimetre changes."""
    grips = [
        suggest(
            Tape(
                arm_length=0.72, shoulder_breadth=0.405, shoulder_height=0.055, forearm_to_grip=0.36,
                span=2.013, hand_breadth=0.091, chest_flat=chest,
            ),
            gear=Gear(BARS["training"], rules=RULEBOOKS["none"]),
            comfort=COMFORTS["loose"],
            preference=0.733,
        ).setup.grip_m
        for chest in (0.276, 0.277, 0.278)
    ]  # fmt: skip
    assert max(grips) - min(grips) < 0.003


@pytest.mark.sweep
def test_the_dial_goes_smoothly_from_end_to_end(middle: Body) -> None:
    search = [Search(Press(middle, load_kg=80.0), p / 20) for p in range(21)]
    grips = [one.solve()[0] for one in search]
    assert grips == sorted(grips, reverse=True)
    assert grips[0] - grips[-1] > 0.05
    assert max(a - b for a, b in pairwise(grips)) < 0.25 * (grips[0] - grips[-1])


def test_what_no_setup_can_keep_is_said() -> None:
    """Arms too long for the trunk: with careful shoulders every touch is off the chest. The nearest is given,
    the limit named first, and by brute force no grip and touch keeps every limit."""
    tape = Tape(arm_length=0.90, shoulder_breadth=0.28, chest_flat=0.25, shoulder_height=0.02, stature=1.5)
    found = suggest(tape, comfort=COMFORTS["careful"])
    assert broken(found) == ["chest"]
    assert found.binding[0].code == "chest" and "No setup" in str(found.binding[0].said)
    assert found.plain()["binding"][0]["code"] == "chest"  # type: ignore[index]
    press = Press(Body.from_tape(tape), comfort=COMFORTS["careful"])
    search = Search(press)
    for i in range(12):
        grip = search.narrowest + (search.widest - search.narrowest) * i / 11
        for j in range(9):
            try:
                assert not assess_press(press, Setup(grip, search.furthest_m * j / 8)).ok
            except InfeasibleError:
                continue


def test_arms_too_long_for_the_chest_lean_further_than_planned() -> None:
    """No touch on this chest keeps the forearm within the 5 degrees that are planned for; within the 10 that
    are allowed one does."""
    tape = Tape(arm_length=0.90, shoulder_breadth=0.40, chest_flat=0.25, shoulder_height=0.02)
    found = suggest(tape)
    assert broken(found) == []
    press = Press(Body.from_tape(tape), load_kg=found.setup.load_kg)
    planned = press.comfort.stack_aim_rad
    assert found.setup.touch_m < min(press.nearest_touch_m(0.4 + 0.01 * i, planned) for i in range(42))
    leans = [press.aim_rad(0.4 + 0.01 * i) for i in range(42)]
    assert all(planned < lean <= press.comfort.stack_rad for lean in leans)
    assert found.setup.touch_m == pytest.approx(press.chest.end_y_m, abs=1e-6)


def test_the_elbow_rule_holds_where_the_chest_is_deep() -> None:
    """Lower on this chest the elbows of such short arms would come over the shoulders: the touch stops."""
    tape = Tape(arm_length=0.45, shoulder_breadth=0.40, chest_flat=0.35, shoulder_height=0.02)
    ruled, free = (
        suggest(tape, preference=0.0),
        suggest(tape, gear=Gear(rules=RULEBOOKS["spacing"]), preference=0.0),
    )
    assert broken(ruled) == broken(free) == []
    assert ruled.measures.elbow_height_above_pad_m < free.measures.elbow_height_above_pad_m - 0.01


def test_no_setup_at_all_is_a_reason() -> None:
    """The bar would lie lower than the shoulder joints."""
    with pytest.raises(InfeasibleError) as none:
        suggest(Tape(arm_length=0.66, shoulder_breadth=0.40, chest_flat=0.18, shoulder_height=0.18))
    assert "lock" in none.value.reason and "Measure" in none.value.reason


def test_minimum_of_a_parabola_a_kink_and_an_end() -> None:
    assert minimum(lambda x: (x - 0.3) ** 2, 0.0, 1.0, 1e-7)[0] == pytest.approx(0.3, abs=1e-5)
    assert minimum(lambda x: abs(x - 0.7), 0.0, 1.0, 1e-7)[0] == pytest.approx(0.7, abs=1e-5)
    assert minimum(lambda x: x, 0.0, 1.0, 1e-6) == (0.0, 0.0)
    assert minimum(lambda x: -x, 0.0, 1.0, 1e-6) == (1.0, -1.0)


def test_crossing_stays_inside() -> None:
    """2 - x^2 is positive up to the square root of 2."""
    found = crossing(lambda x: 2 - x * x, 0.0, 5.0)
    assert found == pytest.approx(math.sqrt(2), abs=1e-5)
    assert 2 - found * found >= 0
    assert crossing(lambda x: 2 - x * x, 0.0, 1.0) == 1.0  # never reached
    assert crossing(lambda x: -1.0, 0.0, 1.0) == 0.0  # broken at the start


def test_a_present_touch_on_the_shoulder_line_has_a_gain() -> None:
    """There is no arm at the chest to compare with: its ratio is 1, and nothing divides by zero."""
    lifter = Tape(arm_length=0.62, shoulder_breadth=0.39)
    gain = suggest(lifter, current=Setup(0.60, 0.0)).gain
    assert gain is not None
    assert gain.moment_arm == 1 and gain.same_shoulder_load_kg == 100
    assert 0.1 < gain.mean_moment_arm < 10
    assert 0.5 < gain.range_of_motion < 1.2
