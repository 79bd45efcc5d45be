"""What is said of a pull: codes of the catalogue with the numbers that stand in them (all of one lift: 300
lines)."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shortlever.gear import PLATE_DIAMETER_M
from shortlever.lifts.deadlift.advice import Suggestion
from shortlever.lifts.deadlift.decision import decision_of
from shortlever.lifts.deadlift.gain import Gain
from shortlever.lifts.deadlift.marks import Marks
from shortlever.lifts.deadlift.measure import Assessment, Row
from shortlever.lifts.deadlift.one_style import Choice
from shortlever.lifts.deadlift.setup import Puller
from shortlever.say import Said, Text, in_row
from shortlever.units import LENGTH_UNITS, settable

CAUTIONS: tuple[tuple[Text, Text | None], ...] = (
    (Said("pull_caution_collars"), None),
    (Said("pull_caution_steps"), None),
    (Said("pull_caution_pain"), None),
    (Said("pull_caution_rounding"), None),
    (Said("pull_caution_lockout"), None),
    (Said("caution_rules"), None),
    (Said("caution_estimates"), None),
)
TILE_M = 0.30  # a floor tile, to read a foot's angle against
LEVEL_M = 0.004  # what is higher or lower by less is told as level


def clock(turn_deg: float, right: bool = True) -> str:
    """Where a foot points on a clock whose twelve is straight ahead, to five minutes.

    >>> clock(10), clock(10, right=False), clock(42)
    ('12:20', '11:40', '1:25')
    """
    minutes = round(turn_deg * 2 / 5) * 5
    minutes = minutes if right else 720 - minutes
    hours = minutes // 60 % 12
    return f"{hours or 12}:{minutes % 60:02d}"


@dataclass(frozen=True)
class Words:
    """Sentences about one puller; what is set is rounded in one unit ("cm" or "in")."""

    puller: Puller
    unit: str

    def set_m(self, value_m: float) -> float:
        """A length rounded to what can be set, m."""
        return settable(value_m, self.unit) * LENGTH_UNITS[self.unit]

    def setup(self, got: Assessment) -> Said:
        """A setup by its name."""
        parts = {
            "heels_m": self.set_m(got.marks.heels_m),
            "turn_deg": got.turn_out_deg,
            "hands_m": self.set_m(got.marks.hands_m),
            "hips_m": self.set_m(got.hip_height_m),
        }
        return Said("pull_setup", {"style": Said(f"pull_{got.style}"), **parts})

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
        """What is looked for before a set: heels, toes, hands, bar and shin."""
        m, turn = got.marks, got.turn_out_deg
        return [
            Said("squat_set_heels", {"hands": m.heels_in_hands}),
            Said("squat_set_toes", {"left": clock(turn, right=False), "right": clock(turn)}),
            hands_on_bar(m, "pull_set_hands"),
            Said("pull_set_shin", {"gap_m": m.bar_to_shin_m}),
        ]

    def reasons(self, advice: Suggestion) -> list[dict[str, Text]]:
        """What stopped the suggestion, one sentence each, and why there is no other style."""
        found: list[dict[str, Text]] = [{"code": one.code, "message": one.said} for one in advice.binding]
        if advice.other_why:
            found.append({"code": "other", "message": Said("pull_other_none", {"why": advice.other_why})})
        return found

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
        lean = float(round(gain.lean_deg)) or 0.0  # never -0
        arms = {"hip": change(gain.hip_arm), "back": change(gain.back_arm), "lean_deg": lean}
        least = {"turn_out_deg": 0.5, "style": 0.0}
        steps = [
            Said(f"pull_gain_by_{step.key}", {"stroke": change(step.stroke), "effort": cost(step.effort)})
            for step in gain.steps
            if step.key == "style"
            or abs(getattr(got, step.key) - getattr(now, step.key)) > least.get(step.key, LEVEL_M)
        ]
        return {
            "code": decision.code,
            "decision": in_row(decision.said),
            "text": in_row([*decision.because, text]),
            "parts": [Said("pull_gain_arms", arms), *steps],
        }

    def figure_text(self, got: Assessment, now: Assessment | None) -> Said:
        """What the picture shows, for who cannot see it."""
        shown = {
            "style": Said(f"pull_{got.style}"),
            "lean_deg": got.trunk_lean_deg,
            "shin_deg": got.shin_side_deg,
            "hip_arm_m": got.hip_arm_m,
            "back_arm_m": got.back_arm_m,
            "hips_m": got.hip_height_m,
            "stroke_m": got.stroke_m,
        }
        text = [Said("pull_figure", shown)]
        if now:
            there = {"hip_arm_m": now.hip_arm_m, "lean_deg": now.trunk_lean_deg}
            text.append(Said("pull_figure_present", {"style": Said(f"pull_{now.style}"), **there}))
        return in_row(text)

    def table(self, got: Assessment) -> list[list[Text]]:
        """Name and value of every number of a setup."""
        start = got.hardest_height_m == 0
        up = Said("path_up", {"height_m": got.hardest_height_m})
        shares = {joint: 100 * part for joint, part in got.work_share.items()}
        shown: dict[str, Text] = {
            "pull_style": Said(f"pull_{got.style}"),
            "squat_row_heels": length(self.set_m(got.marks.heels_m)),
            "squat_row_ankles": length(got.stance_m),
            "squat_row_turn_out": degrees(got.turn_out_deg),
            "pull_row_hands": length(self.set_m(got.marks.hands_m)),
            "pull_row_middles": length(got.grip_m),
            "pull_row_hips": length(got.hip_height_m),
            "pull_row_ahead": length(got.shoulder_ahead_m),
            "pull_row_hip_arm": length(got.hip_arm_m),
            "pull_row_knee_arm": length(got.knee_arm_m),
            "squat_row_back_arm": length(got.back_arm_m),
            "squat_row_lean": degrees(got.trunk_lean_deg),
            "squat_row_shin": degrees(got.shin_deg),
            "squat_row_knee": degrees(got.knee_deg),
            "squat_row_fold": degrees(got.hip_deg),
            "squat_row_spread": degrees(got.spread_deg),
            "squat_row_stroke": length(got.stroke_m),
            "pull_row_drift": length(got.bar_drift_m),
            "squat_row_hardest": Said("pull_at_start") if start else up,
            "squat_row_work": Said("pull_work_shares", shares),
            "row_above_floor": length(got.lockout_height_m),
        }
        return [[Said(name), value] for name, value in shown.items()]

    def marks(self, got: Assessment) -> list[dict[str, Text]]:
        """How to find the setup on a strange floor, on a strange bar."""
        m = got.marks
        toes = {
            "turn_deg": m.turn_out_deg,
            "right": clock(m.turn_out_deg),
            "left": clock(m.turn_out_deg, right=False),
            "aside_m": TILE_M * math.tan(math.radians(m.turn_out_deg)),
            "tile_m": TILE_M,
        }
        gap = {"gap_m": m.bar_to_shin_m, "fingers": round(2 * m.bar_to_shin_in_fingers) / 2}
        blocks = "level" if abs(m.stack_m) < LEVEL_M else "higher" if m.stack_m > 0 else "lower"
        bar = {"stack_m": abs(m.stack_m), "discs_m": m.discs_m, "plates_m": PLATE_DIAMETER_M}
        found = {
            "squat_mark_heels": Said(
                "squat_mark_heels_text", {"heels_m": m.heels_m, "hands": m.heels_in_hands}
            ),
            "squat_mark_toes": Said("squat_mark_toes_text", toes),
            "pull_mark_hands": hands_on_bar(m),
            "pull_mark_shin": Said("pull_mark_shin_text", gap),
            "pull_mark_string": Said("pull_mark_string_text", {"string_m": m.string_m, "box_m": m.box_m}),
            "pull_mark_bar": Said(f"pull_mark_bar_{blocks}", bar),
        }
        return [
            {"key": label.rpartition("_")[2], "label": Said(label), "text": text}
            for label, text in found.items()
        ]

    def rows(self, got: Assessment) -> list[Said]:
        """One sentence for each height of the bar."""
        return [self._row(row, i, len(got.path)) for i, row in enumerate(got.path)]

    def _row(self, row: Row, i: int, count: int) -> Said:
        place = Said("path_up", {"height_m": row.height_m})
        if i in (0, count - 1):
            place = Said("lockout") if i else Said("pull_start")
        arms = {"hip_arm_m": row.hip_arm_m, "knee_arm_m": row.knee_arm_m, "back_arm_m": row.back_arm_m}
        return Said("squat_path_row", {"place": place, "lean_deg": row.trunk_lean_deg, **arms})

    def bands(self, advice: Suggestion) -> list[dict[str, Any]]:
        """What is nearly free, each with its ends and a sentence."""
        found = []
        for band in advice.bands:
            angle = band.key.endswith("_deg")
            low, high = (degrees(v) if angle else length(self.set_m(v)) for v in (band.low, band.high))
            said = Said(f"pull_band_{band.key}", {"low": low, "high": high, "percent": 100 * band.within})
            ends = {"low": round(band.low, 6), "high": round(band.high, 6)}
            found.append({"key": band.key, **ends, "text": said})
        return found

    def beside(self, got: Assessment, other: Assessment, winner: str) -> dict[str, Any]:
        """The best of the other style, each number beside this one's."""

        def shown(one: Assessment) -> list[Text]:
            lengths = (one.marks.heels_m, one.marks.hands_m, one.hip_height_m, one.hip_arm_m)
            return [
                *(length(value) for value in lengths),
                length(one.back_arm_m),
                degrees(one.trunk_lean_deg),
                length(one.stroke_m),
            ]

        feet, hips = ("squat_row_heels", "pull_row_hands"), ("pull_row_hips", "pull_row_hip_arm")
        names = (*feet, *hips, "squat_row_back_arm", "squat_row_lean", "squat_row_stroke")
        there = Said(f"pull_{other.style}")
        told = {
            "there": there,
            "effort": cost(other.effort / got.effort),
            "stroke": change(other.stroke_m / got.stroke_m),
        }
        rows = zip((Said(name) for name in names), shown(got), shown(other), strict=True)
        return {
            "here": Said(f"pull_{got.style}"),
            "there": there,
            "rows": [list(row) for row in rows],
            "text": Said("pull_beside" if winner else "pull_beside_open", told),
        }

    def choice(self, choice: Choice) -> Said:
        """One place of the dial."""
        shown = {
            "hips_m": choice.hip_height_m,
            "knee_arm_m": choice.knee_arm_m,
            "hip_arm_m": choice.hip_arm_m,
            "low_back_m": choice.back_arm_m,
            "lean_deg": choice.trunk_lean_deg,
            "percent": 100 * (choice.effort - 1),
        }
        return Said("pull_choice", shown)


def setup_in_words(parts: Mapping[str, Any]) -> Text:
    """A setup by its parts, "" where they are none."""
    stance, turn, grip, ahead = (
        parts.get(key) for key in ("stance_m", "turn_out_deg", "grip_m", "shoulder_ahead_m")
    )
    if not all(isinstance(value, int | float) for value in (stance, turn, grip, ahead)):
        return ""
    return Said("pull_in_words", {"ankles_m": stance, "turn_deg": turn, "grip_m": grip, "ahead_m": ahead})


def hands_on_bar(m: Marks, code: str = "pull_mark_hands") -> Said:
    """Where the hands are by the nearest ring, by the sleeve where there is none."""
    if m.from_ring_m is None or m.from_ring_in_hands is None:
        return Said(f"{code}_no_ring", {"far_m": m.from_sleeve_m})
    inside = "inside" if m.from_ring_m >= 0 else "outside"
    ring = {"far_m": abs(m.from_ring_m), "hands": abs(m.from_ring_in_hands), "ring_m": m.ring_m}
    return Said(f"{code}_{inside}", ring)


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
