"""A suggestion against the present setup, with its price."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from shortlever.errors import InfeasibleError
from shortlever.lifts.deadlift.measure import Assessment, assess_pull
from shortlever.lifts.deadlift.setup import Puller
from shortlever.lifts.legs.advice import Gain, Step


def gain_of(puller: Puller, new: Assessment, old: Assessment) -> Gain:
    """What the suggestion changes against the present setup."""
    return Gain(
        stroke=new.stroke_m / old.stroke_m,
        effort=new.effort / old.effort,
        hip_arm=new.hip_arm_m / old.hip_arm_m,
        back_arm=new.back_arm_m / old.back_arm_m,
        lean_deg=new.trunk_lean_deg - old.trunk_lean_deg,
        steps=tuple(_steps(puller, old, new)),
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
