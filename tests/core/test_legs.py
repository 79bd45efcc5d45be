"""What the lifts from the legs share: the body from a tape, the knee in closed form, statics by hand."""

from __future__ import annotations

import math
import random
from dataclasses import fields, replace

import pytest

from shortlever import Tape
from shortlever.lifts.legs.body import MEN, WOMEN, Segments, Standing, lunge_rad
from shortlever.lifts.legs.decision import broken_now, decide, of_feet
from shortlever.lifts.legs.leg import Feet, Leg, Vector
from shortlever.lifts.legs.statics import HAMSTRINGS, PUSH, bearing
from shortlever.lifts.legs.strength import FLOOR, HIP_EXTENSION, KNEE_EXTENSION, share
from shortlever.lifts.limit import Limit
from shortlever.say import Said

MAN = Standing.from_tape(Tape(stature=1.756, body_mass=85.5, sex="male"))
WOMAN = Standing.from_tape(Tape(stature=1.63, body_mass=66, sex="female"))
FEET = Feet(stance_m=0.45, turn_rad=math.radians(25), heel_m=0.02, sole_m=0.01)


def apart(a: Vector, b: Vector) -> float:
    return math.dist(a, b)


@pytest.mark.parametrize("parts", [MEN, WOMEN])
def test_the_parts_of_a_body_weigh_all_of_it(parts: Segments) -> None:
    """de Leva 1996: the shares of body mass sum to one (to the rounding of the table)."""
    legs = parts.thigh + parts.shank + parts.foot
    trunk = parts.upper_trunk + parts.middle_trunk + parts.lower_trunk
    assert 2 * (legs + parts.arm) + trunk + parts.head == pytest.approx(1.0, abs=0.0015)


def test_an_average_body_is_as_long_as_the_table_says() -> None:
    """ANSUR II, men: trochanterion 0.901, epicondyle 0.492, malleolus 0.073, acromion 1.441 m (means)."""
    man = Standing.from_tape(Tape(sex="male"))
    assert man.thigh_m == pytest.approx(0.9009 - 0.4917, abs=2e-4)
    assert man.shank_m == pytest.approx(0.4917 - 0.0729, abs=2e-4)
    assert man.trunk_m == pytest.approx(1.4407 - 0.9009, abs=2e-4)
    assert 0.015 < man.below_knee_m < 0.03  # hip joint below the knee's with crease and knee top level


@pytest.mark.parametrize(
    ("key", "low", "high", "attribute", "rises"),
    [
        ("hip_bone_height", 0.86, 0.94, "thigh_m", True),
        ("knee_bump_height", 0.46, 0.52, "shank_m", True),
        ("shoulder_tip_height", 1.40, 1.48, "trunk_m", True),
        ("knee_to_wall", 0.06, 0.14, "dorsiflexion_rad", True),
        ("foot_length", 0.25, 0.29, "foot_m", True),
        ("hip_breadth", 0.31, 0.38, "half_hip_m", True),
        ("sitting_height", 0.88, 0.96, "thigh_m", False),
        ("crotch_height", 0.80, 0.89, "thigh_m", True),
    ],
)
def test_a_tape_number_moves_what_it_measures(
    key: str, low: float, high: float, attribute: str, rises: bool
) -> None:
    def with_(value: float) -> float:
        body = Standing.from_tape(Tape(**{"stature": 1.756, "sex": "male", key: value}))
        return float(getattr(body, attribute))

    assert (with_(low) < with_(high)) == rises


def test_a_hip_bone_is_harder_to_feel_and_counts_less() -> None:
    """10 mm of error against 5: an estimate follows a number of 3 cm more by less than that."""
    more = {
        key: getattr(Standing.from_tape(Tape(sex="male", stature=1.756, **{key: value + 0.03})), name)
        - getattr(Standing.from_tape(Tape(sex="male", stature=1.756, **{key: value})), name)
        for key, value, name in (
            ("hip_bone_height", 0.90, "thigh_m"),
            ("foot_length", 0.27, "foot_m"),
        )
    }
    assert 0.01 < more["hip_bone_height"] < more["foot_length"] < 0.03


def test_without_a_sex_a_body_lies_between_both() -> None:
    both = Standing.from_tape(Tape(stature=1.70))
    man, woman = (Standing.from_tape(Tape(stature=1.70, sex=sex)) for sex in ("male", "female"))
    for name in ("thigh_m", "half_hip_m"):
        low, high = sorted((getattr(man, name), getattr(woman, name)))
        assert low < getattr(both, name) < high
    assert MEN.thigh < both.segments.thigh < WOMEN.thigh


def test_knee_to_wall_is_the_geometry_of_the_lunge() -> None:
    rng = random.Random(4)
    for _ in range(50):
        shank, foot, cap = rng.uniform(0.33, 0.5), rng.uniform(0.21, 0.31), rng.uniform(0.04, 0.07)
        angle, far = rng.uniform(0.5, 1.0), 0.75 * foot
        distance = shank * math.sin(angle) + cap * math.cos(angle) - far
        assert lunge_rad(shank, foot, distance, cap) == pytest.approx(angle, abs=1e-9)
    # lunge practice says about 3.6 degrees a centimetre (common practice, no source)
    a, b = (math.degrees(lunge_rad(0.419, 0.271, d, 0.055)) for d in (0.10, 0.11))
    assert b - a == pytest.approx(1.8, abs=0.3)


@pytest.mark.parametrize("body", [MAN, WOMAN], ids=["man", "woman"])
def test_a_knee_keeps_both_bones_and_bends_over_the_toes(body: Standing) -> None:
    rng, found = random.Random(7), 0
    for _ in range(300):
        feet = Feet(rng.uniform(0.2, 0.9), rng.uniform(0, 0.9), rng.choice([0.0, 0.03]), 0.01)
        leg = Leg(body, feet)
        hip = (body.half_hip_m, rng.uniform(-0.45, 0.15), rng.uniform(0.2, 1.0))
        knee = leg.knee(hip)
        if knee is None:
            assert not abs(body.shank_m - body.thigh_m) < apart(hip, leg.ankle) < body.shank_m + body.thigh_m
            continue
        found += 1
        assert apart(knee.at, leg.ankle) == pytest.approx(body.shank_m, abs=1e-12)
        assert apart(knee.at, hip) == pytest.approx(body.thigh_m, abs=1e-12)
        # in the plane of the hip-ankle line and the toes: their spat product is nothing
        a, b = ([p - q for p, q in zip(end, leg.ankle, strict=True)] for end in (hip, knee.at))
        volume = leg.sin * (a[1] * b[2] - a[2] * b[1]) + leg.cos * (a[2] * b[0] - a[0] * b[2])
        assert volume == pytest.approx(0.0, abs=1e-12)
    assert found > 200


def test_the_hip_over_a_leaning_shin_has_that_knee() -> None:
    """``hip_over_shin`` goes the other way: its hip gives back the shin's lean and the height."""
    rng, found = random.Random(8), 0
    for _ in range(300):
        leg = Leg(MAN, Feet(rng.uniform(0.2, 0.8), rng.uniform(0, 0.8), 0.0, 0.01))
        shin, rise = rng.uniform(0.0, 0.9), rng.uniform(-0.06, 0.1)
        hip = leg.hip_over_shin(shin, rise)
        if hip is None:
            continue
        knee = leg.knee(hip)
        if knee is None:
            continue
        found += 1
        assert hip[0] == pytest.approx(MAN.half_hip_m)
        assert knee.shin_rad == pytest.approx(shin, abs=1e-9)
        assert hip[2] - knee.at[2] == pytest.approx(rise, abs=1e-9)
    assert found > 200


def test_a_heel_frees_the_ankle_by_its_slope() -> None:
    flat, raised = (Leg(MAN, Feet(0.45, 0.4, heel)) for heel in (0.0, 0.02))
    slope = math.asin(0.02 / (0.741 * MAN.foot_m))
    assert raised.most_shin_rad - flat.most_shin_rad == pytest.approx(slope)
    assert raised.ankle[2] - flat.ankle[2] == pytest.approx(0.02 * (1 - 0.25 / 0.741))


def test_strength_is_the_published_fit_near_its_peak_and_never_nothing() -> None:
    assert share(HIP_EXTENSION, 0.932) == pytest.approx(HIP_EXTENSION[0], rel=0.01)
    assert share(KNEE_EXTENSION, 1.2035) == pytest.approx(KNEE_EXTENSION[0], rel=0.01)
    for angle in (-1.0, 0.0, 2.0, 2.8):
        assert share(HIP_EXTENSION, angle) >= FLOOR * HIP_EXTENSION[0]


def flat_footed(body: Standing) -> tuple[Leg, Vector, Vector]:
    """Feet straight ahead under the hips: a squat in one plane."""
    leg = Leg(body, Feet(2 * body.half_hip_m, 0.0))
    hip = leg.hip_over_shin(math.radians(30), -0.02)
    assert hip is not None
    knee = leg.knee(hip)
    assert knee is not None
    return leg, knee.at, hip


def test_moments_in_one_plane_are_force_times_arm() -> None:
    nothing = Segments(**dict.fromkeys((f.name for f in fields(Segments)), 0.0))
    leg, knee, hip = flat_footed(replace(MAN, segments=nothing))
    got = bearing(leg, knee, hip, math.radians(40), 2000.0, 300.0, leg.middle_m)
    assert got.half_n == 1000.0
    assert got.hip == pytest.approx(1000 * (leg.middle_m - hip[1]))
    assert got.knee == pytest.approx(1000 * (knee[1] - leg.middle_m))
    assert got.hip == pytest.approx(got.hip_sagittal) and got.knee == pytest.approx(got.knee_sagittal)
    assert got.ankle == pytest.approx(1000 * leg.middle_m)
    assert got.back == 300.0
    assert got.adduction == pytest.approx(-got.sideways * 1000 * hip[2], rel=1e-6) or got.sideways == 0


def test_the_legs_own_weight_eases_the_hip() -> None:
    leg, knee, hip = flat_footed(MAN)
    bare = Leg(replace(MAN, segments=Segments(**dict.fromkeys(vars(MEN), 0.0))), leg.feet)
    with_, without = (bearing(one, knee, hip, 0.7, 2000.0, 0.0, leg.middle_m) for one in (leg, bare))
    assert with_.hip < without.hip


def test_effort_is_least_at_the_share_that_is_pushed_sideways(monkeypatch: pytest.MonkeyPatch) -> None:
    """A share that is held nearer to nothing costs more, by the same moments."""
    leg = Leg(MAN, Feet(0.6, 0.5))
    hip = leg.hip_over_shin(0.45, -0.02)
    assert hip is not None
    knee = leg.knee(hip)
    assert knee is not None
    got = bearing(leg, knee.at, hip, 0.7, 2000.0, 300.0, leg.middle_m)
    assert 0 < abs(got.sideways) <= PUSH
    assert got.effort == pytest.approx(math.sqrt(sum(p * p for p in got.parts)))
    costs = [got.effort]
    for held in (0.5 * abs(got.sideways), 0.0):
        monkeypatch.setattr("shortlever.lifts.legs.statics.PUSH", held)
        other = bearing(leg, knee.at, hip, 0.7, 2000.0, 300.0, leg.middle_m)
        assert abs(other.sideways) == pytest.approx(held)
        costs.append(other.effort)
    assert costs == sorted(costs) and costs[2] > costs[0]


def test_hamstrings_bend_the_knee_for_nothing_up_to_a_share_of_the_hip() -> None:
    leg, knee, hip = flat_footed(MAN)
    got = bearing(
        leg, knee, hip, 0.7, 2000.0, 0.0, leg.middle_m + 0.25
    )  # pressure far ahead: the knee flexes
    assert got.knee < 0
    assert got.parts[1] <= 0
    assert (got.parts[1] == 0) == (-got.knee <= HAMSTRINGS * got.hip)


@pytest.mark.parametrize(
    ("now", "given", "stay", "picked", "code", "first"),
    [
        ((0.38, 20.0), None, False, False, "stance", "Wider stance: heels 38.0 cm → 47.0 cm."),
        ((0.38, 20.0), {"current_turn_out": 0.35}, False, False, "turn", "Toes further out: 20° → 35°."),
        ((0.50, 60.0), None, False, False, "turn", "Toes less far out: 60° → 35°."),
        ((0.38, 20.0), None, True, False, "stay", "Stay where you are."),
        ((0.38, 20.0), None, True, True, "stance", "Wider stance: heels 38.0 cm → 47.0 cm."),
        ((0.468, 34.0), None, False, False, "stay", "Stay where you are."),
        ((0.468, 34.0), None, False, True, "", ""),
    ],
)
def test_a_decision_says_the_largest_change_of_what_was_given_or_stay(
    now: tuple[float, float], given: dict[str, float] | None, stay: bool, picked: bool, code: str, first: str
) -> None:
    changes = of_feet((now[0], 0.47), (now[1], 35.0))
    found = decide(changes, given, [], stay=stay, picked=picked)
    assert found.code == code and [str(one) for one in found.said][:1] == ([first] if first else [])


def test_a_present_setup_that_breaks_a_limit_is_not_one_to_stay_in() -> None:
    lean = Limit("lean", False, -5.0, "deg", Said("squat_limit_lean", {"cap_deg": 60.0}))
    assert broken_now([lean], []) == [lean] and broken_now([lean], [lean]) == []
    found = decide(of_feet((0.38, 0.47), (20.0, 35.0)), None, [lean], stay=True, picked=False)
    assert found.code == "stance" and "breaks a limit" in str(found.because[0])
