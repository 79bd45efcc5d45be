"""The squat: published studies K1 to K13 and the facts of the trade."""

from __future__ import annotations

import functools
import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from shortlever import Tape
from shortlever.lifts.legs.body import Standing
from shortlever.lifts.squat.gear import DEEPER_THAN_RULE_M
from shortlever.lifts.squat.library import squat_of, suggest
from shortlever.lifts.squat.limits import Comfort
from shortlever.lifts.squat.measure import Assessment, Setup, assess_squat
from shortlever.lifts.squat.squat import Squat
from shortlever.lifts.squat.valley import Bottoms
from shortlever.person.population import Estimate
from tests.authorities import reduce_ansur
from tests.authorities.rows import Case, Row, published

MAN, WOMAN = "average man", "average woman"
FEET = Setup(stance_m=0.45, turn_out_deg=25.0)
LOAD_KG = 100.0
# What lifters of a study did was not inside our comfort limits of hips and shin, which are practice.
FREE = Comfort("free", spread_rad=1.2, evert_rad=1.2, apart_rad=1.2)
# The thigh's axis in the study's two depths: the back of the thigh level puts its axis about 10 degrees up,
# deep is a knee bend of about 130 degrees (memory).
PARALLEL_RAD, DEEP_RAD = math.radians(10), math.radians(-10)
PEOPLE = 300


@functools.cache
def body(sex: str = "male") -> Standing:
    return Standing.from_tape(Tape(sex=sex))


def squat(lifter: Standing | None = None, **more: object) -> Squat:
    how = {"load_kg": LOAD_KG, "bar_position": "high", "comfort": FREE} | more
    return squat_of(lifter or body(), **how)  # type: ignore[arg-type]


def got(one: Squat, setup: Setup = FEET) -> Assessment:
    return assess_squat(one, setup)


def stiff(degrees: float) -> Standing:
    return replace(body(), dorsiflexion_rad=math.radians(degrees))


def percent(ratio: float) -> str:
    return f"{100 * (ratio - 1):+.0f} %"


def board_rows() -> Iterator[Row]:
    """A board at the toes: the same feet with the knees no further than the toes."""
    entry = published("squats")["fry_2003"]
    case, one = Case(entry), squat(depth="level")
    free = got(one)
    low, high = free.sit_back_m, 0.6
    for _ in range(40):  # the hips as far back as brings the knee caps over the toes
        middle = (low + high) / 2
        past = got(one, replace(FEET, sit_back_m=middle)).marks.knee_past_toes_m
        low, high = (middle, high) if past > 0 else (low, middle)
    held = got(one, replace(FEET, sit_back_m=high))
    knee = held.knee_moment_n_m / free.knee_moment_n_m
    yield case.near(
        "K1-knee", "knee moment with a board", MAN, entry["knee_change"], entry["tolerance"], knee - 1, ""
    )
    more = held.trunk_lean_deg - free.trunk_lean_deg
    text = f"{percent(held.hip_moment_n_m / free.hip_moment_n_m)}, {more:+.0f}°"
    ok = held.hip_moment_n_m > free.hip_moment_n_m and held.trunk_lean_deg > free.trunk_lean_deg
    yield case.sign("K1-hip", "hip moment and lean with a board", MAN, "both grow", text, ok)


def depth_rows() -> Iterator[Row]:
    """Deep against parallel, the hips where effort is least at either."""
    entry = published("squats")["wretenberg_1996"]
    case = Case(entry)
    parallel, deep = (got(_deep(thigh)) for thigh in (PARALLEL_RAD, DEEP_RAD))
    for name, value in (("knee", "knee_moment_n_m"), ("hip", "hip_moment_n_m")):
        ratio = getattr(deep, value) / getattr(parallel, value)
        what = f"{name} moment, thigh 10° below level against 10° above"
        yield case.near(f"K2-{name}", what, MAN, entry[f"{name}_ratio"], entry["tolerance"], ratio, "")


def _deep(thigh_rad: float) -> Squat:
    """A squat with the thigh's axis so: of a body whose rule would ask for it."""
    low = -body().thigh_m * math.sin(thigh_rad) - DEEPER_THAN_RULE_M
    return squat(replace(body(), crease_m=body().knee_top_m + low))


def shoe_rows() -> Iterator[Row]:
    """A foot 3.5 degrees steeper, on ankles of three kinds."""
    entry = published("squats")["sato_2012"]
    case = Case(entry)
    for ankle in (40, 30, 25):
        lifter = stiff(ankle)
        one = squat(lifter)
        heel = 0.741 * lifter.foot_m * math.sin(math.radians(entry["foot_deg"]))
        flat, raised = got(one), got(one, replace(FEET, heel_m=heel))
        sines = [math.sin(math.radians(a.trunk_lean_deg)) for a in (flat, raised)]
        moved = lifter.trunk_m * (sines[1] - sines[0])
        what = f"trunk forward in weightlifting shoes, ankle {ankle}°"
        row = case.near(f"K3-{ankle}", what, MAN, entry["trunk_change_m"], entry["tolerance_m"], moved)
        yield row
    case = Case(published("squats")["wedges"])
    leans = {
        ankle: [got(squat(stiff(ankle)), replace(FEET, heel_m=h)).trunk_lean_deg for h in (0.0, 0.025)]
        for ankle in (45, 22)
    }
    free, bound = (leans[a][1] - leans[a][0] for a in (45, 22))
    yield case.sign(
        "K4",
        "lean with a wedge of 2.5 cm, free and stiff ankle",
        MAN,
        "either, by the lifter",
        f"{free:+.1f}° free, {bound:+.1f}° stiff",
        abs(free) < 1 and bound < -2,
    )


def stance_rows() -> Iterator[Row]:
    """Narrow against wide stances."""
    case = Case(published("squats")["swinton_2012"])
    one = squat(depth="level")
    narrow, wide = got(one, Setup(0.483, 20.0)), got(one, Setup(0.80, 40.0))
    values = {
        "spine": (narrow.back_moment_n_m, wide.back_moment_n_m),
        "shin": (narrow.shin_deg, wide.shin_deg),
        "ankle": (100.0, 100.0 * math.cos(math.radians(40)) / math.cos(math.radians(20))),
    }
    for name in ("spine", "shin"):
        a, b = values[name]
        what, text = f"{name}, wide against narrow", f"{a:.0f} -> {b:.0f}"
        yield case.sign(f"K5-{name}", what, MAN, "smaller", text, b < a)
    # along the foot the pressure stands at its middle in both
    yield case.sign(
        "K5-ankle", "ankle moment along the foot, wide against narrow", MAN, "smaller", "the same", False
    )
    case = Case(published("squats")["demers_2018"])
    close, apart = got(one, Setup(0.30, 10.0)), got(one, Setup(0.55, 20.0))
    for name, value in (("hip", "hip_deg"), ("knee", "knee_deg"), ("ankle", "ankle_deg")):
        a, b = getattr(close, value), getattr(apart, value)
        yield case.sign(
            f"K6-{name}", f"{name} angle, narrow against wide", MAN, "larger", f"{b:.0f}° -> {a:.0f}°", a > b
        )
    base = one.body
    trunk = got(squat(replace(base, trunk_m=base.trunk_m + 0.03, neck_m=base.neck_m + 0.03), depth="level"))
    thigh = got(squat(replace(base, thigh_m=base.thigh_m + 0.02, shank_m=base.shank_m - 0.02), depth="level"))
    usual = got(one)
    for name, other, less in (("trunk", trunk, True), ("thigh", thigh, False)):
        ok = all((getattr(other, v) < getattr(usual, v)) == less for v in ("ankle_deg", "knee_deg"))
        text = ", ".join(f"{getattr(other, v) - getattr(usual, v):+.1f}°" for v in ("ankle_deg", "knee_deg"))
        says = "lower ankle and knee angles" if less else "higher ankle and knee angles"
        yield case.sign(f"K6-{name}", f"a longer {name}", MAN, says, text, ok)
    case = Case(published("squats")["larsen_2021"])
    share = {
        (bar, width): _hip_share(got(squat(bar_position=bar), setup))
        for bar in ("high", "low")
        for width, setup in (("narrow", Setup(0.35, 15.0)), ("wide", Setup(0.60, 35.0)))
    }
    most, least = max(share, key=share.__getitem__), min(share, key=share.__getitem__)
    text = f"most {' '.join(most)}, least {' '.join(least)}"
    says = "most low wide, least high narrow"
    yield case.sign("K11-share", "hip's share of the moments, four ways", MAN, says, text, text == says)


def _hip_share(one: Assessment) -> float:
    return one.hip_moment_side_n_m / (one.hip_moment_side_n_m + one.knee_moment_side_n_m)


def people_rows() -> Iterator[Row]:
    """The lean of people of the survey with ankles at random, explained by ankle and by segment ratios."""
    entry = published("squats")["fuglsang_2017"]
    case, rng = Case(entry), np.random.default_rng(17)
    data = reduce_ansur.people("male")
    chosen = data[rng.permutation(len(data))[:PEOPLE]]
    leans, ankles, ratios = [], [], []
    for person in chosen:
        ankle = math.radians(33 + 7 * float(rng.standard_normal()))
        lifter = _person(person, "male", ankle)
        one = squat(lifter, depth="level", load_kg=lifter.body_mass_kg)
        leans.append(got(one).trunk_lean_deg)
        ankles.append(ankle)
        ratios.append((lifter.trunk_m / lifter.thigh_m, lifter.thigh_m / lifter.shank_m))
    y, x, r = np.array(leans), np.array(ankles), np.array(ratios)
    alone, both = _explained(y, x[:, None]), _explained(y, np.column_stack([x, r]))
    body_ = f"{PEOPLE} men"
    yield case.near(
        "K7-ankle", "lean explained by the ankle", body_, entry["r_squared"], entry["tolerance"], alone, ""
    )
    text = f"{both - alone:+.2f}"
    yield case.sign(
        "K7-ratios", "what segment ratios add", body_, "little (under 0.1)", text, both - alone < 0.1
    )
    case = Case(published("squats")["mckean_2012"])
    leans_ = [
        got(squat(body(sex), depth="level", load_kg=body(sex).body_mass_kg)).trunk_lean_deg
        for sex in ("male", "female")
    ]
    text = f"{leans_[0]:.1f}° and {leans_[1]:.1f}°"
    yield case.sign(
        "K8",
        "lean of men and women",
        f"{MAN}, {WOMAN}",
        "men by more than 1°",
        text,
        leans_[0] > leans_[1] + 1,
    )


def _person(row: np.ndarray, sex: str, ankle_rad: float) -> Standing:  # type: ignore[type-arg]
    from shortlever.lifts.legs.body import standing

    found = Estimate(row.tolist(), [], 1.0 if sex == "male" else 0.0)
    return replace(standing(found, Tape(sex=sex)), dorsiflexion_rad=ankle_rad)


def _explained(y: np.ndarray, x: np.ndarray) -> float:  # type: ignore[type-arg]
    design = np.column_stack([np.ones(len(y)), x])
    left = y - design @ np.linalg.lstsq(design, y, rcond=None)[0]
    return float(1 - left.var() / y.var())


def moment_rows() -> Iterator[Row]:
    """Hip against knee, low against high bars, load and depth."""
    entry = published("squats")["choe_2021"]
    case, usual = Case(entry), got(squat())
    ratio = usual.hip_moment_n_m / usual.knee_moment_n_m
    tolerance = entry["hip_to_knee_tolerance"]
    yield case.near("K9-ratio", "hip to knee moment", MAN, entry["hip_to_knee"], tolerance, ratio, "")
    tolerance, share = entry["hip_work_tolerance"], usual.work_share["hip"]
    yield case.near("K9-work", "hip's share of the work", MAN, entry["hip_work"], tolerance, share, "")
    case = Case(published("squats")["tillaar_2021"])
    first, later = usual.path[0], usual.path[4]
    ok = later.trunk_lean_deg > first.trunk_lean_deg and later.hip_arm_m > first.hip_arm_m
    ok = ok and later.knee_arm_m < first.knee_arm_m
    text = (
        f"{later.trunk_lean_deg - first.trunk_lean_deg:+.1f}°, {later.hip_arm_m - first.hip_arm_m:+.3f} m, "
    )
    text += f"{later.knee_arm_m - first.knee_arm_m:+.3f} m"
    yield case.sign("K10", f"lean, hip and knee arm {later.height_m:.2f} m up", MAN, "up, up, down", text, ok)
    case = Case(published("squats")["tillaar_2020"])
    bars = [got(squat(bar_position=name)) for name in ("high", "low")]
    far = max(abs(getattr(bars[0], v) - getattr(bars[1], v)) for v in ("hip_deg", "knee_deg", "ankle_deg"))
    yield case.within("K11-joints", "joint angles, high against low bar", MAN, 0.0, 5.0, far, "°")
    back = bars[1].back_moment_n_m / bars[0].back_moment_n_m
    yield case.sign("K11-back", "L5/S1 moment, low against high bar", MAN, "smaller", percent(back), back < 1)
    yield from _effort_rows()
    case = Case(published("squats")["practice"])
    long = replace(body(), thigh_m=body().thigh_m + 0.02, shank_m=body().shank_m - 0.02)
    more = got(squat(long)).trunk_lean_deg - usual.trunk_lean_deg
    yield case.sign(
        "K13-thighs", "lean with thighs 2 cm longer, shanks shorter", MAN, "more", f"{more:+.1f}°", more > 0
    )
    setup = suggest(Tape(sex="male"), bar_position="high").setup
    text = f"{setup.stance_m:.2f} m, {setup.turn_out_deg:.0f}°"
    ok = 0.40 <= setup.stance_m <= 0.75 and 20 <= setup.turn_out_deg <= 45
    yield case.sign(
        "K13-setup", "suggested ankles apart and toe-out", MAN, "0.40 to 0.75 m, 20 to 45°", text, ok
    )


def _effort_rows() -> Iterator[Row]:
    case = Case(published("squats")["bryanton_2012"])
    lifter = body("female")
    light, heavy = (_parts(squat(lifter, load_kg=load)) for load in (45.0, 81.0))
    high = _parts(squat(lifter, load_kg=60.0), math.radians(30))
    deep = _parts(squat(lifter, load_kg=60.0))
    for name, i, by_load, by_depth in (
        ("hip", 0, True, True),
        ("knee", 1, False, True),
        ("ankle", 5, True, False),
    ):
        for how, before, after, grows in (("load", light, heavy, by_load), ("depth", high, deep, by_depth)):
            more = after[i] / before[i]
            ok = more > 1.03 if grows else more < 1.03
            what = f"{name} moment over strength, more {how}"
            yield case.sign(
                f"K12-{name}-{how}", what, WOMAN, "grows" if grows else "does not", percent(more), ok
            )


def _parts(one: Squat, thigh_rad: float | None = None) -> tuple[float, ...]:
    """Moment over strength of each joint at the bottom, or on the way up with the thigh so steep."""
    stance = one.on(FEET.stance_m, FEET.turn_rad)
    valley = Bottoms(one).valley(stance)
    assert valley is not None
    if thigh_rad is None:
        return valley.pose.bears.parts
    rep = stance.rep(valley.pose, 60)
    return min(rep, key=lambda pose: abs(pose.thigh_rad - thigh_rad)).bears.parts


TABLE = "squats"
GROUPS = (board_rows, depth_rows, shoe_rows, stance_rows, people_rows, moment_rows)
