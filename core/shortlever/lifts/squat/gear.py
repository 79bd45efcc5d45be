"""What one squats with and by which rule: where the bar lies, how deep, what the rulebooks say."""

from __future__ import annotations

from dataclasses import dataclass

from shortlever import gear
from shortlever.gear import BARS, Bar

__all__ = ["BARS", "DEPTHS", "POSITIONS", "RULE", "RULEBOOKS", "Bar", "Position", "Rules"]


@dataclass(frozen=True)
class Position:
    """Where the bar's centre lies on a back of REFERENCE_STATURE_M: above the acromion along the trunk and
    behind the line from hip to acromion (m). Common practice, no source; both grow with stature."""

    name: str
    above_acromion_m: float
    behind_m: float


POSITIONS = {"high": Position("high", 0.025, 0.060), "low": Position("low", -0.040, 0.075)}


@dataclass(frozen=True)
class Rules:
    """What a rulebook limits in the squat: whether the hip's crease must pass below the knee's top, how high
    a sole may be (m), and the rest as text."""

    name: str
    below_knee: bool = False
    max_sole_m: float | None = None
    contact: str = ""


RULEBOOKS = {name: Rules(name, **book.lifts.get("squat", {})) for name, book in gear.RULEBOOKS.items()}

RULE = RULEBOOKS["ipf"]  # by which a depth "rule" is judged: the depth is the same in all that have one

DEPTHS = ("rule", "level")
DEEPER_THAN_RULE_M = 0.005  # below level, so that a referee sees it (common practice, no source)
