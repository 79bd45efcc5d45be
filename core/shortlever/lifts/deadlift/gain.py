"""A suggestion against the present setup, with its price."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shortlever.errors import InfeasibleError
from shortlever.lifts.deadlift.measure import Assessment, assess_pull
from shortlever.lifts.deadlift.setup import Puller

NOTICEABLE = 0.02  # of effort or stroke: less a lifter does not notice (assumption; sets tell 2.5 kg in 100)


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
