"""The suggestion: feet from the search, hips where the dial stands, reasons, and what is nearly free."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from shortlever.errors import InfeasibleError
from shortlever.lifts.legs import advice as legs
from shortlever.lifts.legs.advice import CHOICES, Band, Choice, Step, check_preference
from shortlever.lifts.legs.marks import heels_m
from shortlever.lifts.limit import Reason
from shortlever.lifts.squat.measure import Assessment, Setup, assess_squat, bottom_of
from shortlever.lifts.squat.search import DEFAULT_PREFERENCE, SLACK, WORTH_A_HEEL_M, Found, Search
from shortlever.lifts.squat.squat import Pose, Squat, Stance
from shortlever.lifts.squat.valley import EDGE_RAD, FLAT, dialled
from shortlever.numerics import crossing
from shortlever.say import Said

CLOSE_RAD = 2e-3  # of a limit, under which it is said to have stopped the suggestion
UNDER_THE_HIPS_M = 0.26  # the narrowest stance of a band
MOST_BAND_RAD = math.radians(30)
ROUGH = 3e-3  # of a band's ends: m, rad or effort


@dataclass(frozen=True)
class Gain(legs.Gain):
    """That of every lift from the legs, and the knees' arm."""

    knee_arm: float


@dataclass(frozen=True, kw_only=True)
class Suggestion(legs.Suggestion[Setup, Assessment, Gain]):
    """That of every lift from the legs, and: ``strongest_stance_m``: ankles apart where effort is least;
    ``beside``: the bar carried the other way with the same feet."""

    strongest_stance_m: float
    beside: Assessment | None = None

    def told(self) -> dict[str, object]:
        """The suggestion as plain parts, with its sentences still to be said."""
        return super().told() | {
            "strongest_stance_m": self.strongest_stance_m,
            "beside": self.beside.told() if self.beside else None,
        }


def suggest_squat(
    squat: Squat,
    preference: float = DEFAULT_PREFERENCE,
    current: Setup | None = None,
    *,
    with_frontier: bool = True,
) -> Suggestion:
    """The suggestion for one squat. Raises InputError for a preference outside 0 to 1, InfeasibleError where
    legs and balance hold no bottom at all."""
    check_preference(preference, Said("squat_preference_remedy"))
    search = Search(squat)
    strongest, found = search.solve()
    stance = search.stance_of(found)
    flat = search.bottoms.flat(stance, found.valley)
    setup = setup_of(found, stance, flat, preference)
    measures = assess_squat(squat, setup)
    now = assess_squat(squat, current) if current else None
    return Suggestion(
        setup=setup,
        measures=measures,
        binding=tuple(reasons(search, strongest, found, measures)),
        frontier=tuple(frontier(found, stance, flat)) if with_frontier else (),
        bands=tuple(bands(search, strongest, found, stance, flat)) if with_frontier else (),
        preference=preference,
        strongest_stance_m=strongest.stance_m,
        beside=beside(squat, setup) if with_frontier else None,
        current=now,
        gain=gain_of(squat, measures, now) if now else None,
    )


def setup_of(found: Found, stance: Stance, flat: tuple[float, float], preference: float) -> Setup:
    """The setup of feet and dial."""
    pose = stance.bottom(dialled(found.valley, flat, preference)) or found.valley.pose
    return Setup(found.stance_m, math.degrees(found.turn_rad), found.heel_m, pose.hip_arm_m)


def frontier(found: Found, stance: Stance, flat: tuple[float, float]) -> list[Choice[Setup]]:
    """The dial's places from the knees' end to the hips' end; one where the limits leave no other."""
    least = found.valley.effort
    choices: list[Choice[Setup]] = []
    for i in range(CHOICES):
        preference = i / (CHOICES - 1)
        pose = stance.bottom(dialled(found.valley, flat, preference))
        if pose is None or (choices and abs(pose.hip_arm_m - choices[-1].hip_arm_m) < 1e-4):
            continue
        setup = Setup(found.stance_m, math.degrees(found.turn_rad), found.heel_m, pose.hip_arm_m)
        choices.append(
            Choice(
                preference,
                setup,
                pose.hip_arm_m,
                pose.knee_arm_m,
                pose.back_arm_m,
                math.degrees(pose.lean_rad),
                math.degrees(pose.knee.shin_rad),
                pose.bears.effort / least,
            )
        )
    return choices


def bands(
    search: Search, strongest: Found, found: Found, stance: Stance, flat: tuple[float, float]
) -> list[Band]:
    """What is nearly free: the stance (as heels apart), the turn-out, how far the hips sit back.

    Narrower stances are taken with the feet turned out as far as comfort allows."""
    squat, bottoms = search.squat, search.bottoms
    if found.valley.outside_rad > EDGE_RAD:
        return []
    allowed = (1 + SLACK) * strongest.valley.effort

    def room(stance_m: float) -> float:
        other = search.widest_turn(stance_m, found.heel_m, found)
        return -1.0 if other is None else allowed - search.cost(other)

    narrow = UNDER_THE_HIPS_M * squat.body.size
    low = crossing(room, strongest.stance_m, narrow, close=ROUGH, apart=ROUGH)
    other = search.widest_turn(low, found.heel_m, found) or found
    heels = [heels_m(squat.body, one.stance_m, one.turn_rad) for one in (other, found)]

    def turn_room(turn: float) -> float:
        valley = bottoms.valley(squat.on(found.stance_m, turn, found.heel_m), found.valley.shin_rad)
        if valley is None or valley.outside_rad > EDGE_RAD:
            return -1.0
        return (1 + SLACK) * found.valley.effort - valley.effort

    low = max(found.turn_rad - MOST_BAND_RAD, 0.0)
    turn = crossing(turn_room, found.turn_rad, low, close=ROUGH, apart=ROUGH)
    result = [
        Band("heels_m", heels[0], heels[1], SLACK),
        Band("turn_out_deg", math.degrees(turn), math.degrees(found.turn_rad), SLACK),
    ]
    knees, hips = (stance.bottom(shin) for shin in flat)
    if knees and hips:
        result += [
            Band("sit_back_m", knees.hip_arm_m, hips.hip_arm_m, FLAT),
            Band("trunk_lean_deg", math.degrees(knees.lean_rad), math.degrees(hips.lean_rad), FLAT),
            Band("shin_deg", math.degrees(hips.knee.shin_rad), math.degrees(knees.knee.shin_rad), FLAT),
        ]
    return result


def beside(squat: Squat, setup: Setup) -> Assessment | None:
    """The bar carried the other way, on the same feet with the hips where effort is then least."""
    other = Squat(
        squat.body,
        "high" if squat.position == "low" else "low",
        squat.depth,
        squat.comfort,
        squat.load_kg,
        squat.bar_diameter_m,
    )
    try:
        return assess_squat(other, replace(setup, sit_back_m=None))
    except InfeasibleError:
        return None


def reasons(search: Search, strongest: Found, found: Found, got: Assessment) -> list[Reason]:
    """What no setup can keep, then what stopped the suggestion, the feet first."""
    squat, bottoms, pose = search.squat, search.bottoms, found.valley.pose
    stance = search.stance_of(found)
    result = [
        Reason(one.name, Said("no_setup_keeps", {"why": one.reason})) for one in got.limits if one.broken
    ]
    broken = {one.code for one in result}
    room = search.spread_room(found.turn_rad, pose)
    if "spread" not in broken and room < CLOSE_RAD:
        cap = {"cap_deg": math.degrees(squat.comfort.spread_rad)}
        result.append(Reason("spread", Said("squat_stops_spread", cap)))
    if found.stance_m > strongest.stance_m + 0.005:
        heels = [heels_m(squat.body, one.stance_m, one.turn_rad) for one in (strongest, found)]
        values = {"strongest_m": heels[0], "widest_m": heels[1], "percent": 100 * SLACK}
        result.append(Reason("effort", Said("squat_stops_effort", values)))
    if "ankle" not in broken and stance.leg.most_shin_rad - found.valley.shin_rad < CLOSE_RAD:
        shin = {"shin_deg": math.degrees(stance.leg.most_shin_rad)}
        result.append(Reason("ankle", Said("squat_stops_ankle", shin)))
    if found.heel_m > WORTH_A_HEEL_M:
        result.append(Reason("heel", _bought_by_heel(search, found, pose)))
    hips, knees = bottoms.hips_room(pose), bottoms.knees_room(pose)
    if not broken & {"lean", "fold", "evert"} and min(hips, knees) < CLOSE_RAD:
        code = "hips" if hips < knees else "knees"
        result.append(Reason(code, Said(f"squat_stops_{code}")))
    if math.radians(got.hip_deg) > squat.comfort.fold_caution_rad:
        result.append(Reason("tuck", Said("squat_may_tuck", {"fold_deg": got.hip_deg})))
    return result


def _bought_by_heel(search: Search, found: Found, pose: Pose) -> Said:
    """How much more upright the trunk is than on the same feet without the heel."""
    flat = search.bottoms.valley(search.squat.on(found.stance_m, found.turn_rad), found.valley.shin_rad)
    if flat is None or flat.outside_rad > EDGE_RAD:
        return Said("squat_heel_needed", {"heel_m": found.heel_m})
    more = math.degrees(flat.pose.lean_rad - pose.lean_rad)
    return Said("squat_heel_buys", {"heel_m": found.heel_m, "lean_deg": more})


def gain_of(squat: Squat, new: Assessment, old: Assessment) -> Gain:
    """What the suggestion changes against the present setup."""

    def ratio(a: float, b: float) -> float:
        return a / b if a > 1e-3 and b > 1e-3 else 1.0

    return Gain(
        stroke=new.stroke_m / old.stroke_m,
        effort=old.limit_load_index / new.limit_load_index,
        hip_arm=ratio(new.hip_arm_m, old.hip_arm_m),
        knee_arm=ratio(new.knee_arm_m, old.knee_arm_m),
        back_arm=ratio(new.back_arm_m, old.back_arm_m),
        lean_deg=new.trunk_lean_deg - old.trunk_lean_deg,
        steps=tuple(_steps(squat, old.setup, new.setup)),
    )


def _steps(squat: Squat, old: Setup, new: Setup) -> Sequence[Step]:
    """Each part changed after the other; the hips stay where effort is least until their turn."""
    found: list[Step] = []
    now = replace(old, sit_back_m=None)
    before = _stroke_and_effort(squat, old)
    for key, after in (
        ("stance", replace(now, stance_m=new.stance_m)),
        ("turn", replace(now, stance_m=new.stance_m, turn_out_deg=new.turn_out_deg)),
        ("heel", replace(new, sit_back_m=None)),
        ("hips", new),
    ):
        there = _stroke_and_effort(squat, after)
        if before and there:
            found.append(Step(key, there[0] / before[0], there[1] / before[1]))
        before = there or before
    return found


def _stroke_and_effort(squat: Squat, setup: Setup) -> tuple[float, float] | None:
    try:
        stance, _, pose = bottom_of(squat, setup)
    except InfeasibleError:
        return None
    return stance.top_m - pose.bar[1], pose.bears.effort
