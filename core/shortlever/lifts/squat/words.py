"""What is said of a squat: sentences of the catalogue, in the unit that was chosen."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shortlever.lifts.squat.advice import Choice, Gain, Suggestion
from shortlever.lifts.squat.measure import Assessment, Row
from shortlever.lifts.squat.search import WORTH_A_HEEL_M
from shortlever.lifts.squat.squat import Squat
from shortlever.say import Said
from shortlever.units import settable, show_length

CAUTIONS = tuple(
    (str(said), None)
    for said in (
        Said("squat_caution_safeties"),
        Said("squat_caution_spotters"),
        Said("squat_caution_small_steps"),
        Said("squat_caution_pain"),
        Said("squat_caution_rules"),
        Said("squat_caution_estimates"),
        Said("squat_caution_tuck"),
    )
)
TILE_M = 0.30  # a floor tile, to read a foot's angle against
POSITIONS = {"high": "high bar", "low": "low bar"}


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
    """Sentences about one squat in one unit ("cm" or "in")."""

    squat: Squat
    unit: str

    def length(self, value_m: float) -> str:
        """A length with its unit."""
        return f"{show_length(value_m, self.unit)} {self.unit}"

    def to_set(self, value_m: float) -> str:
        """A length rounded to what can be set, without its unit."""
        return f"{settable(value_m, self.unit):.{2 if self.unit == 'in' else 1}f}"

    def say(self, code: str, **values: float | str | Said) -> str:
        """A sentence of the catalogue."""
        return Said(code, values).in_unit(self.unit)

    def setup(self, got: Assessment) -> str:
        """A setup by its name."""
        heels = f"{self.to_set(got.marks.heels_m)} {self.unit}"
        back = f"{self.to_set(got.sit_back_m)} {self.unit}"
        text = f"Heels {heels}, {got.turn_out_deg:.0f}° out, hips {back} back"
        return text + (f", heel {self.to_set(got.heel_m)} {self.unit}" if got.heel_m > WORTH_A_HEEL_M else "")

    def candidate(self, got: Assessment, present: bool = False) -> dict[str, object]:
        """A setup as sets can try it: its name, and the numbers a trial starts from."""
        return {
            "label": self.setup(got),
            "index": round(got.limit_load_index, 6),
            "stroke_m": round(got.stroke_m, 6),
            "mean_arm_m": None,
            "present": present,
        }

    def reasons(self, advice: Suggestion) -> list[dict[str, str]]:
        """What stopped the suggestion, one sentence each."""
        return [{"code": one.code, "message": one.said.in_unit(self.unit)} for one in advice.binding]

    def gain(self, got: Assessment, now: Assessment, gain: Gain) -> dict[str, object]:
        """The suggestion against the present setup and its price, and what each part brings."""
        if gain.stay:
            text = self.say("squat_gain_stay")
        else:
            changes = {"stroke": _change(gain.stroke), "effort": _more(gain.effort)}
            text = self.say("squat_gain", **changes)
        arms = {"hip": _change(gain.hip_arm), "knee": _change(gain.knee_arm), "back": _change(gain.back_arm)}
        parts = [self.say("squat_gain_arms", **arms)]
        changed = {
            "stance": abs(got.stance_m - now.stance_m) > 0.004,
            "turn": abs(got.turn_out_deg - now.turn_out_deg) > 0.5,
            "heel": abs(got.heel_m - now.heel_m) > WORTH_A_HEEL_M,
            "hips": abs(got.sit_back_m - now.sit_back_m) > 0.004,
        }
        for step in gain.steps:
            if changed[step.key]:
                change = {"stroke": _change(step.stroke), "effort": _more(step.effort)}
                parts.append(self.say(f"squat_gain_by_{step.key}", **change))
        return {"text": text, "parts": parts}

    def figure_text(self, got: Assessment, now: Assessment | None) -> str:
        """What the picture shows, for who cannot see it."""
        text = self.say(
            "squat_figure",
            lean_deg=got.trunk_lean_deg,
            shin_deg=got.shin_side_deg,
            hip_arm_m=got.hip_arm_m,
            knee_arm_m=got.knee_arm_m,
            back_arm_m=got.back_arm_m,
            stroke_m=got.stroke_m,
        )
        text += " " + self.say(f"squat_depth_{got.depth}")
        if now:
            there = {"hip_arm_m": now.hip_arm_m, "lean_deg": now.trunk_lean_deg}
            text += " " + self.say("squat_figure_now", **there)
        return text

    def table(self, got: Assessment) -> list[list[str]]:
        """Name and value of every number of a setup."""
        share = ", ".join(f"{joint} {100 * part:.0f} %" for joint, part in got.work_share.items())
        index = max(range(len(got.path)), key=lambda i: got.path[i].effort)
        hardest = "at the bottom" if index == 0 else f"{self.length(got.hardest_height_m)} above the bottom"
        return [
            ["Heels, middle to middle", f"{self.to_set(got.marks.heels_m)} {self.unit}"],
            ["Ankle joints apart", self.length(got.stance_m)],
            ["Turn-out of each foot", f"{got.turn_out_deg:.0f}°"],
            ["Heel over ball", f"{self.to_set(got.heel_m)} {self.unit}"],
            ["Bar", POSITIONS[got.bar_position]],
            ["Hips behind mid-foot (hip arm)", self.length(got.hip_arm_m)],
            ["Knees ahead of mid-foot (knee arm)", self.length(got.knee_arm_m)],
            ["Bar ahead of the low back (back arm)", self.length(got.back_arm_m)],
            ["Trunk from vertical", f"{got.trunk_lean_deg:.0f}°"],
            ["Shin from vertical, along the foot", f"{got.shin_deg:.0f}°"],
            ["Ankle over the sole", f"{got.ankle_deg:.0f}°"],
            ["Knee bend", f"{got.knee_deg:.0f}°"],
            ["Trunk to thigh", f"{got.hip_deg:.0f}° of fold"],
            ["Thigh from straight ahead, seen from above", f"{got.spread_deg:.0f}°"],
            ["Stroke", self.length(got.stroke_m)],
            ["Bar ahead of mid-foot at the bottom", self.length(got.bar_drift_m)],
            ["Hardest", hardest],
            ["Work by joint", share],
            ["Bar above the floor, standing", self.length(got.bar_standing_m)],
        ]

    def marks(self, got: Assessment) -> list[dict[str, str]]:
        """How to find the setup on a strange floor, in a strange rack."""
        m = got.marks
        past = "past" if m.knee_past_toes_m >= 0 else "behind"
        found = [
            (
                "heels",
                "Heels",
                self.say("squat_mark_heels", heels_m=m.heels_m, hands=m.heels_in_hands),
            ),
            (
                "toes",
                "Toes",
                self.say(
                    "squat_mark_toes",
                    turn_deg=m.turn_out_deg,
                    right=clock(m.turn_out_deg),
                    left=clock(m.turn_out_deg, right=False),
                    aside_m=TILE_M * math.tan(math.radians(m.turn_out_deg)),
                    tile_m=TILE_M,
                ),
            ),
            ("hook", "Hooks", self.say("squat_mark_hook", hook_m=m.hook_m)),
            ("safeties", "Safeties", self.say("squat_mark_safeties", bar_m=_bar_at_bottom(got))),
            (
                "knees",
                "Knees",
                self.say(f"squat_mark_knees_{past}", knees_m=abs(m.knee_past_toes_m)),
            ),
            ("box", "Box", self.say("squat_mark_box", box_m=m.box_m)),
        ]
        if got.heel_m > WORTH_A_HEEL_M:
            found.append(("heel", "Shoe", self.say("squat_mark_heel", heel_m=got.heel_m)))
        return [{"key": key, "label": label, "text": text} for key, label, text in found]

    def rows(self, got: Assessment) -> list[str]:
        """One sentence for each height of the rep."""
        return [self._row(row, i, len(got.path)) for i, row in enumerate(got.path)]

    def _row(self, row: Row, i: int, count: int) -> str:
        place = "At the bottom" if i == 0 else f"{self.length(row.height_m)} up"
        if i == count - 1:
            place = "Standing"
        return self.say(
            "squat_row",
            place=place,
            hip_arm_m=row.hip_arm_m,
            knee_arm_m=row.knee_arm_m,
            back_arm_m=row.back_arm_m,
            lean_deg=row.trunk_lean_deg,
        )

    def bands(self, advice: Suggestion) -> list[dict[str, object]]:
        """What is nearly free, each with its ends and a sentence."""
        found = []
        for band in advice.bands:
            low, high = (
                f"{v:.0f}°" if band.key.endswith("_deg") else f"{self.to_set(v)} {self.unit}"
                for v in (band.low, band.high)
            )
            text = self.say(f"squat_band_{band.key}", low=low, high=high, percent=100 * band.within)
            found.append(
                {"key": band.key, "low": round(band.low, 6), "high": round(band.high, 6), "text": text}
            )
        return found

    def beside(self, got: Assessment, other: Assessment) -> dict[str, object]:
        """The bar carried the other way on the same feet, each number beside this one's."""
        pairs = (
            ("Trunk from vertical", "trunk_lean_deg"),
            ("Hip arm", "hip_arm_m"),
            ("Knee arm", "knee_arm_m"),
            ("Back arm", "back_arm_m"),
            ("Stroke", "stroke_m"),
        )

        def shown(one: Assessment, key: str) -> str:
            value = getattr(one, key)
            return f"{value:.0f}°" if key.endswith("_deg") else self.length(value)

        percent = 100 * (got.limit_load_index / other.limit_load_index - 1)
        change = {"there": POSITIONS[other.bar_position], "back": _change(other.back_arm_m / got.back_arm_m)}
        if abs(percent) < 2:
            text = self.say("squat_beside_even", **change)
        else:
            text = self.say("squat_beside", **change, effort=_more(1 + percent / 100))
        return {
            "here": POSITIONS[got.bar_position],
            "there": POSITIONS[other.bar_position],
            "rows": [[name, shown(got, key), shown(other, key)] for name, key in pairs],
            "text": text,
        }

    def choice(self, choice: Choice) -> str:
        """One place of the dial."""
        return self.say(
            "squat_choice",
            back_m=choice.hip_arm_m,
            knee_arm_m=choice.knee_arm_m,
            low_back_m=choice.back_arm_m,
            lean_deg=choice.trunk_lean_deg,
            percent=100 * (choice.effort - 1),
        )


def _bar_at_bottom(got: Assessment) -> float:
    return got.bar_standing_m - got.stroke_m


def setup_in_words(squat_parts: Mapping[str, Any]) -> str:
    """A setup by its parts in cm, "" where they are none."""
    values = [squat_parts.get(key) for key in ("stance_m", "turn_out_deg", "heel_m", "sit_back_m")]
    if not all(isinstance(value, int | float) for value in values):
        return ""
    stance, turn, heel, back = (float(v) for v in values)  # type: ignore[arg-type]
    text = f"ankles {100 * stance:.1f} cm, {turn:.0f}° out, hips {100 * back:.1f} cm back"
    return text + (f", heel {100 * heel:.1f} cm" if heel > WORTH_A_HEEL_M else "")


def _change(ratio: float) -> str:
    share = round(100 * abs(ratio - 1))
    return f"{share} % {'shorter' if ratio < 1 else 'longer'}" if share else "unchanged"


def _more(ratio: float) -> str:
    share = round(100 * abs(ratio - 1))
    return f"{share} % {'less' if ratio < 1 else 'more'}" if share else "the same"
