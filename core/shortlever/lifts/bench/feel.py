"""A press to feel with a finger: a grid of setups inside the limits, each worked out, to go between.

A page moves a hand, the bar or an elbow and shows what lies between the grid's setups at once; what it shows
when the finger is up is asked of the core anew. Along the first axis the grip goes from the narrowest that
keeps the limits to the widest that bar, rulebook and comfort allow, along the second the touch from the
nearest allowed at that grip to the last place on the chest.
"""

from __future__ import annotations

from shortlever.lifts.bench.advice import CLOSE_DEG, CLOSE_M, stopped_by
from shortlever.lifts.bench.figure import drawn_at, frames
from shortlever.lifts.bench.limits import CAUTIOUS_GRIP_OF_BIACROMIAL
from shortlever.lifts.bench.measure import Assessment, Setup, same_shoulder_load_kg
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.screen import PressFit
from shortlever.lifts.bench.search import Search
from shortlever.lifts.bench.setting import measured
from shortlever.lifts.lift import Axis, Feel, Felt, FeltNumber, Handle
from shortlever.say import Said

GRIPS, TOUCHES = 10, 5
STEP_M = 0.005  # to the narrowest grip that keeps the limits
LEAST_ARM_M = 1e-3  # of the bar, to be compared with another

NUMBERS = (
    FeltNumber("grip", Said("head_grip"), "settable"),
    FeltNumber("touch", Said("head_touch"), "settable"),
    FeltNumber("tuck", Said("head_tuck"), "angle"),
    FeltNumber("moment_arm", Said("row_moment_arm"), "length"),
    FeltNumber("range_of_motion", Said("row_range_of_motion"), "length"),
    FeltNumber("shoulder_load", Said("felt_load"), "kg"),
    FeltNumber("hardest", Said("felt_hardest"), "percent"),
)

HANDLES = (
    Handle("head", "hand", 0),
    Handle("head", "other-hand", 0),
    Handle("above", "hand", 0),
    Handle("above", "other-hand", 0),
    Handle("side", "bar", 1),
    Handle("above", "arm", 1, point=1),
    Handle("above", "other-arm", 1, point=1),
)


def feel(fit: PressFit) -> Feel:
    """The grid round a fitted press, on the scale of its figure. Takes some 50 setups' time."""
    press, shown = fit.case, fit.shown
    load, search = shown.setup.load_kg, Search(fit.case)
    drawn = frames(press, max(one.rep.heights_m[-1] for one in (shown, fit.now) if one))
    narrowest = search.narrowest
    while search.outside(narrowest) > 0 and narrowest < shown.setup.grip_m:
        narrowest = min(narrowest + STEP_M, shown.setup.grip_m)
    step = (search.widest - narrowest) / (GRIPS - 1)
    points: list[Felt] = []
    nearest: list[Assessment] = []
    for grip in (narrowest + step * i for i in range(GRIPS)):
        near = search.nearest(grip)
        far = max(search.furthest_m, near)
        for j in range(TOUCHES):
            one = measured(press, Setup(grip, near + (far - near) * j / (TOUCHES - 1), load))
            places = {key: drawn_at(press, one.rep, 0, key, frame) for key, frame in drawn.items()}
            points.append(
                Felt({"grip_m": grip, "touch_m": one.setup.touch_m}, _numbers(one.got, shown.got), places)
            )
            if j == 0:
                nearest.append(one.got)
    return Feel(
        axes=(
            Axis("grip", "grip_m", GRIPS, [Said("stops_narrowest")], [_widest(search)]),
            Axis(
                "touch", "touch_m", TOUCHES, [_nearest(press, got) for got in nearest], [Said("stops_chest")]
            ),
        ),
        handles=HANDLES,
        numbers=NUMBERS,
        points=points,
    )


def _widest(search: Search) -> Said:
    """What stops the grip at its widest."""
    press, widest = search.press, {"widest_m": search.widest, "share": CAUTIOUS_GRIP_OF_BIACROMIAL}
    if search.widest > press.gear.max_grip_m - CLOSE_M:
        return Said("stops_rulebook" if press.gear.rules.max_grip_m else "stops_bar", widest)
    return Said("stops_cautious_grip" if press.comfort.max_grip_of_biacromial else "stops_reach", widest)


def _nearest(press: Press, got: Assessment) -> Said:
    """What stops the touch at its nearest: the first limit with no room left."""
    order = ("flare", "lean", "elbow_depth", "stacked")
    stops = (
        limit for name in order for limit in got.limits if limit.name == name and limit.margin < CLOSE_DEG
    )
    limit = next(stops, None)
    if limit:
        return stopped_by(press, got, limit) or Said("stops_stacked")
    return Said("stops_path" if got.touch_m < press.chest.end_y_m - CLOSE_M else "stops_chest")


def _numbers(got: Assessment, shown: Assessment) -> dict[str, float]:
    """By the keys of the screen's numbers (m, deg), and against what is shown: the load there that is 100 kg
    here for the shoulder (kg; 0 where no bar's arm is left), and the index (%)."""
    felt = got.moment_arm_m > LEAST_ARM_M
    return {
        "grip": got.grip_m,
        "touch": got.touch_tape_m,
        "tuck": got.tuck_deg,
        "moment_arm": got.moment_arm_m,
        "range_of_motion": got.range_of_motion_m,
        "shoulder_load": 100 * same_shoulder_load_kg(got, shown) / got.load_kg if felt else 0.0,
        "hardest": 100 * (got.limit_load_index / shown.limit_load_index - 1),
    }
