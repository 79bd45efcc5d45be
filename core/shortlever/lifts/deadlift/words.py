"""What is said of a pull: codes of the catalogue with the numbers that stand in them (all of one lift: 300
lines)."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from shortlever.gear import PLATE_DIAMETER_M
from shortlever.lifts.deadlift.advice import Suggestion
from shortlever.lifts.deadlift.marks import Marks
from shortlever.lifts.deadlift.measure import Assessment
from shortlever.lifts.deadlift.one_style import Choice
from shortlever.lifts.legs.advice import Gain
from shortlever.lifts.legs.decision import Change
from shortlever.lifts.legs.words import LEVEL_DEG, LEVEL_M, LegWords, cost, in_words, listed, marks_of_feet
from shortlever.lifts.shown import change, degrees, length
from shortlever.say import Said, Text, in_row

CAUTIONS: tuple[tuple[Text, Text | None], ...] = (
    (Said("pull_caution_collars"), None),
    (Said("pull_caution_steps"), None),
    (Said("pull_caution_pain"), None),
    (Said("pull_caution_rounding"), None),
    (Said("pull_caution_lockout"), None),
    (Said("caution_rules"), None),
    (Said("caution_estimates"), None),
)
BUILD = {"arm": (Said("pull_build_arm_short"), Said("pull_build_arm_long"))}  # see ``Lift.build``


class Words(LegWords[Assessment, Gain]):
    """Sentences about one puller."""

    key = "pull"
    ends = (Said("pull_start"), Said("lockout"))

    def setup(self, got: Assessment) -> Said:
        """A setup by its name."""
        parts = {
            "heels_m": self.set_m(got.marks.heels_m),
            "turn_deg": got.turn_out_deg,
            "hands_m": self.set_m(got.marks.hands_m),
            "hips_m": self.set_m(got.hip_height_m),
        }
        return Said("pull_setup", {"style": Said(f"pull_{got.style}"), **parts})

    def marks_of_set(self, got: Assessment) -> list[Text]:
        """Heels, toes, hands, bar and shin."""
        hands = hands_on_bar(got.marks, "pull_set_hands")
        shin = Said("pull_set_shin", {"gap_m": got.marks.bar_to_shin_m})
        return [*super().marks_of_set(got), hands, shin]

    def reasons(self, advice: Suggestion) -> list[dict[str, Text]]:
        """What stopped the suggestion, one sentence each, and why there is no other style."""
        found = [one.told() for one in advice.binding]
        if advice.other_why:
            found.append({"code": "other", "message": Said("pull_other_none", {"why": advice.other_why})})
        return found

    def third(self, got: Assessment, now: Assessment) -> Change:
        """The hands."""
        return Change("hands", "current_hands", now.marks.hands_m, self.set_m(got.marks.hands_m))

    def other_style(self, got: Assessment, now: Assessment) -> Said | None:
        """The style to change to."""
        if got.style == now.style:
            return None
        return Said("pull_change_style", {"style": Said(f"pull_{got.style}")})

    def arms(self, gain: Gain) -> Said:
        """What becomes of the arms of hip and low back, and of the lean."""
        lean = float(round(gain.lean_deg)) or 0.0  # never -0
        arms = {"hip": change(gain.hip_arm), "back": change(gain.back_arm), "lean_deg": lean}
        return Said("pull_gain_arms", arms)

    def tells(self, step: str, got: Assessment, now: Assessment) -> bool:
        """Whether it is a change of style, or feet, hands or hips move so far."""
        if step == "style":
            return True
        far: float = getattr(got, step) - getattr(now, step)
        return abs(far) > (LEVEL_DEG if step == "turn_out_deg" else LEVEL_M)

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
        fingers = Said("pull_fingers", {"count": round(2 * m.bar_to_shin_in_fingers) / 2})
        gap = {"gap_m": m.bar_to_shin_m, "fingers": fingers}
        blocks = "level" if abs(m.stack_m) < LEVEL_M else "higher" if m.stack_m > 0 else "lower"
        bar = {"stack_m": abs(m.stack_m), "discs_m": m.discs_m, "plates_m": PLATE_DIAMETER_M}
        found = marks_of_feet(got) | {
            "pull_mark_hands": hands_on_bar(m),
            "pull_mark_shin": Said("pull_mark_shin_text", gap),
            "pull_mark_string": Said("pull_mark_string_text", {"string_m": m.string_m, "box_m": m.box_m}),
            "pull_mark_bar": Said(f"pull_mark_bar_{blocks}", bar),
        }
        return listed(found)

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
    names = {
        "ankles_m": "stance_m",
        "turn_deg": "turn_out_deg",
        "grip_m": "grip_m",
        "ahead_m": "shoulder_ahead_m",
    }
    return in_words("pull_in_words", parts, names)


def hands_on_bar(m: Marks, code: str = "pull_mark_hands") -> Said:
    """Where the hands are by the nearest ring, by the sleeve where there is none."""
    if m.from_ring_m is None or m.from_ring_in_hands is None:
        return Said(f"{code}_no_ring", {"far_m": m.from_sleeve_m})
    inside = "inside" if m.from_ring_m >= 0 else "outside"
    ring = {"far_m": abs(m.from_ring_m), "hands": abs(m.from_ring_in_hands), "ring_m": m.ring_m}
    return Said(f"{code}_{inside}", ring)
