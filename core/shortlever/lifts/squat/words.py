"""What is said of a squat: codes of the catalogue with the numbers that stand in them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shortlever.lifts.squat.advice import Choice, Gain, Suggestion
from shortlever.lifts.squat.decision import decision_of
from shortlever.lifts.squat.measure import Assessment, Row
from shortlever.lifts.squat.search import WORTH_A_HEEL_M
from shortlever.lifts.squat.squat import Squat
from shortlever.say import Said, Text, in_row
from shortlever.units import LENGTH_UNITS, settable

CAUTIONS: tuple[tuple[Text, Text | None], ...] = (
    (Said("squat_caution_safeties"), None),
    (Said("squat_caution_spotters"), None),
    (Said("squat_caution_small_steps"), None),
    (Said("squat_caution_pain"), None),
    (Said("caution_rules"), None),
    (Said("caution_estimates"), None),
    (Said("squat_caution_tuck"), None),
)
TILE_M = 0.30  # a floor tile, to read a foot's angle against
EVEN = 0.02  # of effort, under which two ways are told as the same


def clock(turn_deg: float, right: bool = True) -> str:
    """Where a foot points on a clock whose twelve is straight ahead, to five minutes.

    >>> clock(35), clock(35, right=False), clock(30), clock(2)
    ('1:10', '10:50', '1:00', '12:05')
    """
    minutes = round(turn_deg * 2 / 5) * 5
    minutes = minutes if right else 720 - minutes
    hours = minutes // 60 % 12
    return f"{hours or 12}:{minutes % 60:02d}"


@dataclass(frozen=True)
class Words:
    """Sentences about one squat; what is set is rounded in one unit ("cm" or "in")."""

    squat: Squat
    unit: str

    def set_m(self, value_m: float) -> float:
        """A length rounded to what can be set, m."""
        return settable(value_m, self.unit) * LENGTH_UNITS[self.unit]

    def setup(self, got: Assessment) -> Said:
        """A setup by its name."""
        parts = {
            "heels_m": self.set_m(got.marks.heels_m),
            "turn_deg": got.turn_out_deg,
            "back_m": self.set_m(got.sit_back_m),
        }
        if got.heel_m <= WORTH_A_HEEL_M:
            return Said("squat_setup", parts)
        return Said("squat_setup_on_heels", parts | {"heel_m": self.set_m(got.heel_m)})

    def candidate(
        self, got: Assessment, present: bool = False, dial: float | None = None
    ) -> dict[str, object]:
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

    def marks_of_set(self, got: Assessment) -> list[Text]:
        """What is looked for before a set: heels, toes, depth."""
        m, turn = got.marks, got.turn_out_deg
        toes = {"left": clock(turn, right=False), "right": clock(turn)}
        return [
            Said("squat_set_heels", {"hands": m.heels_in_hands}),
            Said("squat_set_toes", toes),
            Said("squat_set_box", {"box_m": m.box_m}),
        ]

    def reasons(self, advice: Suggestion) -> list[dict[str, Text]]:
        """What stopped the suggestion, one sentence each."""
        return [{"code": one.code, "message": one.said} for one in advice.binding]

    def gain(
        self,
        got: Assessment,
        now: Assessment,
        gain: Gain,
        given: Mapping[str, float] | None = None,
        picked: bool = False,
    ) -> dict[str, Any]:
        """The decision, the suggestion against the present setup and its price, and what each part brings."""
        decision = decision_of(got, now, self.set_m, given, stay=gain.stay, picked=picked)
        if gain.stay:
            text = Said("squat_gain_stay")
        else:
            text = Said("squat_gain", {"stroke": change(gain.stroke), "effort": cost(gain.effort)})
        arms = {"hip": change(gain.hip_arm), "knee": change(gain.knee_arm), "back": change(gain.back_arm)}
        changed = {
            "stance": abs(got.stance_m - now.stance_m) > 0.004,
            "turn": abs(got.turn_out_deg - now.turn_out_deg) > 0.5,
            "heel": abs(got.heel_m - now.heel_m) > WORTH_A_HEEL_M,
            "hips": abs(got.sit_back_m - now.sit_back_m) > 0.004,
        }
        steps = [
            Said(f"squat_gain_by_{step.key}", {"stroke": change(step.stroke), "effort": cost(step.effort)})
            for step in gain.steps
            if changed[step.key]
        ]
        return {
            "code": decision.code,
            "decision": in_row(decision.said),
            "text": in_row([*decision.because, text]),
            "parts": [Said("squat_gain_arms", arms), *steps],
        }

    def figure_text(self, got: Assessment, now: Assessment | None) -> Said:
        """What the picture shows, for who cannot see it."""
        shown = {
            "lean_deg": got.trunk_lean_deg,
            "shin_deg": got.shin_side_deg,
            "hip_arm_m": got.hip_arm_m,
            "knee_arm_m": got.knee_arm_m,
            "back_arm_m": got.back_arm_m,
            "stroke_m": got.stroke_m,
        }
        text = [Said("squat_figure", shown), Said(f"squat_figure_{got.depth}")]
        if now:
            there = {"hip_arm_m": now.hip_arm_m, "lean_deg": now.trunk_lean_deg}
            text.append(Said("squat_figure_present", there))
        return in_row(text)

    def table(self, got: Assessment) -> list[list[Text]]:
        """Name and value of every number of a setup."""
        bottom = max(got.path, key=lambda row: row.effort) is got.path[0]
        up = Said("squat_above_bottom", {"height_m": got.hardest_height_m})
        shares = {joint: 100 * part for joint, part in got.work_share.items()}
        shown: dict[str, Text] = {
            "heels": length(self.set_m(got.marks.heels_m)),
            "ankles": length(got.stance_m),
            "turn_out": degrees(got.turn_out_deg),
            "heel": length(self.set_m(got.heel_m)),
            "bar": Said(f"squat_{got.bar_position}_bar"),
            "hip_arm": length(got.hip_arm_m),
            "knee_arm": length(got.knee_arm_m),
            "back_arm": length(got.back_arm_m),
            "lean": degrees(got.trunk_lean_deg),
            "shin": degrees(got.shin_deg),
            "ankle": degrees(got.ankle_deg),
            "knee": degrees(got.knee_deg),
            "fold": degrees(got.hip_deg),
            "spread": degrees(got.spread_deg),
            "stroke": length(got.stroke_m),
            "drift": length(got.bar_drift_m),
            "hardest": Said("squat_at_bottom") if bottom else up,
            "work": Said("squat_work_shares", shares),
            "standing": length(got.bar_standing_m),
        }
        return [[Said(f"squat_row_{name}"), value] for name, value in shown.items()]

    def marks(self, got: Assessment) -> list[dict[str, Text]]:
        """How to find the setup on a strange floor, in a strange rack."""
        m = got.marks
        toes = {
            "turn_deg": m.turn_out_deg,
            "right": clock(m.turn_out_deg),
            "left": clock(m.turn_out_deg, right=False),
            "aside_m": TILE_M * math.tan(math.radians(m.turn_out_deg)),
            "tile_m": TILE_M,
        }
        past = "past" if m.knee_past_toes_m >= 0 else "behind"
        found = {
            "heels": Said("squat_mark_heels_text", {"heels_m": m.heels_m, "hands": m.heels_in_hands}),
            "toes": Said("squat_mark_toes_text", toes),
            "hooks": Said("squat_mark_hooks_text", {"hook_m": m.hook_m}),
            "safeties": Said("squat_mark_safeties_text", {"bar_m": got.bar_standing_m - got.stroke_m}),
            "knees": Said(f"squat_mark_knees_{past}", {"knees_m": abs(m.knee_past_toes_m)}),
            "box": Said("squat_mark_box_text", {"box_m": m.box_m}),
        }
        if got.heel_m > WORTH_A_HEEL_M:
            found["shoe"] = Said("squat_mark_shoe_text", {"heel_m": self.set_m(got.heel_m)})
        return [{"key": key, "label": Said(f"squat_mark_{key}"), "text": text} for key, text in found.items()]

    def rows(self, got: Assessment) -> list[Said]:
        """One sentence for each height of the rep."""
        return [self._row(row, i, len(got.path)) for i, row in enumerate(got.path)]

    def _row(self, row: Row, i: int, count: int) -> Said:
        place = Said("path_up", {"height_m": row.height_m})
        if i in (0, count - 1):
            place = Said("squat_standing") if i else Said("squat_bottom")
        arms = {"hip_arm_m": row.hip_arm_m, "knee_arm_m": row.knee_arm_m, "back_arm_m": row.back_arm_m}
        return Said("squat_path_row", {"place": place, "lean_deg": row.trunk_lean_deg, **arms})

    def bands(self, advice: Suggestion) -> list[dict[str, Any]]:
        """What is nearly free, each with its ends and a sentence."""
        found = []
        for band in advice.bands:
            angle = band.key.endswith("_deg")
            low, high = (degrees(v) if angle else length(self.set_m(v)) for v in (band.low, band.high))
            said = Said(f"squat_band_{band.key}", {"low": low, "high": high, "percent": 100 * band.within})
            ends = {"low": round(band.low, 6), "high": round(band.high, 6)}
            found.append({"key": band.key, **ends, "text": said})
        return found

    def beside(self, got: Assessment, other: Assessment) -> dict[str, Any]:
        """The bar carried the other way on the same feet, each number beside this one's."""

        def shown(one: Assessment) -> list[Text]:
            arms = (one.hip_arm_m, one.knee_arm_m, one.back_arm_m, one.stroke_m)
            return [degrees(one.trunk_lean_deg), *(length(value) for value in arms)]

        names = [Said(f"squat_row_{name}") for name in ("lean", "hip_arm", "knee_arm", "back_arm", "stroke")]
        ratio = got.limit_load_index / other.limit_load_index
        there = Said(f"squat_{other.bar_position}_bar")
        back = change(other.back_arm_m / got.back_arm_m)
        if abs(ratio - 1) < EVEN:
            text = Said("squat_beside_even", {"there": there, "back": back, "percent": 100 * EVEN})
        else:
            text = Said("squat_beside", {"there": there, "back": back, "effort": cost(ratio)})
        return {
            "here": Said(f"squat_{got.bar_position}_bar"),
            "there": there,
            "rows": [list(row) for row in zip(names, shown(got), shown(other), strict=True)],
            "text": text,
        }

    def choice(self, choice: Choice) -> Said:
        """One place of the dial."""
        shown = {
            "back_m": choice.hip_arm_m,
            "knee_arm_m": choice.knee_arm_m,
            "low_back_m": choice.back_arm_m,
            "lean_deg": choice.trunk_lean_deg,
            "percent": 100 * (choice.effort - 1),
        }
        return Said("squat_choice", shown)


def setup_in_words(parts: Mapping[str, Any]) -> Text:
    """A setup by its parts, "" where they are none."""
    stance, turn, heel, back = (
        parts.get(key) for key in ("stance_m", "turn_out_deg", "heel_m", "sit_back_m")
    )
    if not all(isinstance(value, int | float) for value in (stance, turn, heel, back)):
        return ""
    values = {"ankles_m": stance, "turn_deg": turn, "heel_m": heel, "back_m": back}
    return Said("squat_in_words", values)


def length(value_m: float) -> Said:
    """A length with its unit."""
    return Said("length", {"x_m": value_m})


def degrees(value: float) -> Said:
    """An angle in whole degrees."""
    return Said("degrees", {"x_deg": value})


def change(ratio: float) -> Said:
    """How much shorter or longer."""
    share = round(100 * abs(ratio - 1))
    how = "unchanged" if not share else "shorter" if ratio < 1 else "longer"
    return Said(f"change_{how}", {"share": share})


def cost(ratio: float) -> Said:
    """How much less or more effort."""
    share = round(100 * abs(ratio - 1))
    how = "same" if not share else "less" if ratio < 1 else "more"
    return Said(f"squat_cost_{how}", {"share": share})
