"""What is said of a squat: codes of the catalogue with the numbers that stand in them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from shortlever.lifts.legs.advice import Choice
from shortlever.lifts.legs.decision import LEAST_HEEL_M, Change
from shortlever.lifts.legs.words import LEVEL_DEG, LEVEL_M, LegWords, cost, in_words, listed, marks_of_feet
from shortlever.lifts.shown import change, degrees, length
from shortlever.lifts.squat.advice import Gain
from shortlever.lifts.squat.measure import Assessment, Setup
from shortlever.lifts.squat.search import WORTH_A_HEEL_M
from shortlever.say import Said, Text, in_row

CAUTIONS: tuple[tuple[Text, Text | None], ...] = (
    (Said("squat_caution_safeties"), None),
    (Said("squat_caution_spotters"), None),
    (Said("squat_caution_small_steps"), None),
    (Said("squat_caution_pain"), None),
    (Said("caution_rules"), None),
    (Said("caution_estimates"), None),
    (Said("squat_caution_tuck"), None),
)
EVEN = 0.02  # of effort, under which two ways are told as the same
BUILD = {"thigh": (Said("squat_build_thigh_short"), Said("squat_build_thigh_long"))}  # see ``Lift.build``


class Words(LegWords[Assessment, Gain]):
    """Sentences about one squat."""

    key = "squat"
    ends = (Said("squat_bottom"), Said("squat_standing"))

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

    def third(self, got: Assessment, now: Assessment) -> Change:
        """The heel."""
        return Change("heel", "current_heel", now.heel_m, self.set_m(got.heel_m), LEAST_HEEL_M)

    def marks_of_set(self, got: Assessment) -> list[Text]:
        """Heels, toes, depth."""
        return [*super().marks_of_set(got), Said("squat_set_box", {"box_m": got.marks.box_m})]

    def arms(self, gain: Gain) -> Said:
        """What becomes of all three arms."""
        arms = {"hip": change(gain.hip_arm), "knee": change(gain.knee_arm), "back": change(gain.back_arm)}
        return Said("squat_gain_arms", arms)

    def tells(self, step: str, got: Assessment, now: Assessment) -> bool:
        """Whether feet, heel or hips move so far."""
        far, least = {
            "stance": (got.stance_m - now.stance_m, LEVEL_M),
            "turn": (got.turn_out_deg - now.turn_out_deg, LEVEL_DEG),
            "heel": (got.heel_m - now.heel_m, WORTH_A_HEEL_M),
            "hips": (got.sit_back_m - now.sit_back_m, LEVEL_M),
        }[step]
        return abs(far) > least

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
        past = "past" if m.knee_past_toes_m >= 0 else "behind"
        found = marks_of_feet(got) | {
            "squat_mark_hooks": Said("squat_mark_hooks_text", {"hook_m": m.hook_m}),
            "squat_mark_safeties": Said(
                "squat_mark_safeties_text", {"bar_m": got.bar_standing_m - got.stroke_m}
            ),
            "squat_mark_knees": Said(f"squat_mark_knees_{past}", {"knees_m": abs(m.knee_past_toes_m)}),
            "squat_mark_box": Said("squat_mark_box_text", {"box_m": m.box_m}),
        }
        if got.heel_m > WORTH_A_HEEL_M:
            found["squat_mark_shoe"] = Said("squat_mark_shoe_text", {"heel_m": self.set_m(got.heel_m)})
        return listed(found)

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

    def choice(self, choice: Choice[Setup]) -> Said:
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
    names = {"ankles_m": "stance_m", "turn_deg": "turn_out_deg", "heel_m": "heel_m", "back_m": "sit_back_m"}
    return in_words("squat_in_words", parts, names)
