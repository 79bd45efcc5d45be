"""What the answer begins with: what to change of the present setup, or to stay."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from shortlever.lifts.legs.decision import LEAST_HEEL_M, Change, Decision, broken_now, decide, of_feet
from shortlever.lifts.squat.measure import Assessment


def decision_of(
    got: Assessment,
    now: Assessment,
    set_m: Callable[[float], float],
    given: Mapping[str, float] | None,
    *,
    stay: bool,
    picked: bool,
) -> Decision:
    """The setup shown against the present one; ``given``: what was typed of it, None for all. ``set_m``:
    lengths as they are set."""
    heels, turns = (now.marks.heels_m, set_m(got.marks.heels_m)), (now.turn_out_deg, got.turn_out_deg)
    heel = Change("heel", "current_heel", now.heel_m, set_m(got.heel_m), LEAST_HEEL_M)
    broken = broken_now(now.limits, got.limits)
    return decide((*of_feet(heels, turns), heel), given, broken, stay=stay, picked=picked)
