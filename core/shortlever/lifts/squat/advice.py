"""The suggestion: feet from the search, hips where the dial stands, reasons, and what is nearly free."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace

from shortlever.errors import InfeasibleError, InputError
from shortlever.lifts.legs.spread import Doubt
from shortlever.lifts.squat.marks import heels_m
from shortlever.lifts.squat.measure import Assessment, Setup, assess_squat, bottom_of
from shortlever.lifts.squat.search import DEFAULT_PREFERENCE, SLACK, WORTH_A_HEEL_M, Found, Search
from shortlever.lifts.squat.squat import Pose, Squat, Stance
from shortlever.lifts.squat.valley import EDGE_RAD, FLAT, dialled
from shortlever.numerics import crossing
from shortlever.say import PLAIN, Said

CHOICES = 9  # places of the dial that are shown
CLOSE_RAD = 2e-3  # of a limit, under which it is said to have stopped the suggestion
UNDER_THE_HIPS_M = 0.26  # the narrowest stance of a band
MOST_BAND_RAD = math.radians(30)
ROUGH = 3e-3  # of a band's ends: m, rad or effort
NOTICEABLE = 0.02  # of effort or stroke: less a lifter does not notice (assumption; sets tell 2.5 kg in 100)


@dataclass(frozen=True)
class Reason:
    """Why the suggestion is where it is: what stopped it (``code`` names the limit), to be said."""

    code: str
    said: Said


@dataclass(frozen=True)
class Choice:
    """One place of the dial: the hips so far back (m), with the arms there (m), lean and shin (deg), and the
    hardest point's effort against the least (1 is the least)."""

    preference: float
    setup: Setup
    hip_arm_m: float
    knee_arm_m: float
    back_arm_m: float
    trunk_lean_deg: float
    shin_deg: float
    effort: float


@dataclass(frozen=True)
class Band:
    """A choice that is nearly free: from ``low`` to ``high`` (m, or deg where the key says so) effort stays
    within ``within`` of the least, one thing changed at a time."""

    key: str
    low: float
    high: float
    within: float


@dataclass(frozen=True)
class Step:
    """What one half of the change from the present setup does: ratios after / before of stroke and effort."""

    key: str
    stroke: float
    effort: float


@dataclass(frozen=True)
class Gain:
    """The suggestion against the present setup, as ratios suggested / present (below 1 is less).

    ``steps``: stance, turn-out, heel and hips changed one after the other. ``stay``: nothing of it is
    noticeable.
    """

    stroke: float
    effort: float
    hip_arm: float
    knee_arm: float
    back_arm: float
    lean_deg: float
    steps: tuple[Step, ...]
    stay: bool


@dataclass(frozen=True)
class Suggestion:
    """A setup with its measures, what bound it, the dial's other places, what is nearly free, the bar carried
    the other way with the same feet, and the present setup."""

    setup: Setup
    measures: Assessment
    binding: tuple[Reason, ...]
    frontier: tuple[Choice, ...]
    bands: tuple[Band, ...]
    preference: float
    strongest_stance_m: float
    beside: Assessment | None = None
    current: Assessment | None = None
    gain: Gain | None = None
    doubt: Doubt | None = None
    warnings: tuple[tuple[str, str, Said], ...] = ()

    def plain(self) -> dict[str, object]:
        """The suggestion as an object that can travel as JSON (SI, degrees where named), said in English."""
        found: dict[str, object] = PLAIN.all(self.told())
        return found

    def told(self) -> dict[str, object]:
        """The same with its sentences still to be said."""
        got, doubt = self.measures.told(), self.doubt
        next_one = doubt.next_measurement if doubt else None
        return {
            "setup": got["setup"],
            "marks": got["marks"],
            "measures": got,
            "beside": self.beside.told() if self.beside else None,
            "current": self.current.told() if self.current else None,
            "gain": asdict(self.gain) if self.gain else None,
            "strongest_stance_m": self.strongest_stance_m,
            "bands": [asdict(band) for band in self.bands],
            "frontier": [asdict(choice) for choice in self.frontier],
            "binding": [{"code": one.code, "message": one.said} for one in self.binding],
            "intervals": {n: [i.low, i.high] for n, i in doubt.intervals.items()} if doubt else None,
            "next_measurement": asdict(next_one) if next_one else None,
            "preference": self.preference,
            "warnings": [{"field": f, "code": c, "message": m} for f, c, m in self.warnings],
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
    if not isinstance(preference, int | float) or not 0 <= preference <= 1:
        raise InputError(
            "preference",
            "out_of_range",
            f"{preference!r}"[:24],
            Said("preference_out_of_range", {"given": repr(preference)}),
            Said("squat_preference_remedy"),
        )
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


def frontier(found: Found, stance: Stance, flat: tuple[float, float]) -> list[Choice]:
    """The dial's places from the knees' end to the hips' end; one where the limits leave no other."""
    least = found.valley.effort
    choices: list[Choice] = []
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
    heels = [heels_m(squat, one.stance_m, one.turn_rad) for one in (other, found)]

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
        heels = [heels_m(squat, one.stance_m, one.turn_rad) for one in (strongest, found)]
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

    effort = old.limit_load_index / new.limit_load_index
    stroke = new.stroke_m / old.stroke_m
    return Gain(
        stroke=stroke,
        effort=effort,
        hip_arm=ratio(new.hip_arm_m, old.hip_arm_m),
        knee_arm=ratio(new.knee_arm_m, old.knee_arm_m),
        back_arm=ratio(new.back_arm_m, old.back_arm_m),
        lean_deg=new.trunk_lean_deg - old.trunk_lean_deg,
        steps=tuple(_steps(squat, old.setup, new.setup)),
        stay=max(abs(effort - 1), abs(stroke - 1)) < NOTICEABLE,
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
