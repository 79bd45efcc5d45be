"""What is said alike of every lift from the legs: codes of the catalogue with the numbers in them."""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, Generic, TypeVar

from shortlever.lifts.legs.advice import Gain, Suggestion
from shortlever.lifts.legs.decision import Change, broken_now, decide, of_feet
from shortlever.lifts.legs.measure import Assessment
from shortlever.lifts.shown import change, degrees, length
from shortlever.say import Said, Text, in_row
from shortlever.units import LENGTH_UNITS, settable

TILE_M = 0.30  # a floor tile, to read a foot's angle against
LEVEL_M, LEVEL_DEG = 0.004, 0.5  # what is higher, lower or turned by less is told as the same

A = TypeVar("A", bound=Assessment)
G = TypeVar("G", bound=Gain)


@dataclass(frozen=True)
class LegWords(ABC, Generic[A, G]):
    """Sentences about one lifter; what is set is rounded in one unit ("cm" or "in"). ``key``: what the lift's
    own codes begin with; ``ends``: what the first and the last height of a rep are called."""

    unit: str
    key: ClassVar[str]
    ends: ClassVar[tuple[Said, Said]]

    @abstractmethod
    def setup(self, got: A) -> Said:
        """A setup by its name."""

    def set_m(self, value_m: float) -> float:
        """A length rounded to what can be set, m."""
        return settable(value_m, self.unit) * LENGTH_UNITS[self.unit]

    def candidate(self, got: A, present: bool = False, dial: float | None = None) -> dict[str, object]:
        """A setup as sets can try it: its name, the numbers a trial starts from, how it is found."""
        return {
            "label": self.setup(got),
            "index": round(got.limit_load_index, 6),
            "stroke_m": round(got.stroke_m, 6),
            "mean_arm_m": None,
            "present": present,
            "dial": dial,
            "marks": self.marks_of_set(got),
        }

    def marks_of_set(self, got: A) -> list[Text]:
        """What is looked for before a set: heels and toes, then the lift's own."""
        left, right = clocks(got.turn_out_deg)
        return [
            Said("squat_set_heels", {"hands": got.marks.heels_in_hands}),
            Said("squat_set_toes", {"left": left, "right": right}),
        ]

    def gain(
        self, got: A, now: A, gain: G, given: Mapping[str, float] | None = None, picked: bool = False
    ) -> dict[str, Any]:
        """The decision, the suggestion against the present setup and its price, and what each part brings.
        See ``decide`` for ``given`` and ``picked``."""
        heels = now.marks.heels_m, self.set_m(got.marks.heels_m)
        decision = decide(
            (*of_feet(heels, (now.turn_out_deg, got.turn_out_deg)), self.third(got, now)),
            given,
            broken_now(now.limits, got.limits),
            stay=gain.stay,
            picked=picked,
            style=self.other_style(got, now),
        )
        brought = {"stroke": change(gain.stroke), "effort": cost(gain.effort)}
        text = Said("squat_gain_stay") if gain.stay else Said("squat_gain", brought)
        steps = [
            Said(
                f"{self.key}_gain_by_{step.key}", {"stroke": change(step.stroke), "effort": cost(step.effort)}
            )
            for step in gain.steps
            if self.tells(step.key, got, now)
        ]
        return {
            "code": decision.code,
            "decision": in_row(decision.said),
            "text": in_row([*decision.because, text]),
            "parts": [self.arms(gain), *steps],
        }

    @abstractmethod
    def third(self, got: A, now: A) -> Change:
        """What can be set besides the feet."""

    def other_style(self, got: A, now: A) -> Said | None:
        """What to say of another style; None where it is the same."""
        return None

    @abstractmethod
    def arms(self, gain: G) -> Said:
        """What becomes of the arms."""

    @abstractmethod
    def tells(self, step: str, got: A, now: A) -> bool:
        """Whether a step is so large that it is told."""

    def rows(self, got: A) -> list[Said]:
        """One sentence for each height of the bar."""
        said = []
        for i, row in enumerate(got.path):
            place = Said("path_up", {"height_m": row.height_m})
            if i in (0, len(got.path) - 1):
                place = self.ends[1 if i else 0]
            arms = {"hip_arm_m": row.hip_arm_m, "knee_arm_m": row.knee_arm_m, "back_arm_m": row.back_arm_m}
            said.append(Said("squat_path_row", {"place": place, "lean_deg": row.trunk_lean_deg, **arms}))
        return said

    def bands(self, advice: Suggestion[Any, A, G]) -> list[dict[str, Any]]:
        """What is nearly free, each with its ends and a sentence."""
        found = []
        for band in advice.bands:
            angle = band.key.endswith("_deg")
            low, high = (degrees(v) if angle else length(self.set_m(v)) for v in (band.low, band.high))
            values = {"low": low, "high": high, "percent": 100 * band.within}
            ends = {"low": round(band.low, 6), "high": round(band.high, 6)}
            found.append({"key": band.key, **ends, "text": Said(f"{self.key}_band_{band.key}", values)})
        return found


def marks_of_feet(got: Assessment) -> dict[str, Said]:
    """How to find heels and toes on a strange floor, by the codes of their labels."""
    m = got.marks
    toes = {
        "turn_deg": m.turn_out_deg,
        "right": clock(m.turn_out_deg),
        "left": clock(m.turn_out_deg, right=False),
        "aside_m": TILE_M * math.tan(math.radians(m.turn_out_deg)),
        "tile_m": TILE_M,
    }
    return {
        "squat_mark_heels": Said("squat_mark_heels_text", {"heels_m": m.heels_m, "hands": m.heels_in_hands}),
        "squat_mark_toes": Said("squat_mark_toes_text", toes),
    }


def listed(marks: Mapping[str, Said]) -> list[dict[str, Text]]:
    """Marks by the codes of their labels, as the screen lists them."""
    return [{"key": one.rpartition("_")[2], "label": Said(one), "text": text} for one, text in marks.items()]


def in_words(code: str, parts: Mapping[str, Any], names: Mapping[str, str]) -> Text:
    """A setup by its parts, "" where they are none; ``names``: the part by its name in the sentence."""
    values = {name: parts.get(key) for name, key in names.items()}
    numbers = {name: value for name, value in values.items() if isinstance(value, int | float)}
    return Said(code, numbers) if len(numbers) == len(values) else ""


def clock(turn_deg: float, right: bool = True) -> str:
    """Where a foot points on a clock whose twelve is straight ahead, to five minutes.

    >>> clock(35), clock(35, right=False), clock(30), clock(2)
    ('1:10', '10:50', '1:00', '12:05')
    """
    minutes = round(turn_deg * 2 / 5) * 5
    minutes = minutes if right else 720 - minutes
    hours = minutes // 60 % 12
    return f"{hours or 12}:{minutes % 60:02d}"


def clocks(turn_deg: float) -> tuple[str, str]:
    """The same of the left foot and of the right."""
    return clock(turn_deg, right=False), clock(turn_deg)


def cost(ratio: float) -> Said:
    """How much less or more effort."""
    share = round(100 * abs(ratio - 1))
    how = "same" if not share else "less" if ratio < 1 else "more"
    return Said(f"squat_cost_{how}", {"share": share})
