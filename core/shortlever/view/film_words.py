"""What a film showed, in words: headline, sentences, tables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shortlever.film.measure import Number, Rep, Result
from shortlever.film.reps import Phases
from shortlever.lifts.lift import FilmPlan
from shortlever.say import Said, Text, in_row

# What is measured, and the words for more and for less than planned.
LENGTHS = {
    "touch": ("longer", "shorter"),
    "arm_sticking": ("longer", "shorter"),
    "mean_arm": ("longer", "shorter"),
    "range_of_motion": ("longer", "shorter"),
    "chest_height": ("higher", "lower"),
    "lockout": ("nearer the feet", "nearer the head"),
    "elbow_height": ("higher", "lower"),
}
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
    """What is said about one result."""

    result: Result
    plan: FilmPlan | None

    @property
    def whole(self) -> list[Rep]:
        """The reps that the headline speaks of: whole ones, else all."""
        reps = self.result.reps
        return [r for r in reps if r.phases is None or r.phases.complete] or reps

    def verdict(self, key: str, n: Number, planned: float | None) -> tuple[str, Text]:
        """How a number compares with the plan, as a word and as a text; no difference inside the error."""
        if planned is None:
            return "no_plan", ""
        more, less = LENGTHS[key]
        gap = {"gap_m": n.value - planned, "margin_m": n.margin}
        if n.low <= planned <= n.high:
            return "none", Said("no_difference", gap)
        word = more if n.value > planned else less
        return word, Said(f"differs_{word.replace(' ', '_')}", gap | {"gap_m": abs(n.value - planned)})

    def headline(self, unit: str) -> list[dict[str, Text]]:
        """The numbers to read first."""
        n = mean_of(self.whole)
        out: list[dict[str, Text]] = []

        def add(key: str, label: str, value: float, number: Number, planned: float | None) -> None:
            note = Said("film_note", {"margin_m": number.margin})
            if len(self.whole) > 1:
                note = Said("film_note_mean", {"note": note, "count": len(self.whole)})
            if planned is not None:
                note = Said("film_note_planned", {"note": note, "planned_m": planned})
            shown = Said("film_value", {"x_m": value})
            out.append({"key": key, "label": Said(label), "value": shown, "unit": unit, "note": note})

        if self.plan:
            tape = self.plan.tape_m(n["touch"].value)
            add("touch", "film_head_touch", tape, n["touch"], self.plan.touch_tape_m)
        for key, label in (("touch", "drawn_moment_arm"), ("range_of_motion", "row_range_of_motion")):
            if key in n:
                planned = self.plan.value(key, 0.0) if self.plan else None
                add("moment_arm" if key == "touch" else key, label, n[key].value, n[key], planned)
        return out

    def sentences(self) -> list[Said]:
        """What the film says, most important first."""
        n = mean_of(self.whole)
        sticking = self.whole[0].sticking_m
        said = [self._touched(n["touch"])]
        for key in ("mean_arm", "range_of_motion"):
            if key in n and self.plan:
                word, text = self.verdict(key, n[key], self.plan.value(key, sticking))
                code = "film_as_planned" if word == "none" else "film_than_planned"
                said.append(Said(code, {"name": Said(ROWS[key]), "difference": text}))
        if "lockout" in n and not n["lockout"].low <= 0 <= n["lockout"].high:
            at = {"far_m": abs(n["lockout"].value), "margin_m": n["lockout"].margin}
            said.append(Said(f"film_lockout_{_side(n['lockout'].value > 0)}", at))
        for i, rep in enumerate(self.result.reps):
            if rep.phases is not None:
                one, number = self.pause(rep.phases), {"number": i + 1}
                several = len(self.result.reps) > 1
                said.append(Said("film_of_rep" if several else "film_of_only_rep", number | {"text": one}))
                partial = self.partial(rep)
                if partial:
                    said.append(
                        Said("film_of_rep" if several else "film_partial", number | {"text": partial})
                    )
        if len(self.whole) > 1:
            moved = self.whole[-1].numbers["touch"].value - self.whole[0].numbers["touch"].value
            if abs(moved) > DRIFTED_M:
                said.append(Said(f"film_drifted_{_side(moved > 0)}", {"moved_m": abs(moved)}))
        return said

    def _touched(self, n: Number) -> Said:
        if self.plan is None:
            at = {"far_m": abs(n.value), "margin_m": n.margin}
            return Said(f"film_touched_{_side(n.value >= 0)}", at)
        planned = self.plan.values["touch"]
        gap = n.value - planned
        way = "lower" if gap >= 0 else "higher"
        code = f"film_touch_as_planned_{way}" if n.low <= planned <= n.high else f"film_touched_{way}"
        return Said(code, {"gap_m": abs(gap), "margin_m": n.margin})

    def pause(self, phases: Phases) -> Said:
        """How long the bar rested on the chest."""
        return Said("film_no_pause" if phases.pause_s < 0.15 else "film_pause", {"pause_s": phases.pause_s})

    def partial(self, rep: Rep) -> Said | None:
        """What a rep lacks, None for a whole one."""
        missing = rep.phases.missing if rep.phases else ()
        return in_row(missing, "semicolon") if missing else None

    def numbers(self, rep: Rep) -> list[dict[str, Any]]:
        """Every number of a rep, against the plan."""
        out: list[dict[str, Any]] = []
        for key in LENGTHS:
            if key not in rep.numbers:
                continue
            n = rep.numbers[key]
            planned = self.plan.value(key, rep.sticking_m) if self.plan else None
            word, text = self.verdict(key, n, planned)
            out.append(
                {
                    "key": key,
                    "label": Said(ROWS[key], {"height_m": rep.sticking_m}),
                    "text": with_margin(n),
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
                    "label": Said(ROWS["forearm_tilt"]),
                    "text": Said("film_tilt", {"tilt": tilt.value, "margin": max(tilt.margin, 1)}),
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

    def table_head(self) -> list[Said]:
        """Column heads of ``table``."""
        reps, first = self.result.reps, Said("film_quantity")
        planned = [Said("film_planned")] if self.plan else []
        if len(reps) == 1:
            return [first, Said("film_measured"), *planned, *([Said("film_difference")] if self.plan else [])]
        return [first, *(Said("film_rep", {"number": i + 1}) for i in range(len(reps))), *planned]

    def table(self) -> list[list[Text]]:
        """All numbers as rows of text."""
        out: list[list[Text]] = []
        reps = self.result.reps
        every = [{n["key"]: n for n in self.numbers(rep)} for rep in reps]
        for key in ROWS:
            if not any(key in found for found in every):
                continue
            first = next(found[key] for found in every if key in found)
            unseen = Said("film_not_seen")
            row = [first["label"], *(found[key]["text"] if key in found else unseen for found in every)]
            if self.plan:
                row.append(self._planned(first))
                if len(reps) == 1:
                    row.append(first["difference"])
            out.append(row)
        if reps[0].phases is not None:
            pauses = [Said("film_seconds_of_pause", {"pause_s": r.phases.pause_s}) for r in reps if r.phases]
            blank = [""] * (len(self.table_head()) - 1 - len(reps))
            out.append([Said("film_row_pause"), *pauses, *blank])
        return out

    def _planned(self, number: Mapping[str, Any]) -> Text:
        if "plan_deg" in number:
            return Said("degrees", {"x_deg": number["plan_deg"]})
        return "" if number["plan_m"] is None else Said("length", {"x_m": number["plan_m"]})


ROWS = {
    "touch": "row_moment_arm",
    "arm_sticking": "film_row_sticking",
    "mean_arm": "row_mean_moment_arm",
    "range_of_motion": "row_range_of_motion",
    "chest_height": "film_row_chest_height",
    "lockout": "film_row_lockout",
    "elbow_height": "film_row_elbow_height",
    "forearm_tilt": "film_row_tilt",
}


def with_margin(n: Number) -> Said:
    """A measured length with its error."""
    return Said("film_with_margin", {"x_m": n.value, "margin_m": n.margin})


def _side(feet: bool) -> str:
    return "feet" if feet else "head"
