"""The sets of a trial in rows, as a table and as CSV, in the unit the person chose (kg or lb)."""

from __future__ import annotations

import csv
import io
import math
from dataclasses import dataclass
from typing import Any

from shortlever.csvtext import harmless
from shortlever.lifts import lift_named
from shortlever.numerics import Z90
from shortlever.say import Said, Text
from shortlever.trials import FORMULAS, Measured, SetRecord, TrialLog, estimate_1rm, from_json
from shortlever.trials.repmax import relative_error
from shortlever.units import MASS_UNITS

LEAST_LOST = 0.03  # a share of the mean speed that is worth a word
HEAD = (
    "trial", "set", "date", "setup", "setup_text", "load_kg", "reps", "reps_in_reserve",
    "{held}", "pain", "one_rep_max_kg", "formula", "lift", "bar_speeds_m_s", "speed_lost",
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


def film_text(film: Measured | None) -> Text:
    """What a film showed of a set, in words; "" without one.

    >>> str(film_text(Measured(touch_m=0.16, off_plan_m=0.031, mean_arm_m=0.084)))
    'filmed: touched 16.0 cm from the shoulder, 3.1 cm lower than planned; average moment arm 8.4 cm'
    """
    if film is None:
        return ""
    parts = []
    if film.touch_m is not None:
        off, values = film.off_plan_m, {"touch_m": film.touch_m}
        if off is None:
            parts.append(Said("trial_film_touch", values))
        else:
            way = "low" if off > 0 else "high"
            parts.append(Said(f"trial_film_touch_{way}", values | {"off_m": abs(off)}))
    if film.mean_arm_m is not None:
        parts.append(Said("trial_film_arm", {"arm_m": film.mean_arm_m}))
    if film.range_of_motion_m is not None:
        parts.append(Said("trial_film_stroke", {"stroke_m": film.range_of_motion_m}))
    if film.depth_m is not None:
        way = "below" if film.depth_m >= 0 else "above"
        parts.append(Said(f"trial_film_{way}", {"depth_m": abs(film.depth_m)}))
    if film.hips_first is not None:
        parts.append(Said("trial_film_hips", {"times": film.hips_first}))
    parts += _speeds_text(film)
    return Said("trial_film", {"parts": tuple(parts)}) if parts else ""


def _speeds_text(film: Measured) -> list[Said]:
    """How quickly the bar went up, and what was lost over the reps where that is more than the error."""
    if not film.speeds_m_s:
        return []
    first, last = film.speeds_m_s[0], film.speeds_m_s[-1]
    count, margin = len(film.speeds_m_s), film.speed_margin_m_s or 0.0
    said = {"count": count, "speed": first, "last": last, "margin": max(margin, 0.01)}
    lost, lost_margin = film.lost, film.lost_margin or 0.0
    found = [Said("trial_film_speed", said)]
    if lost is not None and lost > max(lost_margin, LEAST_LOST):
        found.append(Said("trial_film_lost", {"share": 100 * lost, "margin": 100 * lost_margin}))
    return found


@dataclass(frozen=True)
class Rows:
    """The sets of a log in words of one unit: rows, table, CSV."""

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
                "marks": list(c.marks),
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
                    "film": film_text(s.measured),
                    "pain": s.pain,
                    "e1rm": mass(value, self.unit, 1),
                    "between": Said("trial_between", {"low": low, "high": high, "unit": self.unit}),
                }
            )
        return rows

    def csv(self) -> str:
        """All sets, those of earlier trials first, as CSV (RFC 4180), loads in kg."""
        out = io.StringIO()
        write = csv.writer(out, lineterminator="\r\n")
        held = lift_named(self.log.lift).at_each_set.column
        write.writerow([head.format(held=held) for head in HEAD])
        logs = [*map(from_json, self.log.earlier), self.log]
        for place, log in enumerate(logs, start=1):
            write.writerows(Rows(log, self.unit)._cells(place))
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
                " ".join(f"{speed:.3f}" for speed in (s.measured.speeds_m_s if s.measured else ())),
                "" if s.measured is None or s.measured.lost is None else f"{s.measured.lost:.3f}",
            ]
            for s in self.log.sets
        ]
