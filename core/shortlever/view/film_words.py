"""What a film showed, in words: headline, sentences, tables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shortlever.film.measure import Rep, Result
from shortlever.lifts.film import FilmNumber, FilmPlan, Number
from shortlever.say import Said, Text, in_row

PLACES = {"m": 5, "deg": 1, "times": 3, "s": 3}  # in what is sent back
LEAST_TIMES, LEAST_S = 0.01, 0.01  # of a margin that is shown
NO_PAUSE_S = 0.1  # shorter than that nobody sees it


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

    def told(self, said: Said) -> Said:
        """A sentence with the lift's own nouns."""
        film = self.result.film
        nouns = {"where": film.where, "origin": film.origin, "ahead": film.ahead, "behind": film.behind}
        return Said(said.code, nouns | dict(said.values))

    @property
    def whole(self) -> list[Rep]:
        """The reps that the headline speaks of: whole ones, else all."""
        reps = self.result.reps
        return [r for r in reps if r.phases is None or r.phases.complete] or reps

    def of_rep(self, place: int, text: Said) -> Said:
        """A sentence about one rep: with its number where there are several."""
        several = len(self.result.reps) > 1
        return Said("film_of_rep", {"number": place + 1, "text": text}) if several else text

    def verdict(self, of: FilmNumber, n: Number, planned: float | None) -> tuple[Text, Text]:
        """How a number compares with the plan, as a word and as a text; no difference inside the error."""
        if planned is None:
            return "no_plan", ""
        gap, inside = n.value - planned, n.low <= planned <= n.high
        name, margin = ("gap_m", "margin_m") if of.unit == "m" else ("gap", "margin")
        more = "" if of.unit == "m" else f"_{of.unit}"
        if inside:
            none = "no_difference" if of.unit == "m" else f"film_no_difference{more}"
            return "none", Said(none, {name: gap, margin: n.margin})
        word = self.told(of.more if gap > 0 else of.less)
        return word, Said(f"film_differs{more}", {name: abs(gap), margin: n.margin, "word": word})

    def headline(self, unit: str) -> list[dict[str, Text]]:
        """The numbers to read first."""
        out: list[dict[str, Text]] = []
        for head in self.result.film.headline(mean_of(self.whole), self.plan):
            kind, margin = head.unit, head.number.margin
            more, length = ("", True) if kind == "m" else (f"_{kind}", False)
            note = Said(f"film_note{more}", {"margin_m" if length else "margin": margin})
            if len(self.whole) > 1:
                note = Said("film_note_mean", {"note": note, "count": len(self.whole)})
            if head.planned is not None:
                planned = {"planned_m" if length else "planned": head.planned}
                note = Said(f"film_note_planned{more}", {"note": note, **planned})
            name = {"m": "x_m", "deg": "angle"}.get(kind, kind)
            value = Said(f"film_value{more}", {name: head.value})
            in_unit: Text = unit if length else Said(f"film_unit{more}")
            label = self.told(head.label)
            out.append({"key": head.key, "label": label, "value": value, "unit": in_unit, "note": note})
        return out

    def sentences(self) -> list[Said]:
        """What the film says, most important first."""
        film, n = self.result.film, mean_of(self.whole)
        said = [self.told(one) for one in film.before(n, self.plan)]
        for one in film.numbers:
            if one.told and one.key in n and self.plan:
                planned = film.planned(self.plan, one.key, self.whole[0].stroke_m)
                word, text = self.verdict(one, n[one.key], planned)
                code = "film_as_planned" if word == "none" else "film_than_planned"
                said.append(Said(code, {"name": self.told(one.label), "difference": text}))
        said += [self.told(one) for one in film.after(n)]
        for i, rep in enumerate(self.result.reps):
            if rep.pause is not None:
                said.append(self.of_rep(i, Said("film_ends", {"text": self.pause(rep.pause)})))
            partial = self.partial(rep)
            if partial is not None:
                several = len(self.result.reps) > 1
                ends = Said("film_ends" if several else "film_partial", {"text": partial})
                said.append(self.of_rep(i, ends))
        if len(self.whole) > 1:
            said += [self.told(one) for one in film.over_reps(self.whole[0].numbers, self.whole[-1].numbers)]
        return said

    def pause(self, pause: Number) -> Said:
        """How long the bar was motionless at its lowest."""
        if pause.value < NO_PAUSE_S:
            return self.told(self.result.film.no_pause)
        return self.told(Said("film_pause", {"pause_s": pause.value, "margin_s": pause.margin}))

    def partial(self, rep: Rep) -> Said | None:
        """What a rep lacks, None for a whole one."""
        missing = rep.phases.missing if rep.phases else ()
        return in_row([self.told(one) for one in missing], "semicolon") if missing else None

    def numbers(self, rep: Rep) -> list[dict[str, Any]]:
        """Every number of a rep, against the plan: lengths in m, angles in deg."""
        film = self.result.film
        out: list[dict[str, Any]] = []
        for of in film.numbers:
            if (n := rep.numbers.get(of.key)) is None:
                continue
            planned = film.planned(self.plan, of.key, rep.stroke_m) if self.plan else None
            word, text = self.verdict(of, n, planned)
            places = PLACES[of.unit]
            values = {"value": n.value, "low": n.low, "high": n.high, "plan": planned}
            out.append(
                {
                    "key": of.key,
                    "label": self.told(film.label(of, rep.stroke_m, self.plan)),
                    "text": in_unit(n, of.unit),
                    **{f"{k}_{of.unit}": None if v is None else round(v, places) for k, v in values.items()},
                    "difference": text,
                    "verdict": word,
                    **({"kept": of.kept} if of.kept else {}),
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
        reps, unseen = self.result.reps, Said("film_not_seen")
        every = [{n["key"]: n for n in self.numbers(rep)} for rep in reps]
        for key in (one.key for one in self.result.film.numbers):
            first = next((found[key] for found in every if key in found), None)
            if first is None:
                continue
            row = [first["label"], *(found[key]["text"] if key in found else unseen for found in every)]
            if self.plan:
                row.append(self._planned(first))
                if len(reps) == 1:
                    row.append(first["difference"])
            out.append(row)
        if any(rep.pause for rep in reps):
            pauses = [_pause_cell(rep.pause) if rep.pause else unseen for rep in reps]
            blank = [""] * (len(self.table_head()) - 1 - len(reps))
            out.append([self.told(Said("film_pause_row")), *pauses, *blank])
        return out

    def _planned(self, number: Mapping[str, Any]) -> Text:
        for unit, code, name in (("m", "length", "x_m"), ("deg", "degrees", "x_deg")):
            if number.get(f"plan_{unit}") is not None:
                return Said(code, {name: number[f"plan_{unit}"]})
        times = number.get("plan_times")
        return "" if times is None else Said("film_times_planned", {"times": times})


def with_margin(n: Number) -> Said:
    """A measured length with its error."""
    return Said("film_with_margin", {"x_m": n.value, "margin_m": n.margin})


def in_unit(n: Number, unit: str) -> Said:
    """A number with its error."""
    if unit == "m":
        return with_margin(n)
    if unit == "deg":
        return _angle(n)
    if unit == "times":
        return Said("film_times", {"times": n.value, "margin": max(n.margin, LEAST_TIMES)})
    return Said("film_second", {"time": n.value, "margin": max(n.margin, LEAST_S)})


def _angle(n: Number) -> Said:
    return Said("film_angle", {"angle": n.value, "margin": max(n.margin, 1)})


def _pause_cell(pause: Number) -> Said:
    return Said("film_pause_cell", {"pause_s": pause.value, "margin_s": pause.margin})
