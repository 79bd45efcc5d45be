"""Every sentence that is computed, in one place, in plain words and in the unit the person chose."""

from __future__ import annotations

from dataclasses import dataclass

from shortlever.lifts.bench.advice import Gain, Suggestion
from shortlever.lifts.bench.decision import Decision
from shortlever.lifts.bench.doubt import MODEL_ERROR_M
from shortlever.lifts.bench.measure import Assessment
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.speed import Speeds
from shortlever.say import Said
from shortlever.units import settable, show_length

CAUTIONS = (
    ("Press with a spotter, or inside safety arms set just under the height of your chest.", None),
    (
        "Collars on, thumbs round the bar. Try a new grip with a light bar first; move it in small steps.",
        None,
    ),
    ("Pain in shoulder, elbow or wrist: stop, and see a licensed clinician before you press again.", None),
    ("The rulebook in force, the gym’s rules and licensed practice come before anything here.", None),
    ("The numbers are estimates from a tape. They are no medical advice and promise no kilograms.", None),
    (
        "After shoulder trouble a review advises a grip of at most 1.5 × shoulder breadth.",
        "Green and Comfort 2007, Strength Cond J 29:10",
    ),
    (
        "Less compression and shear in the shoulder were computed for grips under 1.5 × shoulder breadth "
        "with the blades drawn together; they are no injury thresholds.",
        "Noteboom 2024, Front Physiol 15:1393235",
    ),
)


COVERS = (
    "The small range under a number is the tape’s: 9 in 10 lifters with your tape numbers fall inside it."
)


def model_off(unit: str) -> str:
    """What no interval holds: how far the model itself was off."""
    grip, touch, stroke, arm = (f"{show_length(error, unit)} {unit}" for error in MODEL_ERROR_M.values())
    return (
        "The model itself, where studies could check it on lifters, was off by this much: "
        f"grip {grip}, touch {touch}, stroke {stroke}, moment arm {arm}. "
        "No published tuck was found to check it."
    )


@dataclass(frozen=True)
class Words:
    """Sentences about one press in one unit ("cm" or "in")."""

    press: Press
    unit: str

    def length(self, value_m: float) -> str:
        """A length with its unit."""
        return f"{show_length(value_m, self.unit)} {self.unit}"

    def to_set(self, value_m: float) -> str:
        """A length rounded to what can be set, without its unit."""
        return f"{settable(value_m, self.unit):.{2 if self.unit == 'in' else 1}f}"

    def candidate(self, got: Assessment, index: float, present: bool = False) -> dict[str, object]:
        """A setup as sets can try it: its name, and the numbers a trial starts from (``index``: believed)."""
        grip, touch = self.to_set(got.grip_m), self.to_set(got.touch_tape_m)
        return {
            "label": f"Grip {grip} {self.unit}, touch {touch} {self.unit}",
            "index": round(index, 6),
            "stroke_m": round(got.range_of_motion_m, 6),
            "mean_arm_m": round(got.mean_moment_arm_m, 6),
            "present": present,
        }

    def reasons(self, advice: Suggestion) -> list[dict[str, str]]:
        """What stopped the suggestion, one sentence each."""
        return [{"code": one.code, "message": one.said.in_unit(self.unit)} for one in advice.binding]

    def gain(self, got: Assessment, now: Assessment, gain: Gain, decision: Decision) -> dict[str, object]:
        """The decision, what it brings and costs, and what each part of the change brings."""

        def change(ratio: float) -> str:
            share = round(100 * abs(ratio - 1))
            return f"{share} % {'shorter' if ratio < 1 else 'longer'}" if share else "unchanged"

        def all_of(said: tuple[Said, ...]) -> str:
            return " ".join(one.in_unit(self.unit) for one in said)

        parts = []
        if decision.grip_given:
            parts.append(
                f"Grip {self.length(now.grip_m)} to {self.length(got.grip_m)}: nearest allowed touch "
                f"{change(gain.by_grip)}."
            )
        if decision.touch_given:
            parts.append(
                f"Touch {self.length(now.touch_tape_m)} to {self.length(got.touch_tape_m)} down from the "
                f"notch: moment arm {change(gain.by_touch)} on top of that."
            )
        if abs(gain.by_arch - 1) > 0.005:
            parts.append(f"Your arch against lying flat: nearest allowed touch {change(gain.by_arch)}.")
        return {
            "code": decision.code,
            "decision": all_of(decision.said),
            "text": all_of(decision.because),
            "parts": parts,
        }

    def speed(self, speeds: Speeds) -> list[list[str]]:
        """Where the bar is quick and slow with the heaviest load that goes up once, by name and value."""
        peak, slow = speeds.first_peak, speeds.slowest
        if not peak or not slow:
            return [["Bar slowest, heaviest load", "no slow stretch in the model; lifters mostly meet one"]]
        return [
            [f"{name}, heaviest load", f"{self.length(height)} up, {speed:.2f} m/s"]
            for name, (height, speed) in (("First peak of bar speed", peak), ("Bar slowest", slow))
        ]

    def beats(self, beat_s: float) -> str:
        """What the dots on the path are."""
        return (
            f"Dots on the path, seen from the side: the bar every {beat_s:g} s with the heaviest load that "
            "goes up once, as the model has it. A circle marks where it is slowest, if it slows."
        )

    def figure_text(self, got: Assessment, now: Assessment | None, speeds: Speeds, beat_s: float) -> str:
        """What the picture shows, for who cannot see it."""
        grip, touch = self.to_set(got.grip_m), self.to_set(got.touch_tape_m)
        text = (
            f"Seen from the side, head left. The bar touches the chest {self.length(got.moment_arm_m)} from "
            f"the shoulder line toward the feet, that is {touch} {self.unit} down from the breastbone notch, "
            f"and travels back and up to lockout over the shoulders, {self.length(got.range_of_motion_m)} "
            f"higher. Grip {grip} {self.unit} between the forefingers, upper arms {got.tuck_deg:.0f}° from "
            "the trunk at the chest."
        )
        text += f" {self.beats(beat_s)}"
        if speeds.first_peak and speeds.slowest:
            text += (
                f" It is quick {self.length(speeds.first_peak[0])} above the chest and slowest "
                f"{self.length(speeds.slowest[0])} up, at the circle."
            )
        else:
            text += " It gains speed all the way, where lifters mostly meet a slow stretch in mid press."
        if now:
            text += f" The present setup is drawn behind it: moment arm {self.length(now.moment_arm_m)}."
        return text

    def table(self, got: Assessment) -> list[list[str]]:
        """Name and value of every number of a setup."""
        return [
            ["Grip between the forefingers", f"{self.to_set(got.grip_m)} {self.unit}"],
            ["Touch, tape down from the breastbone notch", f"{self.to_set(got.touch_tape_m)} {self.unit}"],
            ["Tuck at the chest", f"{got.tuck_deg:.0f}°"],
            ["Moment arm at the chest", self.length(got.moment_arm_m)],
            ["Mean moment arm over the press", self.length(got.mean_moment_arm_m)],
            ["Range of motion", self.length(got.range_of_motion_m)],
            ["Hardest point above the chest", self.length(got.sticking_height_m)],
            ["Hands push along the bar", f"{abs(100 * got.sideways_ratio):.0f} % of the load {_way(got)}"],
            ["Bar above the pad at lockout", self.length(got.lockout_height_m)],
            ["Bar above the floor at lockout", self.length(got.rack_height_above_floor_m)],
        ]

    def marks(self, advice_fingers: float, got: Assessment) -> list[dict[str, str]]:
        """How to find the setup on a strange bar and bench."""
        fingers = round(2 * advice_fingers) / 2
        side = "inside" if fingers > 0 else "outside"
        ring = "forefingers on the ring" if fingers == 0 else f"{abs(fingers):g} fingers {side} the ring"
        return [
            {"key": "ring", "label": "Forefinger", "text": ring},
            {
                "key": "rack",
                "label": "Lockout",
                "text": f"bar {self.length(got.lockout_height_m)} above the pad, "
                f"{self.length(got.rack_height_above_floor_m)} above the floor",
            },
        ]

    def rows(self, got: Assessment) -> list[str]:
        """One sentence for each height of the bar path."""
        said = []
        for i, row in enumerate(got.path):
            place = "On the chest" if i == 0 else f"{self.length(row.height_m)} up"
            if i == len(got.path) - 1:
                place = "Lockout"
            said.append(
                f"{place}: moment arm {self.length(abs(row.y_m))}, arm of the whole hand force at the "
                f"shoulder {self.length(row.shoulder_arm_m)}, at the elbow {self.length(row.elbow_arm_m)}, "
                f"tuck {row.tuck_deg:.0f}°."
            )
        return said


def _way(got: Assessment) -> str:
    return "outward" if got.sideways_ratio >= 0 else "inward"
