"""What a trial says, in words, tables, a picture and CSV, in the unit the person chose (kg or lb)."""

from __future__ import annotations

import csv
import io
import math
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from shortlever.csvtext import harmless
from shortlever.trials import (
    FORMULAS,
    Measured,
    Range,
    Report,
    SetRecord,
    Standing,
    TrialLog,
    estimate_1rm,
    from_json,
)
from shortlever.trials.judge import DECIDED, OPEN, Z90
from shortlever.trials.repmax import relative_error
from shortlever.units import MASS_UNITS, show_length
from shortlever.view.evidence_figure import Band, Dot, draw

HEAD = (
    "trial", "set", "date", "setup", "setup_text", "load_kg", "reps", "reps_in_reserve",
    "touched_where_planned", "pain", "one_rep_max_kg", "formula", "lift",
)  # fmt: skip


def mass(value_kg: float, unit: str, places: int | None = None) -> str:
    """A mass with its unit, without needless zeros; ``places`` at most (2 for kg, 1 for lb).

    >>> mass(102.5, "kg"), mass(102.058283, "lb"), mass(61.234, "kg", 0)
    ('102.5 kg', '225 lb', '61 kg')
    """
    most = (1 if unit == "lb" else 2) if places is None else places
    return f"{number(value_kg, unit, most)} {unit}"


def number(value_kg: float, unit: str, places: int) -> str:
    """A mass as a number without its unit and without needless zeros."""
    text = f"{value_kg / MASS_UNITS[unit]:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def signed(value: float, places: int = 1) -> str:
    """A number with its sign, a true minus among them; no sign for nothing.

    >>> signed(1.26), signed(-0.5), signed(-0.01)
    ('+1.3', '−0.5', '0.0')
    """
    rounded = round(value, places) + 0.0
    return f"{rounded:{'+' if rounded else ''}.{places}f}".replace("-", "−")


def film_text(film: Measured | None, unit: str) -> str:
    """What a film showed of a set, in words, lengths in cm beside kg and in inches beside lb; "" without one.

    >>> film_text(Measured(touch_m=0.16, off_plan_m=0.031, mean_arm_m=0.084), "kg")
    'filmed: touched 16.0 cm from the shoulder, 3.1 cm lower than planned; mean arm 8.4 cm'
    """
    if film is None:
        return ""
    length = {"kg": "cm", "lb": "in"}[unit]

    def said(value_m: float) -> str:
        return f"{show_length(value_m, length)} {length}"

    parts = []
    if film.touch_m is not None:
        parts.append(f"touched {said(film.touch_m)} from the shoulder".replace("-", "−"))
        if film.off_plan_m is not None:
            way = "lower" if film.off_plan_m > 0 else "higher"
            parts[0] += f", {said(abs(film.off_plan_m))} {way} than planned"
    if film.mean_arm_m is not None:
        parts.append(f"mean arm {said(film.mean_arm_m)}")
    if film.range_of_motion_m is not None:
        parts.append(f"range of motion {said(film.range_of_motion_m)}")
    return f"filmed: {'; '.join(parts)}" if parts else ""


def _percent(chance: float) -> str:
    return f"{min(max(round(100 * chance), 1), 99)} %"


@dataclass(frozen=True)
class Verdict:
    """A log in words of one unit."""

    log: TrialLog
    unit: str

    def e1rm(self, record: SetRecord) -> float:
        """Estimated one-rep max of a set by the log's formula, kg."""
        return estimate_1rm(record.load_kg, record.reps, record.reps_in_reserve, self.log.formula)

    def candidates(self) -> list[dict[str, Any]]:
        """The setups on trial with what was reported about them."""
        return [
            {
                "key": c.key,
                "label": c.label,
                "present": c.present,
                "off_list": c.off_list,
                "cleared": c.pain and c.cleared,
                "sets": sum(s.candidate == c.key for s in self.log.sets),
            }
            for c in self.log.candidates
        ]

    def formula(self) -> dict[str, str]:
        """The formula in use: key, label, source."""
        used = FORMULAS[self.log.formula]
        return {"key": used.key, "label": used.label, "source": used.source}

    def rows(self) -> list[dict[str, Any]]:
        """A row for each set, in the order done, with its estimate and the 90 % interval of that."""
        rows = []
        for s in self.log.sets:
            value = self.e1rm(s)
            spread = Z90 * relative_error(s.reps, s.reps_in_reserve, self.log.formula)
            low, high = (number(value * math.exp(z), self.unit, 0) for z in (-spread, spread))
            rows.append(
                {
                    "number": s.number,
                    "date": s.date,
                    "candidate": s.candidate,
                    "load": mass(s.load_kg, self.unit),
                    "reps": s.reps,
                    "reserve": f"{s.reps_in_reserve:g}",
                    "touched": s.touched,
                    "film": film_text(s.measured, self.unit),
                    "pain": s.pain,
                    "e1rm": mass(value, self.unit, 1),
                    "between": f"{low} to {high} {self.unit}",
                }
            )
        return rows

    def csv(self) -> str:
        """All sets, those of earlier trials first, as CSV (RFC 4180), loads in kg."""
        out = io.StringIO()
        write = csv.writer(out, lineterminator="\r\n")
        write.writerow(HEAD)
        logs = [*map(from_json, self.log.earlier), self.log]
        for place, log in enumerate(logs, start=1):
            write.writerows(Verdict(log, self.unit)._cells(place))
        return out.getvalue()

    def _cells(self, place: int) -> list[list[object]]:
        labels = {c.key: c.label for c in self.log.candidates}
        return [
            [
                place,
                s.number,
                s.date,
                s.candidate,
                harmless(labels[s.candidate]),
                f"{round(s.load_kg, 4):g}",
                s.reps,
                f"{s.reps_in_reserve:g}",
                "yes" if s.touched else "no",
                "yes" if s.pain else "no",
                f"{self.e1rm(s):.2f}",
                self.log.formula,
                self.log.lift,
            ]
            for s in self.log.sets
        ]

    def everything(self, report: Report) -> dict[str, Any]:
        """The verdict and the evidence."""
        against = report.against
        return {
            "verdict": report.verdict,
            "headline": self._headline(report),
            "why": report.why,
            "best": report.best,
            "threshold": _percent(report.threshold),
            "against": against,
            "one_rep_max": self._level(report.one_rep_max_kg),
            "standings": [self._standing(s, against) for s in report.standings],
            "needed": self._needed(report),
            "telling": report.next and {"key": report.next.key, "reason": report.next.reason},
            "odd": self._odd(report),
            "preference": None if report.preference is None else round(report.preference, 3),
            "preference_text": _leaning(report.preference),
            "cautions": list(report.cautions),
            "figure": self._figure(report) if report.standings else None,
            "csv": self.csv(),
        }

    def _headline(self, report: Report) -> str:
        if report.verdict == DECIDED:
            return f"{report.best} it is"
        return "Cannot tell yet" if report.verdict == OPEN else "Nothing to compare"

    def _level(self, level: Range | None) -> str:
        if level is None or not self.log.sets:
            return ""
        low, middle, high = (number(v, self.unit, 0) for v in (level.low, level.middle, level.high))
        return f"{middle} {self.unit}, 9 in 10 from {low} to {high}"

    def _range(self, gain: Range, what: str) -> tuple[str, str]:
        size = MASS_UNITS[self.unit] if what != "%" else 1.0
        low, middle, high = (signed(v / size) for v in (gain.low, gain.middle, gain.high))
        return f"{middle} {what}", f"{low} to {high} {what}"

    def _standing(self, s: Standing, against: str | None) -> dict[str, Any]:
        percent, percent_between = self._range(s.gain_percent, "%")
        kilograms, kilograms_between = self._range(s.gain_kg, self.unit)
        base = s.key == against
        return {
            "key": s.key,
            "label": self.log.candidate(s.key).label,
            "sets": s.sets,
            "off_list": s.off_list,
            "chance": "off the list" if s.chance_best is None else _percent(s.chance_best),
            "chance_value": None if s.chance_best is None else round(s.chance_best, 4),
            "base": base,
            "gain": percent,
            "gain_between": "" if base else percent_between,
            "gain_mass": kilograms,
            "gain_mass_between": "" if base else kilograms_between,
        }

    def _needed(self, report: Report) -> str:
        ahead = report.ahead
        if ahead is None:
            return ""
        within = f"{_percent(ahead.chance_within)} chance that {ahead.limit} are enough"
        if ahead.sets is None:
            return f"More than {ahead.limit} ({within})"
        return f"About {ahead.sets}, in {ahead.sessions} session{'s' * (ahead.sessions != 1)} ({within})"

    def _odd(self, report: Report) -> dict[str, Any] | None:
        if report.odd_set is None:
            return None
        return {
            "number": report.odd_set,
            "text": f"Set {report.odd_set} hardly fits the others. Is a number wrong? Then edit it; "
            "a set that was really so stays.",
        }

    def _figure(self, report: Report) -> dict[str, Any]:
        size = MASS_UNITS[self.unit]
        known = bool(self.log.sets) and report.one_rep_max_kg is not None
        reference = report.one_rep_max_kg.middle if known and report.one_rep_max_kg else None
        bands = []
        for s in report.standings:
            sets = [record for record in self.log.sets if record.candidate == s.key]
            bands.append(
                Band(
                    letter=s.key,
                    dots=tuple(Dot(self.e1rm(r) / size, _kind(r)) for r in sets),
                    interval=None
                    if reference is None
                    else (
                        (reference + s.gain_kg.low) / size,
                        (reference + s.gain_kg.middle) / size,
                        (reference + s.gain_kg.high) / size,
                    ),
                    off=s.off_list,
                )
            )
        title = f"Estimated one-rep max of {len(self.log.sets)} sets with {len(bands)} setups"
        text = self._figure_text(report)
        return {
            "svg": draw(bands, reference and reference / size, self.unit, title, text),
            "title": title,
            "text": text,
        }

    def _figure_text(self, report: Report) -> str:
        said = []
        for s in report.standings:
            sets = [mass(self.e1rm(r), self.unit, 1) for r in self.log.sets if r.candidate == s.key]
            line = f"{s.key}, {self.log.candidate(s.key).label}: {_counted(sets)}"
            if s.key != report.against and self.log.sets:
                _, between = self._range(s.gain_kg, self.unit)
                line += f"; against {report.against}, 9 in 10 from {between}"
            said.append(f"{line}.")
        return " ".join(said)


def _kind(record: SetRecord) -> str:
    return "pain" if record.pain else "counts" if record.touched else "elsewhere"


def _counted(sets: list[str]) -> str:
    if not sets:
        return "no set yet"
    runs = [(text, len(list(run))) for text, run in groupby(sets)]
    said = [text if count == 1 else f"{text} ({count} times)" for text, count in runs]
    return f"{len(sets)} set{'s' * (len(sets) != 1)}, {', '.join(said)}"


def _leaning(preference: float | None) -> str:
    """What the sets speak for on the fit screen's dial."""
    if preference is None:
        return ""
    if preference > 0.6:
        return "a shorter moment arm"
    return "a shorter stroke" if preference < 0.4 else "a compromise of arm and stroke"
