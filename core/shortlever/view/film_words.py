"""What a film showed, in words: headline, sentences, tables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shortlever.film.measure import Number, Rep, Result
from shortlever.film.reps import Phases
from shortlever.lifts.lift import FilmPlan
from shortlever.units import show_length

# key, label, words for more and for less than planned
LENGTHS = {
    "touch": ("Moment arm at the chest", "longer", "shorter"),
    "arm_sticking": ("Moment arm at the sticking height", "longer", "shorter"),
    "mean_arm": ("Mean moment arm over the press", "longer", "shorter"),
    "range_of_motion": ("Range of motion", "longer", "shorter"),
    "chest_height": ("Bar above the shoulder line at the chest", "higher", "lower"),
    "lockout": ("Bar from the shoulder line at lockout", "nearer the feet", "nearer the head"),
    "elbow_height": ("Elbow above the shoulder at the chest", "higher", "lower"),
}
TILT = "Forearm from upright at the chest"
DRIFTED_M = 0.01  # a touch that moves more than this from first to last rep is said


def mean_of(reps: Sequence[Rep]) -> dict[str, Number]:
    """The mean of each number over reps. Their errors are nearly the same ones, so they do not shrink."""
    out = {}
    for key in reps[0].numbers:
        found = [r.numbers[key] for r in reps if key in r.numbers]
        out[key] = Number(
            *(sum(getattr(n, part) for n in found) / len(found) for part in ("value", "low", "high"))
        )
    return out


@dataclass(frozen=True)
class FilmWords:
    """Texts about one result in one unit ("cm" or "in")."""

    result: Result
    plan: FilmPlan | None
    unit: str

    @property
    def whole(self) -> list[Rep]:
        """The reps that the headline speaks of: whole ones, else all."""
        reps = self.result.reps
        return [r for r in reps if r.phases is None or r.phases.complete] or reps

    def length(self, value_m: float) -> str:
        """A length with its unit."""
        return f"{show_length(value_m, self.unit)} {self.unit}".replace("-", "−")

    def with_margin(self, n: Number) -> str:
        """A measured length with its error."""
        return f"{show_length(n.value, self.unit)} ± {self.length(n.margin)}".replace("-", "−")

    def verdict(self, key: str, n: Number, planned: float | None) -> tuple[str, str]:
        """How a number compares with the plan, as a word and as a text; no difference inside the error."""
        if planned is None:
            return "no_plan", ""
        _, more, less = LENGTHS[key]
        if n.low <= planned <= n.high:
            return (
                "none",
                f"no difference to be seen ({self.signed(n.value - planned)} ± {self.length(n.margin)})",
            )
        word = more if n.value > planned else less
        gap = show_length(abs(n.value - planned), self.unit)
        return word, f"{gap} ± {self.length(n.margin)} {word}"

    def signed(self, value_m: float) -> str:
        """A difference with its sign."""
        return f"{'−' if value_m < 0 else '+'}{show_length(abs(value_m), self.unit)}"

    def headline(self) -> list[dict[str, str]]:
        """The numbers to read first."""
        n = mean_of(self.whole)
        count = len(self.whole)
        of = f", mean of {count} reps" if count > 1 else ""
        out = []

        def add(key: str, label: str, value: float, number: Number, planned: float | None) -> None:
            note = f"± {show_length(number.margin, self.unit)}{of}"
            if planned is not None:
                note += f"; planned {show_length(planned, self.unit)}"
            out.append(
                {
                    "key": key,
                    "label": label,
                    "value": show_length(value, self.unit),
                    "unit": self.unit,
                    "note": note,
                }
            )

        if self.plan:
            tape = self.plan.tape_m(n["touch"].value)
            add("touch", "Touch, below the notch", tape, n["touch"], self.plan.touch_tape_m)
        for key, label in (("touch", "Moment arm"), ("range_of_motion", "Range of motion")):
            if key in n:
                planned = self.plan.value(key, 0.0) if self.plan else None
                add("moment_arm" if key == "touch" else key, label, n[key].value, n[key], planned)
        return out

    def sentences(self) -> list[str]:
        """What the film says, most important first."""
        n = mean_of(self.whole)
        sticking = self.whole[0].sticking_m
        said = [self._touched(n["touch"])]
        for key, name in (
            ("mean_arm", "Mean moment arm over the press"),
            ("range_of_motion", "Range of motion"),
        ):
            if key in n and self.plan:
                word, text = self.verdict(key, n[key], self.plan.value(key, sticking))
                said.append(f"{name}: {text}." if word == "none" else f"{name} {text} than planned.")
        if "lockout" in n and not n["lockout"].low <= 0 <= n["lockout"].high:
            side = "feet" if n["lockout"].value > 0 else "head"
            said.append(
                f"At lockout the bar stood {show_length(abs(n['lockout'].value), self.unit)} ± "
                f"{self.length(n['lockout'].margin)} from the shoulder line toward the {side}."
            )
        for i, rep in enumerate(self.result.reps):
            if rep.phases is not None:
                name = f"Rep {i + 1}: " if len(self.result.reps) > 1 else ""
                said.append(f"{name}{self.pause(rep.phases)}.")
                partial = self.partial(rep)
                if partial:
                    said.append(f"{name or 'No whole rep: '}{partial}.")
        if len(self.whole) > 1:
            moved = self.whole[-1].numbers["touch"].value - self.whole[0].numbers["touch"].value
            if abs(moved) > DRIFTED_M:
                side = "feet" if moved > 0 else "head"
                way = f"moved {self.length(abs(moved))} toward the {side}"
                said.append(f"From the first to the last rep the touch {way}.")
        return said

    def _touched(self, n: Number) -> str:
        if self.plan is None:
            side = "feet" if n.value >= 0 else "head"
            return (
                f"Touched {show_length(abs(n.value), self.unit)} ± {self.length(n.margin)} from the shoulder "
                f"line toward the {side}."
            )
        planned = self.plan.values["touch"]
        gap = n.value - planned
        if n.low <= planned <= n.high:
            return (
                "Touch: no difference from the plan to be seen "
                f"({show_length(abs(gap), self.unit)} ± {self.length(n.margin)} {_lower(gap)})."
            )
        return (
            f"Touched {show_length(abs(gap), self.unit)} {self.unit} ± {show_length(n.margin, self.unit)} "
            f"{_lower(gap)} than planned."
        )

    def pause(self, phases: Phases) -> str:
        """How long the bar rested on the chest."""
        if phases.pause_s < 0.15:
            return "Touched and went: no pause on the chest"
        return f"Motionless on the chest for {phases.pause_s:.1f} s"

    def partial(self, rep: Rep) -> str | None:
        """What a rep lacks, None for a whole one."""
        missing = rep.phases.missing if rep.phases else ()
        return "; ".join(one.in_unit(self.unit) for one in missing) or None

    def numbers(self, rep: Rep) -> list[dict[str, Any]]:
        """Every number of a rep, against the plan."""
        out: list[dict[str, Any]] = []
        for key, (label, _, _) in LENGTHS.items():
            if key not in rep.numbers:
                continue
            n = rep.numbers[key]
            planned = self.plan.value(key, rep.sticking_m) if self.plan else None
            word, text = self.verdict(key, n, planned)
            out.append(
                {
                    "key": key,
                    "label": self._label(key, label, rep),
                    "text": f"{self.with_margin(n)}",
                    "value_m": round(n.value, 5),
                    "low_m": round(n.low, 5),
                    "high_m": round(n.high, 5),
                    "plan_m": None if planned is None else round(planned, 5),
                    "difference": text,
                    "verdict": word,
                }
            )
        tilt = rep.numbers.get("forearm_tilt")
        if tilt is not None:
            planned = self.plan.value("forearm_tilt", 0.0) if self.plan else None
            out.append(
                {
                    "key": "forearm_tilt",
                    "label": TILT,
                    "text": f"{tilt.value:.0f} ± {max(tilt.margin, 1):.0f}°",
                    "value_deg": round(tilt.value, 1),
                    "low_deg": round(tilt.low, 1),
                    "high_deg": round(tilt.high, 1),
                    "plan_deg": None if planned is None else round(planned, 1),
                    "difference": "",
                    "verdict": "no_plan"
                    if planned is None
                    else "none"
                    if tilt.low <= planned <= tilt.high
                    else "other",
                }
            )
        return out

    def _label(self, key: str, label: str, rep: Rep) -> str:
        return f"{label}, {self.length(rep.sticking_m)} up" if key == "arm_sticking" else label

    def table_head(self) -> list[str]:
        """Column heads of ``table``."""
        reps = self.result.reps
        if len(reps) == 1:
            return ["Quantity", "Measured", *(["Planned", "Difference"] if self.plan else [])]
        return ["Quantity", *(f"Rep {i + 1}" for i in range(len(reps))), *(["Planned"] if self.plan else [])]

    def table(self) -> list[list[str]]:
        """All numbers as rows of text."""
        rows: dict[str, list[str]] = {}
        reps = self.result.reps
        every = [{n["key"]: n for n in self.numbers(rep)} for rep in reps]
        keys = [key for key in [*LENGTHS, "forearm_tilt"] if any(key in found for found in every)]
        for key in keys:
            first = next(found[key] for found in every if key in found)
            row = [first["label"], *(found[key]["text"] if key in found else "not seen" for found in every)]
            if self.plan:
                row.append(self._planned(first))
                if len(reps) == 1:
                    row.append(first["difference"])
            rows[key] = row
        out = list(rows.values())
        if reps[0].phases is not None:
            pauses = [f"{rep.phases.pause_s:.1f} s" for rep in reps if rep.phases]
            blank = [""] * (len(self.table_head()) - 1 - len(reps))
            out.append(["Pause on the chest", *pauses, *blank])
        return out

    def _planned(self, number: Mapping[str, Any]) -> str:
        if "plan_deg" in number:
            return f"{number['plan_deg']:.0f}°"
        return self.length(number["plan_m"]) if number["plan_m"] is not None else ""


def _lower(gap_m: float) -> str:
    return "lower" if gap_m >= 0 else "higher"
