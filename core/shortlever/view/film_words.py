"""What a film showed, in words: headline, sentences, tables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shortlever.film.measure import Rep, Result
from shortlever.lifts.film import FilmNumber, FilmPlan, Number
from shortlever.say import Said
from shortlever.units import show_length

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
    """Texts about one result in one unit ("cm" or "in")."""

    result: Result
    plan: FilmPlan | None
    unit: str

    def say(self, said: Said) -> str:
        """A sentence in the unit, with the lift's own nouns."""
        film = self.result.film
        nouns = {"where": film.where, "origin": film.origin, "ahead": film.ahead, "behind": film.behind}
        return Said(said.code, nouns | dict(said.values)).in_unit(self.unit)

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

    def verdict(self, of: FilmNumber, n: Number, planned: float | None) -> tuple[str, str]:
        """How a number compares with the plan, as a word and as a text; no difference inside the error."""
        if planned is None:
            return "no_plan", ""
        if of.unit == "deg":
            return "none" if n.low <= planned <= n.high else "other", ""
        if n.low <= planned <= n.high:
            return (
                "none",
                f"no difference to be seen ({self.signed(n.value - planned)} ± {self.length(n.margin)})",
            )
        word = self.say(of.more if n.value > planned else of.less)
        gap = show_length(abs(n.value - planned), self.unit)
        return word, f"{gap} ± {self.length(n.margin)} {word}"

    def signed(self, value_m: float) -> str:
        """A difference with its sign."""
        return f"{'−' if value_m < 0 else '+'}{show_length(abs(value_m), self.unit)}"

    def headline(self) -> list[dict[str, str]]:
        """The numbers to read first."""
        count = len(self.whole)
        of = f", mean of {count} reps" if count > 1 else ""
        out = []
        for head in self.result.film.headline(mean_of(self.whole), self.plan):
            note = f"± {show_length(head.number.margin, self.unit)}{of}"
            if head.planned is not None:
                note += f"; planned {show_length(head.planned, self.unit)}"
            value = show_length(head.value, self.unit)
            label = self.say(head.label)
            out.append({"key": head.key, "label": label, "value": value, "unit": self.unit, "note": note})
        return out

    def sentences(self) -> list[str]:
        """What the film says, most important first."""
        film, n = self.result.film, mean_of(self.whole)
        said = [self.say(one) for one in film.before(n, self.plan)]
        for one in film.numbers:
            if one.told and one.key in n and self.plan:
                planned = film.planned(self.plan, one.key, self.whole[0].stroke_m)
                word, text = self.verdict(one, n[one.key], planned)
                name = self.say(one.label)
                said.append(f"{name}: {text}." if word == "none" else f"{name} {text} than planned.")
        said += [self.say(one) for one in film.after(n)]
        for i, rep in enumerate(self.result.reps):
            if rep.phases is not None:
                name = f"Rep {i + 1}: " if len(self.result.reps) > 1 else ""
                if rep.pause is not None:
                    said.append(f"{name}{self.pause(rep.pause)}.")
                partial = self.partial(rep)
                if partial:
                    said.append(f"{name or 'No whole rep: '}{partial}.")
        if len(self.whole) > 1:
            said += [self.say(one) for one in film.over_reps(self.whole[0].numbers, self.whole[-1].numbers)]
        return said

    def pause(self, pause: Number) -> str:
        """How long the bar was motionless at its lowest."""
        if pause.value < NO_PAUSE_S:
            return self.say(Said("film_no_pause"))
        return self.say(Said("film_pause", {"pause_s": pause.value, "margin_s": pause.margin}))

    def partial(self, rep: Rep) -> str | None:
        """What a rep lacks, None for a whole one."""
        missing = rep.phases.missing if rep.phases else ()
        return "; ".join(self.say(one) for one in missing) or None

    def numbers(self, rep: Rep) -> list[dict[str, Any]]:
        """Every number of a rep, against the plan: lengths in m, angles in deg."""
        film = self.result.film
        out: list[dict[str, Any]] = []
        for of in film.numbers:
            if (n := rep.numbers.get(of.key)) is None:
                continue
            planned = film.planned(self.plan, of.key, rep.stroke_m) if self.plan else None
            word, text = self.verdict(of, n, planned)
            places = 5 if of.unit == "m" else 1
            values = {"value": n.value, "low": n.low, "high": n.high, "plan": planned}
            out.append(
                {
                    "key": of.key,
                    "label": self.say(film.label(of, rep.stroke_m, self.plan)),
                    "text": self.with_margin(n)
                    if of.unit == "m"
                    else f"{n.value:.0f} ± {max(n.margin, 1):.0f}°",
                    **{f"{k}_{of.unit}": None if v is None else round(v, places) for k, v in values.items()},
                    "difference": text,
                    "verdict": word,
                    **({"kept": of.kept} if of.kept else {}),
                }
            )
        return out

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
        keys = [one.key for one in self.result.film.numbers if any(one.key in found for found in every)]
        for key in keys:
            first = next(found[key] for found in every if key in found)
            row = [
                first["label"],
                *(found[key]["text"] if key in found else self.say(Said("film_not_seen")) for found in every),
            ]
            if self.plan:
                row.append(self._planned(first))
                if len(reps) == 1:
                    row.append(first["difference"])
            rows[key] = row
        out = list(rows.values())
        if any(rep.pause for rep in reps):
            pauses = [self._pause_cell(rep.pause) for rep in reps]
            blank = [""] * (len(self.table_head()) - 1 - len(reps))
            out.append([self.say(Said("film_pause_row")), *pauses, *blank])
        return out

    def _pause_cell(self, pause: Number | None) -> str:
        return f"{pause.value:.2f} ± {pause.margin:.2f} s" if pause else self.say(Said("film_not_seen"))

    def _planned(self, number: Mapping[str, Any]) -> str:
        if "plan_deg" in number:
            return f"{number['plan_deg']:.0f}°"
        return self.length(number["plan_m"]) if number["plan_m"] is not None else ""
