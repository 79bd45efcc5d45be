"""The suggestion: in each style feet and hands from the search, hips where the dial stands; which style, if
one is to be named; reasons, and what is nearly free."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace

from shortlever.errors import InfeasibleError, InputError
from shortlever.lifts.deadlift.comfort import CAUTION_FLEXION_RAD, MOST_FLEXION_RAD, STYLES
from shortlever.lifts.deadlift.marks import heels_m
from shortlever.lifts.deadlift.measure import Assessment, assess_pull, start_of
from shortlever.lifts.deadlift.pull import Pose
from shortlever.lifts.deadlift.search import SLACK, Feet, Search
from shortlever.lifts.deadlift.setup import AHEAD_M, MOST_GRIP_M, Puller, Setup
from shortlever.lifts.deadlift.tried import tried
from shortlever.lifts.legs.spread import Doubt
from shortlever.numerics import crossing
from shortlever.say import Said

DEFAULT_PREFERENCE = 0.5
WINS = 0.10  # of effort, beyond which a style is named: less the model cannot tell (assumption)
AHEADS_M = (0.0, 0.11)  # shoulders in front of the bar, that the dial may ask for (practice)
HIPS_SLACK = 0.01  # of effort, within which the hips are free
CHOICES = 9  # places of the dial that are shown
CLOSE_RAD, CLOSE_M = 2e-3, 1e-3  # of a limit, under which it is said to have stopped the suggestion
ROUGH = 1e-4  # of effort, of the dial's ends
BLOCKS, BLOCK_M = 6, 0.04  # how far up a start is looked for where none keeps every limit
NOTICEABLE = 0.02  # of effort or stroke: less a lifter does not notice (assumption; sets tell 2.5 kg in 100)


@dataclass(frozen=True)
class Reason:
    """Why the suggestion is where it is: what stopped it (``code`` names the limit), to be said."""

    code: str
    said: Said


@dataclass(frozen=True)
class Choice:
    """One place of the dial: the setup, with hip height (m), arms (m), lean and shin (deg) at the start, and
    its effort against the least (1 is the least)."""

    preference: float
    setup: Setup
    hip_height_m: float
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
    """What one part of the change from the present setup does: ratios after / before of stroke and effort."""

    key: str
    stroke: float
    effort: float


@dataclass(frozen=True)
class Gain:
    """The suggestion against the present setup, as ratios suggested / present (below 1 is less).

    ``steps``: the setup's numbers changed one after the other, or the style. ``stay``: nothing
    of it is noticeable.
    """

    stroke: float
    effort: float
    hip_arm: float
    back_arm: float
    lean_deg: float
    steps: tuple[Step, ...]
    stay: bool


@dataclass(frozen=True)
class Best:
    """The best setup of one style: its feet, how far in front of the bar the shoulders may be (m),
    measures."""

    feet: Feet
    aheads_m: tuple[float, float]
    setup: Setup
    measures: Assessment


@dataclass(frozen=True)
class Suggestion:
    """A setup with its measures, what bound it, the dial's other places and what is nearly free; the best
    setup of the other style, and ``winner``: the style to be named, "" where sets have to decide.

    ``effort_ratio``: the other style's effort over this one's, None where it holds none; then ``other_why``.
    """

    setup: Setup
    measures: Assessment
    binding: tuple[Reason, ...]
    frontier: tuple[Choice, ...]
    bands: tuple[Band, ...]
    preference: float
    winner: str
    other: Assessment | None = None
    effort_ratio: float | None = None
    other_why: Said | None = None
    current: Assessment | None = None
    gain: Gain | None = None
    doubt: Doubt | None = None
    warnings: tuple[tuple[str, str, Said], ...] = ()

    def plain(self) -> dict[str, object]:
        """The suggestion as an object that can travel as JSON (SI, degrees where named)."""
        got, doubt = self.measures.plain(), self.doubt
        next_one = doubt.next_measurement if doubt else None
        return {
            "setup": got["setup"],
            "marks": got["marks"],
            "measures": got,
            "winner": self.winner or None,
            "effort_ratio": self.effort_ratio,
            "other": self.other.plain() if self.other else None,
            "other_why": str(self.other_why) if self.other_why else None,
            "current": self.current.plain() if self.current else None,
            "gain": asdict(self.gain) if self.gain else None,
            "bands": [asdict(band) for band in self.bands],
            "frontier": [asdict(choice) for choice in self.frontier],
            "binding": [{"code": one.code, "message": str(one.said)} for one in self.binding],
            "intervals": {n: [i.low, i.high] for n, i in doubt.intervals.items()} if doubt else None,
            "next_measurement": asdict(next_one) if next_one else None,
            "preference": self.preference,
            "warnings": [{"field": f, "code": c, "message": str(m)} for f, c, m in self.warnings],
        }


def suggest_pull(
    puller: Puller,
    preference: float = DEFAULT_PREFERENCE,
    current: Setup | None = None,
    *,
    style: str = "",
    with_frontier: bool = True,
) -> Suggestion:
    """The suggestion for one lifter: in ``style``, or in the present one, or in the one of less effort.

    Raises InputError for a preference outside 0 to 1, InfeasibleError where no style holds a start.
    """
    if not isinstance(preference, int | float) or not 0 <= preference <= 1:
        raise InputError(
            "preference",
            "out_of_range",
            f"{preference!r}"[:24],
            f"preference: {preference!r} is outside 0 to 1.",
            "Give 0 for the lowest hips, 1 for the highest, or between.",
        )
    found: dict[str, Best] = {}
    why: dict[str, InfeasibleError] = {}
    for one in STYLES:
        try:
            found[one] = best_of(puller, one, preference)
        except InfeasibleError as none:
            why[one] = none
    wanted = style or (current.style if current else "")
    if not found or (style and style in why):
        raise why[style or STYLES[0]]
    shown = wanted if wanted in found else min(found, key=lambda one: _rank(found[one]))
    best = found[shown]
    other = next((one for one in found if one != shown), None)
    ratio = found[other].measures.effort / best.measures.effort if other else None
    now = assess_pull(puller, current) if current else None
    return Suggestion(
        setup=best.setup,
        measures=best.measures,
        binding=tuple(reasons(puller, best, ratio)),
        frontier=tuple(frontier(puller, best)) if with_frontier else (),
        bands=tuple(bands(puller, best)),
        preference=preference,
        winner=winner(shown, other, ratio),
        other=found[other].measures if other else None,
        effort_ratio=ratio,
        other_why=next((none.said for none in why.values()), None),
        current=now,
        gain=gain_of(puller, best.measures, now) if now else None,
    )


def _rank(best: Best) -> tuple[bool, float]:
    """A style that keeps every limit comes first, then that of less effort."""
    return any(limit.broken for limit in best.measures.limits), best.measures.effort


def winner(shown: str, other: str | None, ratio: float | None) -> str:
    """The style that is named: only one whose effort is less by more than WINS."""
    if other is None or ratio is None:
        return shown
    return shown if ratio > 1 + WINS else other if ratio < 1 / (1 + WINS) else ""


# ---- one style


def best_of(puller: Puller, style: str, preference: float) -> Best:
    """The best setup of a style. Raises InfeasibleError where it holds no start."""
    feet = Search(puller, style).solve()
    setup, aheads = setup_of(puller, style, feet, preference)
    return Best(feet, aheads, setup, assess_pull(puller, setup))


def setup_of(puller: Puller, style: str, feet: Feet, preference: float) -> tuple[Setup, tuple[float, float]]:
    """The setup on these feet where the dial stands, and the ends of the dial (shoulders ahead, m)."""
    here = tried(puller, style, feet.stance_m, feet.turn_rad, AHEAD_M, close_m=1e-6)
    if here is None:
        raise InfeasibleError(Said("pull_no_start_here", {"stance_m": feet.stance_m}))
    if here.pull.grip_m > MOST_GRIP_M:
        raise InfeasibleError(Said("pull_grip_beyond_reach", {"grip_m": here.pull.grip_m}))
    setup = Setup(style, feet.stance_m, math.degrees(feet.turn_rad), here.pull.grip_m)
    aheads = aheads_m(puller, setup, here.pose)
    return replace(setup, shoulder_ahead_m=dialled(aheads, preference)), aheads


def aheads_m(puller: Puller, setup: Setup, usual: Pose) -> tuple[float, float]:
    """How far the shoulders may start in front of the bar, m: the stretch round the usual within HIPS_SLACK
    of its effort, with hips that fold no further than they may or than there."""
    most = max(MOST_FLEXION_RAD, usual.bears.hip_flexion_rad)

    def room(ahead: float) -> float:
        pose = puller.pull(setup).start(puller.gear.start_m, ahead, usual.lean_rad)
        if pose is None:
            return -1.0
        return min((1 + HIPS_SLACK) * usual.effort - pose.effort, most - pose.bears.hip_flexion_rad)

    low, high = (crossing(room, AHEAD_M, end, close=ROUGH, apart=ROUGH) for end in AHEADS_M)
    return low, high


def dialled(aheads: tuple[float, float], preference: float) -> float:
    """Where the dial stands: 0 the lowest hips, in the middle the usual, 1 the highest."""
    low, high = aheads
    end, share = (low, 1 - 2 * preference) if preference < 0.5 else (high, 2 * preference - 1)
    return AHEAD_M + share * (end - AHEAD_M)


def frontier(puller: Puller, best: Best) -> list[Choice]:
    """The dial's places, from the lowest hips to the highest."""
    choices: list[Choice] = []
    for i in range(CHOICES):
        preference = i / (CHOICES - 1)
        setup = replace(best.setup, shoulder_ahead_m=dialled(best.aheads_m, preference))
        try:
            _, pose = start_of(puller, setup)
        except InfeasibleError:
            continue
        y = pose.bar[0]
        choices.append(
            Choice(
                preference,
                setup,
                pose.hip[2],
                y - pose.hip[1],
                pose.knee.at[1] - y,
                pose.back_arm_m,
                math.degrees(pose.lean_rad),
                math.degrees(pose.knee.shin_rad),
                pose.effort,
            )
        )
    least = min((one.effort for one in choices), default=1.0)
    return [replace(one, effort=one.effort / least) for one in choices]


def bands(puller: Puller, best: Best) -> list[Band]:
    """What is nearly free: the stance (as heels apart), the turn-out, the hips' height and the trunk's
    lean."""
    feet = best.feet
    low, high = (heels_m(puller.body, stance, feet.turn_rad) for stance in feet.stances_m)
    turns = [math.degrees(turn) for turn in feet.turns_rad]
    found = [Band("heels_m", low, high, SLACK), Band("turn_out_deg", turns[0], turns[1], SLACK)]
    try:
        ends = [start_of(puller, replace(best.setup, shoulder_ahead_m=ahead))[1] for ahead in best.aheads_m]
    except InfeasibleError:
        return found
    leans = [math.degrees(pose.lean_rad) for pose in ends]
    return [
        *found,
        Band("hip_height_m", ends[0].hip[2], ends[1].hip[2], HIPS_SLACK),
        Band("trunk_lean_deg", leans[0], leans[1], HIPS_SLACK),
        Band("shoulder_ahead_m", best.aheads_m[0], best.aheads_m[1], HIPS_SLACK),
    ]


def reasons(puller: Puller, best: Best, ratio: float | None) -> list[Reason]:
    """What no setup can keep, then what stopped the suggestion: style, feet, hands, hips."""
    got, feet = best.measures, best.feet
    style = got.style
    found = [
        Reason(one.name, Said("pull_none_keeps", {"why": one.reason})) for one in got.limits if one.broken
    ]
    if found:
        found += _higher(puller, style)
    margins = {one.name: one.margin for one in got.limits}
    if ratio is not None:
        more: dict[str, float | str | Said] = {"percent": 100 * abs(ratio - 1), "style": style}
        if abs(math.log(ratio)) <= math.log(1 + WINS):
            found.append(Reason("sets_decide", Said("pull_sets_decide", {"percent": 100 * WINS})))
        else:
            found.append(Reason("style", Said("pull_style_wins" if ratio > 1 else "pull_style_loses", more)))
    if abs(math.radians(margins["spread"])) < CLOSE_RAD:
        most = math.degrees(puller.comfort.most_spread_rad(style))
        found.append(Reason("spread", Said("pull_stops_spread", {"cap_deg": most})))
    elif style == "sumo":
        heels = [heels_m(puller.body, one, feet.turn_rad) for one in (feet.strongest_m, feet.stances_m[1])]
        values = {"strongest_m": heels[0], "widest_m": heels[1], "percent": 100 * SLACK}
        found.append(Reason("effort", Said("pull_stops_effort", values)))
    else:
        free = [heels_m(puller.body, one, feet.turn_rad) for one in feet.stances_m]
        values = {"low_m": free[0], "high_m": free[1], "percent": 100 * SLACK}
        found.append(Reason("free", Said("pull_feet_free", values)))
    plumb = got.grip_m < puller.plumb_m + CLOSE_M
    found.append(Reason("hands", Said("pull_hands_plumb" if plumb else "pull_hands_clear")))
    if margins["shin"] < CLOSE_M:
        found.append(Reason("shin", Said("pull_stops_shin")))
    for name in ("ankle", "fold"):
        if abs(math.radians(margins[name])) < CLOSE_RAD:
            found.append(Reason(name, Said(f"pull_stops_{name}")))
    if math.radians(got.hip_deg) > CAUTION_FLEXION_RAD:
        found.append(Reason("tuck", Said("pull_may_tuck", {"fold_deg": got.hip_deg})))
    return found


def _higher(puller: Puller, style: str) -> list[Reason]:
    """The lowest bar, in steps, from which some setup keeps every limit: what blocks would do."""
    low = puller.gear.start_m
    for i in range(1, BLOCKS + 1):
        raised = replace(puller, gear=replace(puller.gear, start_m=low + i * BLOCK_M))
        try:
            feet = Search(raised, style).solve()
            setup, _ = setup_of(raised, style, feet, DEFAULT_PREFERENCE)
            if not any(limit.broken for limit in assess_pull(raised, setup).limits):
                high = raised.gear.start_m
                return [Reason("blocks", Said("pull_blocks", {"start_m": high, "stack_m": high - low}))]
        except InfeasibleError:
            continue
    return []


# ---- against the present setup


def gain_of(puller: Puller, new: Assessment, old: Assessment) -> Gain:
    """What the suggestion changes against the present setup."""
    effort, stroke = new.effort / old.effort, new.stroke_m / old.stroke_m
    return Gain(
        stroke=stroke,
        effort=effort,
        hip_arm=new.hip_arm_m / old.hip_arm_m,
        back_arm=new.back_arm_m / old.back_arm_m,
        lean_deg=new.trunk_lean_deg - old.trunk_lean_deg,
        steps=tuple(_steps(puller, old, new)),
        stay=max(abs(effort - 1), abs(stroke - 1)) < NOTICEABLE,
    )


def _steps(puller: Puller, old: Assessment, new: Assessment) -> Sequence[Step]:
    """Each part changed after the other; a change of style is one."""
    if old.style != new.style:
        return [Step("style", new.stroke_m / old.stroke_m, new.effort / old.effort)]
    found: list[Step] = []
    now, before = old.setup, old
    for key in ("stance_m", "turn_out_deg", "grip_m", "shoulder_ahead_m"):
        now = replace(now, **{key: getattr(new, key)})
        try:
            after = assess_pull(puller, now)
        except InfeasibleError:
            continue
        found.append(Step(key, after.stroke_m / before.stroke_m, after.effort / before.effort))
        before = after
    return found
