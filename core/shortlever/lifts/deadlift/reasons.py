"""Why a suggestion is where it is."""

from __future__ import annotations

import math
from dataclasses import replace

from shortlever.errors import InfeasibleError
from shortlever.lifts.deadlift.comfort import CAUTION_FLEXION_RAD
from shortlever.lifts.deadlift.measure import Assessment, assess_pull
from shortlever.lifts.deadlift.one_style import DEFAULT_PREFERENCE, Best, setup_of
from shortlever.lifts.deadlift.search import SLACK, Search
from shortlever.lifts.deadlift.setup import Puller
from shortlever.lifts.legs.marks import heels_m
from shortlever.lifts.limit import Limit, Reason
from shortlever.say import Said

WINS = 0.10  # of effort, beyond which a style is named: less the model cannot tell (assumption)
CLOSE_RAD, CLOSE_M = 2e-3, 1e-3  # of a limit, under which it is said to have stopped the suggestion
BLOCKS, BLOCK_M = 6, 0.04  # how far up a start is looked for where none keeps every limit


def reasons(puller: Puller, best: Best, ratio: float | None) -> list[Reason]:
    """What no setup can keep, then what stopped the suggestion: style, feet, hands, hips."""
    got, feet = best.measures, best.feet
    style = got.style
    found = [Reason(one.name, _broken(one, got)) for one in got.limits if one.broken]
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
    if abs(math.radians(margins["ankle"])) < CLOSE_RAD:
        found.append(Reason("ankle", Said("pull_stops_ankle")))
    if math.radians(got.hip_deg) > CAUTION_FLEXION_RAD and "fold" not in {one.code for one in found}:
        found.append(Reason("tuck", Said("pull_may_tuck", {"fold_deg": got.hip_deg})))
    return found


def _broken(limit: Limit, got: Assessment) -> Said:
    """What a setup says of a limit that it breaks."""
    if limit.name == "fold":
        return Said("pull_folds", {"fold_deg": got.hip_deg, "why": limit.reason})
    return Said("no_setup_keeps", {"why": limit.reason})


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
