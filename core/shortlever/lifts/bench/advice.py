"""The suggestion: grip, touch and tuck from a search over every setup inside all limits (see ``search``)."""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass, replace

from shortlever.errors import InputError
from shortlever.lifts.bench.doubt import MODEL_ERROR_M
from shortlever.lifts.bench.limits import CAUTIOUS_GRIP_OF_BIACROMIAL
from shortlever.lifts.bench.marks import Marks, marks_of
from shortlever.lifts.bench.measure import Assessment, Setup, assess_press, same_shoulder_load_kg
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.search import DEFAULT_PREFERENCE, Search
from shortlever.lifts.bench.worth import INDEX_SLACK, LEAST_ARM_M, Yardstick
from shortlever.lifts.interval import Spread
from shortlever.lifts.limit import Limit, Reason
from shortlever.say import PLAIN, Said

CLOSE_DEG, CLOSE_M = 0.15, 0.0005  # margins under which a limit is said to have stopped the suggestion
GRIP_STEPS, TOUCH_STEPS = 6, 5  # of the two stretches of the non-dominated set


@dataclass(frozen=True)
class Choice:
    """One non-dominated setup: no other has less arm, less stroke and a better index (m)."""

    grip_m: float
    touch_m: float
    range_of_motion_m: float
    mean_moment_arm_m: float
    limit_load_index: float


@dataclass(frozen=True)
class Gain:
    """The suggestion against the present setup, as ratios suggested / present (below 1 is less).

    ``same_shoulder_load_kg``: the load in the suggestion that puts the same peak flexion moment on the
    shoulder as 100 kg in the present setup. ``by_grip`` and ``by_touch``: the ratio of the moment arm at the
    chest that each half of the change brings alone, grip first; ``by_arch``: that of the arch against lying
    flat at the same grip (1 without an arch).
    """

    moment_arm: float
    mean_moment_arm: float
    range_of_motion: float
    limit_load_index: float
    same_shoulder_load_kg: float
    by_grip: float
    by_touch: float
    by_arch: float


@dataclass(frozen=True)
class Suggestion:
    """A setup with its measures, what bound it, how to find it, and the non-dominated setups beside it.

    ``strongest`` is the setup of the best limit-load index, ``widest_m`` the widest grip that comes near it.
    ``yardstick`` is what setups of this lifter are measured against.
    """

    setup: Setup
    measures: Assessment
    marks: Marks
    binding: tuple[Reason, ...]
    frontier: tuple[Choice, ...]
    preference: float
    strongest: Choice
    widest_m: float
    yardstick: Yardstick
    current: Assessment | None = None
    gain: Gain | None = None
    doubt: Spread | None = None
    warnings: tuple[tuple[str, str, Said], ...] = ()

    def plain(self) -> dict[str, object]:
        """The suggestion as an object that can travel as JSON (SI, degrees where named), said in English."""
        found: dict[str, object] = PLAIN.all(self.told())
        return found

    def told(self) -> dict[str, object]:
        """The same with its sentences still to be said."""
        next_one = self.doubt.next_measurement if self.doubt else None
        return {
            "setup": {
                "grip_m": self.setup.grip_m,
                "touch_m": self.setup.touch_m,
                "tuck_deg": self.measures.tuck_deg,
                "marks": asdict(self.marks),
            },
            "measures": self.measures.told(),
            "current": self.current.told() if self.current else None,
            "gain": asdict(self.gain) if self.gain else None,
            "strongest": asdict(self.strongest),
            "widest_m": self.widest_m,
            "frontier": [asdict(choice) for choice in self.frontier],
            "binding": [one.told() for one in self.binding],
            "intervals": {n: [i.low, i.high] for n, i in self.doubt.intervals.items()}
            if self.doubt
            else None,
            "model_error": MODEL_ERROR_M if self.doubt else None,
            "next_measurement": vars(next_one) if next_one else None,
            "preference": self.preference,
            "warnings": [{"field": f, "code": c, "message": m} for f, c, m in self.warnings],
        }


def suggest_press(
    press: Press,
    preference: float = DEFAULT_PREFERENCE,
    current: Setup | None = None,
    *,
    with_frontier: bool = True,
) -> Suggestion:
    """The suggestion for one press; see the module for how it is chosen.

    Without the frontier it takes a third less time: for many lifters at once.
    """
    if not isinstance(preference, int | float) or not 0 <= preference <= 1:
        raise InputError(
            "preference",
            "out_of_range",
            f"{preference!r}"[:24],
            Said("preference_out_of_range", {"given": repr(preference)}),
            Said("preference_remedy"),
        )
    search = Search(press, preference)
    grip, touch, _ = search.solve()
    low, high, _ = search.band()
    strongest = choice_at(search, low, search.nearest(low))
    setup = Setup(grip, touch, press.load_kg)
    measures = assess_press(press, setup)
    now = assess_press(press, replace(current, load_kg=press.load_kg)) if current else None
    return Suggestion(
        setup=setup,
        measures=measures,
        marks=marks_of(press, measures),
        binding=tuple(reasons(press, measures, strongest, search)),
        frontier=tuple(frontier(search, (grip, touch))) if with_frontier else (),
        preference=preference,
        strongest=strongest,
        widest_m=high,
        yardstick=search.yardstick(),
        current=now,
        gain=gain_of(press, measures, now) if now else None,
    )


def choice_at(search: Search, grip: float, touch: float) -> Choice:
    """A setup with the numbers it is compared by."""
    stroke, arm = search.stroke_and_arm(grip, touch)
    return Choice(grip, touch, stroke, arm, search.index(grip, touch))


def reasons(press: Press, measures: Assessment, strongest: Choice, search: Search) -> list[Reason]:
    """What no setup can keep, then the limits that stopped the suggestion, grip first."""
    broken = [limit for limit in measures.limits if not limit.ok]
    found = [Reason(limit.name, Said("no_setup_keeps", {"why": limit.reason})) for limit in broken]
    for limit in measures.limits:
        if limit.ok and limit.margin < (CLOSE_DEG if limit.unit == "deg" else CLOSE_M):
            said = stopped_by(press, measures, limit)
            if said:
                found.append(Reason(limit.name, said))
    widest, ended_by = search.band()[1], search.ended_by()
    if "ring" not in (r.code for r in found) and widest > strongest.grip_m + CLOSE_M:
        grips = {"strongest_m": strongest.grip_m, "widest_m": widest, "percent": 100 * INDEX_SLACK}
        found.append(Reason(ended_by, Said(f"beyond_{ended_by}", grips)))
    other_m = search.equal_elsewhere()
    if other_m is not None:
        found.append(Reason("two_grips", Said("two_grips", {"one_m": strongest.grip_m, "other_m": other_m})))
    return found


def stopped_by(press: Press, got: Assessment, limit: Limit) -> Said | None:
    """What a limit that is all but reached keeps the suggestion from; None for one that stops nothing."""
    widest = {"widest_m": got.grip_m + limit.margin, "share": CAUTIOUS_GRIP_OF_BIACROMIAL}
    if limit.name == "ring":
        return Said("stops_rulebook" if press.gear.rules.max_grip_m else "stops_bar", widest)
    if limit.name == "flare":
        elevation = math.radians(got.upper_arm_elevation_deg)
        sink = abs(press.body.right.upper_m * math.sin(elevation))
        where = "above" if elevation > 0 else "below"
        return Said(f"stops_flare_{where}", {"sink_m": sink, "flare_deg": got.tuck_deg + limit.margin})
    if limit.name in ("cautious_grip", "lean", "chest", "elbow_depth"):
        return Said(f"stops_{limit.name}", widest)
    return None


def frontier(search: Search, chosen: tuple[float, float]) -> list[Choice]:
    """Non-dominated setups by mean arm, stroke and index, from the shortest arm to the shortest stroke."""
    low, high, _ = search.band()
    last, _ = search.shortest_stroke()
    places = [(low + (high - low) * i / GRIP_STEPS) for i in range(GRIP_STEPS + 1)]
    setups = [(grip, search.nearest(grip)) for grip in places]
    if search.outside(high) <= 0:
        near, most = search.nearest(high), search.low_touch(high)
        setups += [(high, near + (most - near) * i / TOUCH_STEPS) for i in range(1, TOUCH_STEPS + 1)]
        edge = [high + (last - high) * i / TOUCH_STEPS for i in range(1, TOUCH_STEPS + 1)]
        setups += [(grip, search.low_touch(grip)) for grip in edge if grip < high]
    choices = [choice_at(search, *setup) for setup in dict.fromkeys([*setups, chosen])]

    def beaten(a: Choice) -> bool:
        return any(
            b is not a
            and b.range_of_motion_m <= a.range_of_motion_m
            and b.mean_moment_arm_m <= a.mean_moment_arm_m
            and b.limit_load_index >= a.limit_load_index
            for b in choices
        )

    kept = [c for c in choices if not beaten(c) or (c.grip_m, c.touch_m) == chosen]
    return sorted(kept, key=lambda c: (c.mean_moment_arm_m, c.grip_m))


def gain_of(press: Press, new: Assessment, old: Assessment) -> Gain:
    """What the suggestion changes against the present setup.

    A ratio to an arm of zero (a bar on the shoulder line) says nothing and is given as 1.
    """

    def ratio(a: float, b: float) -> float:
        return a / b if a > LEAST_ARM_M and b > LEAST_ARM_M else 1.0

    flat = replace(press, body=replace(press.body, chest_arched_m=press.body.chest_flat_m))
    nearest = press.nearest_touch_m(new.grip_m)
    moment_arm = ratio(new.moment_arm_m, old.moment_arm_m)
    by_grip = ratio(nearest, press.nearest_touch_m(old.grip_m))
    return Gain(
        moment_arm=moment_arm,
        mean_moment_arm=ratio(new.mean_moment_arm_m, old.mean_moment_arm_m),
        range_of_motion=new.range_of_motion_m / old.range_of_motion_m,
        limit_load_index=new.limit_load_index / old.limit_load_index,
        same_shoulder_load_kg=100.0
        if moment_arm == 1
        else same_shoulder_load_kg(old, new) * 100 / old.load_kg,
        by_grip=by_grip,
        by_touch=moment_arm / by_grip,
        by_arch=ratio(nearest, flat.nearest_touch_m(new.grip_m)),
    )
