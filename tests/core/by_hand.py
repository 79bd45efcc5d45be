"""What only tests need of a press: the same body larger, and the straight path to compare the curve with."""

from __future__ import annotations

from dataclasses import replace

from shortlever import Body
from shortlever.lifts.bench.path import SEGMENTS
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.rep import Rep


def scaled(body: Body, factor: float) -> Body:
    """The same body with every length times ``factor``; masses stay."""
    names = [name for name in Body.__dataclass_fields__ if name.endswith("_m") and name != "sd_m"]
    arms = {
        side: replace(arm, upper_m=arm.upper_m * factor, fore_m=arm.fore_m * factor)
        for side, arm in (("right", body.right), ("left", body.left))
    }
    return replace(body, **{name: getattr(body, name) * factor for name in names}, **arms)  # type: ignore[arg-type]


def diagonal(press: Press, grip_m: float, touch_m: float) -> Rep:
    """The press along the straight line from the touch to over the shoulders."""
    path = [touch_m * (1 - i / SEGMENTS) for i in range(SEGMENTS + 1)]
    return press.rep_along(press.frame(grip_m, touch_m), path)
