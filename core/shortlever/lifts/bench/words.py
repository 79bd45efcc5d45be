"""What is said of a press: codes of the catalogue with the numbers that stand in them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from shortlever.lifts.bench.advice import Gain
from shortlever.lifts.bench.card import draw_hand_on_bar
from shortlever.lifts.bench.decision import Decision
from shortlever.lifts.bench.doubt import MODEL_ERROR_M
from shortlever.lifts.bench.marks import Marks, fingers_under_nipple_line, marks_of
from shortlever.lifts.bench.measure import Assessment
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.speed import Speeds
from shortlever.lifts.shown import change, degrees, length
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
BUILD = {"arm": (Said("press_build_arm_short"), Said("press_build_arm_long"))}  # see ``Lift.build``


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

    def candidate(self, got: Assessment, index: float, present: bool = False) -> dict[str, object]:
        """A setup as sets can try it: its name, and the numbers a trial starts from (``index``: believed)."""
        return {
            "label": Said("setup_label", self.setup(got)),
            "index": round(index, 6),
            "stroke_m": round(got.range_of_motion_m, 6),
            "mean_arm_m": round(got.mean_moment_arm_m, 6),
            "present": present,
            "marks": self.marks_of_set(got),
        }

    def marks_of_set(self, got: Assessment) -> list[Text]:
        """What is looked for before a set: the ring, the place on the chest, the elbows."""
        marks = marks_of(self.press, got)
        elbows = Said("bench_set_elbows", {"cue": tuck_cue(got.tuck_deg)})
        return [ring(marks), self.card_place(marks), elbows]

    def gain(self, got: Assessment, now: Assessment, gain: Gain, decision: Decision) -> dict[str, Any]:
        """The decision, what it brings and costs, and what each part of the change brings."""
        parts = []
        if decision.grip_given:
            moved = {"now_m": now.grip_m, "new_m": got.grip_m, "touch": change(gain.by_grip)}
            parts.append(Said("gain_by_grip", moved))
        if decision.touch_given:
            moved = {"now_m": now.touch_tape_m, "new_m": got.touch_tape_m, "arm": change(gain.by_touch)}
            parts.append(Said("gain_by_touch", moved))
        if abs(gain.by_arch - 1) > 0.005:
            parts.append(Said("gain_by_arch", {"touch": change(gain.by_arch)}))
        return {
            "code": decision.code,
            "decision": in_row(decision.said),
            "text": in_row(decision.because),
            "parts": parts,
        }

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
            "tuck": degrees(got.tuck_deg),
            "moment_arm": length(got.moment_arm_m),
            "mean_moment_arm": length(got.mean_moment_arm_m),
            "range_of_motion": length(got.range_of_motion_m),
            "hardest": length(got.sticking_height_m),
            "push": Said("push_outward" if got.sideways_ratio >= 0 else "push_inward", push),
            "above_pad": length(got.lockout_height_m),
            "above_floor": length(got.rack_height_above_floor_m),
        }
        return [[Said(f"row_{name}"), value] for name, value in shown.items()]

    def marks(self, marks: Marks, got: Assessment, male: bool) -> list[dict[str, Text]]:
        """How to find the setup on a strange bar, chest and rack."""
        heights = {"pad_m": got.lockout_height_m, "floor_m": got.rack_height_above_floor_m}
        place = [self.card_place(marks)]
        if male:
            place.append(by_nipple_line(fingers_under_nipple_line(self.press, got)))
        texts: dict[str, Text] = {
            "ring": ring(marks),
            "sleeve": Said("ring_none", {"x_m": marks.from_sleeve_m}),
            "place": in_row(place, "comma"),
            "tuck": tuck_cue(got.tuck_deg),
            "rack": Said("mark_rack_text", heights),
            "hook": hook(marks),
        }
        if marks.ring_m is None:
            del texts["sleeve"]
        labels = {"rack": Said("lockout")}
        return [
            {"key": key, "label": labels.get(key, Said(f"mark_{key}")), "text": said}
            for key, said in texts.items()
        ]

    def card(self, marks: Marks, got: Assessment, bench_given: bool) -> dict[str, Any]:
        """What is read at the rack: the bar with this hand on it, and four numbers with how to find them."""
        half = Said("card_half", {"x_m": self.set_m(got.grip_m) / 2})
        grip, title = length(self.set_m(got.grip_m)), Said("card_title")
        where = hook(marks) if marks.hole is not None else Said("card_above_floor")
        if not bench_given:
            where = in_row([where, Said("card_bench", {"x_m": self.press.gear.bench.height_m})], "comma")
        lines: tuple[tuple[str, Said, Text, Text], ...] = (
            ("grip", Said("head_grip"), grip, ring(marks)),
            ("touch", Said("head_touch"), length(self.set_m(got.touch_tape_m)), self.card_place(marks)),
            ("tuck", Said("head_tuck"), degrees(got.tuck_deg), tuck_cue(got.tuck_deg)),
            ("hook", Said("mark_hook"), length(marks.hook_above_floor_m), where),
        )
        said = in_row([half, ring(marks)])
        return {
            "svg": draw_hand_on_bar(self.press, got, half, ring(marks), title, said),
            "lines": [
                {"key": key, "label": label, "value": value, "text": text}
                for key, label, value, text in lines
            ],
        }

    def card_place(self, marks: Marks) -> Said:
        """The touch in the lifter's own fingers."""
        return Said("mark_place_text", {"count": round(marks.touch_fingers)})

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


def ring(marks: Marks) -> Said:
    """Where the forefingers are by the nearest ring, to half a finger; by the sleeve where there is none."""
    if marks.fingers_from_ring is None:
        return Said("ring_none", {"x_m": marks.from_sleeve_m})
    fingers = round(2 * marks.fingers_from_ring) / 2
    where = "on" if fingers == 0 else "inside" if fingers > 0 else "outside"
    return Said(f"ring_{where}", {"count": abs(fingers), "ring_m": marks.ring_m})


def by_nipple_line(fingers_under: float) -> Said:
    """Where the touch is by a man's nipple line, to whole fingers."""
    fingers = round(fingers_under)
    where = "at" if fingers == 0 else "under" if fingers > 0 else "over"
    return Said(f"nipple_{where}", {"count": abs(fingers)})


def hook(marks: Marks) -> Said:
    """Where the hooks go: the hole from below, or the height where the holes are not known."""
    if marks.hole is None:
        return Said("hook_height", {"x_m": marks.hook_above_floor_m})
    return Said("hook_hole", {"count": marks.hole}) if marks.hole else Said("hook_too_low")


def tuck_cue(tuck_deg: float) -> Said:
    """A tuck as a coach says it (common practice, no source)."""
    how = "close" if tuck_deg < 40 else "half" if tuck_deg < 60 else "out"
    return Said(f"tuck_{how}")
