"""What is said of a press: codes of the catalogue with the numbers that stand in them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from shortlever.lifts.bench.advice import Gain, Suggestion
from shortlever.lifts.bench.doubt import MODEL_ERROR_M
from shortlever.lifts.bench.measure import Assessment
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.speed import Speeds
from shortlever.say import Said, Text, in_row
from shortlever.units import LENGTH_UNITS, settable

CAUTIONS: tuple[tuple[Text, Text | None], ...] = (
    (Said("caution_spotter"), None),
    (Said("caution_collars"), None),
    (Said("caution_pain"), None),
    (Said("caution_rules"), None),
    (Said("caution_estimates"), None),
    (Said("caution_narrow"), "Green and Comfort 2007, Strength Cond J 29:10"),
    (Said("caution_forces"), "Noteboom 2024, Front Physiol 15:1393235"),
)
# What no interval holds: how far the model itself was off.
MODEL_OFF = Said("model_off", {f"off_{name}": error for name, error in MODEL_ERROR_M.items()})


@dataclass(frozen=True)
class Words:
    """Sentences about one press; what is set is rounded in one unit ("cm" or "in")."""

    press: Press
    unit: str

    def set_m(self, value_m: float) -> float:
        """A length rounded to what can be set, m."""
        return settable(value_m, self.unit) * LENGTH_UNITS[self.unit]

    def setup(self, got: Assessment) -> dict[str, float]:
        """Grip and touch as they are set, m."""
        return {"grip_m": self.set_m(got.grip_m), "touch_m": self.set_m(got.touch_tape_m)}

    def candidate(self, got: Assessment, present: bool = False) -> dict[str, object]:
        """A setup as sets can try it: its name, and the numbers a trial starts from."""
        return {
            "label": Said("setup_label", self.setup(got)),
            "index": round(got.limit_load_index, 6),
            "stroke_m": round(got.range_of_motion_m, 6),
            "mean_arm_m": round(got.mean_moment_arm_m, 6),
            "present": present,
        }

    def reasons(self, advice: Suggestion) -> list[dict[str, Text]]:
        """What stopped the suggestion, one sentence each."""
        return [{"code": one.code, "message": one.said} for one in advice.binding]

    def gain(self, got: Assessment, now: Assessment, gain: Gain) -> dict[str, Any]:
        """The suggestion against the present setup: one sentence, and what each part of the change brings."""

        def change(ratio: float) -> Said:
            share = round(100 * abs(ratio - 1))
            how = "unchanged" if not share else "shorter" if ratio < 1 else "longer"
            return Said(f"change_{how}", {"share": share})

        arm, stroke = change(gain.moment_arm), change(gain.range_of_motion)
        text = [Said("gain", {"arm": arm, "stroke": stroke})]
        if gain.moment_arm < 0.995:
            text.append(Said("gain_load", {"there": 1e4 / gain.same_shoulder_load_kg}))
        parts = [
            Said("gain_by_grip", {"now_m": now.grip_m, "new_m": got.grip_m, "touch": change(gain.by_grip)}),
            Said(
                "gain_by_touch",
                {"now_m": now.touch_tape_m, "new_m": got.touch_tape_m, "arm": change(gain.by_touch)},
            ),
        ]
        if abs(gain.by_arch - 1) > 0.005:
            parts.append(Said("gain_by_arch", {"touch": change(gain.by_arch)}))
        return {"text": in_row(text), "parts": parts}

    def speed(self, speeds: Speeds) -> list[list[Text]]:
        """Where the bar is quick and slow with the heaviest load that goes up once, by name and value."""
        peak, slow = speeds.first_peak, speeds.slowest
        if not peak or not slow:
            return [[Said("bar_slowest"), Said("bar_never_slow")]]
        return [
            [name, Said("bar_speed", {"height_m": height, "speed": speed})]
            for name, (height, speed) in ((Said("bar_first_peak"), peak), (Said("bar_slowest"), slow))
        ]

    def beats(self, beat_s: float) -> Said:
        """What the dots on the path are."""
        return Said("beats", {"beat_s": beat_s})

    def figure_text(self, got: Assessment, now: Assessment | None, speeds: Speeds, beat_s: float) -> Said:
        """What the picture shows, for who cannot see it."""
        shown = self.setup(got) | {
            "arm_m": got.moment_arm_m,
            "stroke_m": got.range_of_motion_m,
            "tuck_deg": got.tuck_deg,
        }
        text = [Said("figure_text", shown), self.beats(beat_s)]
        if speeds.first_peak and speeds.slowest:
            where = {"quick_m": speeds.first_peak[0], "slow_m": speeds.slowest[0]}
            text.append(Said("figure_speed", where))
        else:
            text.append(Said("figure_never_slow"))
        if now:
            text.append(Said("figure_present", {"arm_m": now.moment_arm_m}))
        return in_row(text)

    def table(self, got: Assessment) -> list[list[Text]]:
        """Name and value of every number of a setup."""
        push = {"share": abs(100 * got.sideways_ratio)}
        shown: dict[str, Text] = {
            "grip": length(self.set_m(got.grip_m)),
            "touch": length(self.set_m(got.touch_tape_m)),
            "tuck": Said("degrees", {"x_deg": got.tuck_deg}),
            "moment_arm": length(got.moment_arm_m),
            "mean_moment_arm": length(got.mean_moment_arm_m),
            "range_of_motion": length(got.range_of_motion_m),
            "hardest": length(got.sticking_height_m),
            "push": Said("push_outward" if got.sideways_ratio >= 0 else "push_inward", push),
            "above_pad": length(got.lockout_height_m),
            "above_floor": length(got.rack_height_above_floor_m),
        }
        return [[Said(f"row_{name}"), value] for name, value in shown.items()]

    def marks(self, advice_fingers: float, got: Assessment) -> list[dict[str, Text]]:
        """How to find the setup on a strange bar and bench."""
        heights = {"pad_m": got.lockout_height_m, "floor_m": got.rack_height_above_floor_m}
        return [
            {"key": "ring", "label": Said("mark_ring"), "text": ring(advice_fingers)},
            {"key": "rack", "label": Said("lockout"), "text": Said("mark_rack_text", heights)},
        ]

    def rows(self, got: Assessment) -> list[Said]:
        """One sentence for each height of the bar path."""
        said = []
        for i, row in enumerate(got.path):
            place = Said("path_chest") if i == 0 else Said("path_up", {"height_m": row.height_m})
            if i == len(got.path) - 1:
                place = Said("lockout")
            arms = {"arm_m": abs(row.y_m), "shoulder_m": row.shoulder_arm_m, "elbow_m": row.elbow_arm_m}
            said.append(Said("path_row", {"place": place, "tuck_deg": row.tuck_deg, **arms}))
        return said


def length(value_m: float) -> Said:
    """A length with its unit."""
    return Said("length", {"x_m": value_m})


def ring(fingers_inside: float) -> Said:
    """Where the forefingers are by the ring, to half a finger."""
    fingers = round(2 * fingers_inside) / 2
    where = "on" if fingers == 0 else "inside" if fingers > 0 else "outside"
    return Said(f"ring_{where}", {"fingers": abs(fingers)})
