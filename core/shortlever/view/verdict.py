"""What a trial says, in words and a picture, in the unit the person chose (kg or lb)."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import Any

from shortlever.lifts import lift_named
from shortlever.say import Said, Text, in_row
from shortlever.trials import Range, Report, SetRecord, Standing, TrialLog
from shortlever.trials.decide import BETTER, CLOSE, WORSE
from shortlever.trials.judge import ALIKE, DECIDED, NOTHING, OPEN, USED_UP
from shortlever.trials.log import MORE_EACH
from shortlever.units import MASS_UNITS
from shortlever.view.evidence_figure import Band, Dot, draw
from shortlever.view.sets_rows import Rows, mass, number


def signed(value: float, places: int = 1) -> str:
    """A number with its sign, a true minus among them; no sign for nothing.

    >>> signed(1.26), signed(-0.5), signed(-0.01)
    ('+1.3', '−0.5', '0.0')
    """
    rounded = round(value, places) + 0.0
    return f"{rounded:{'+' if rounded else ''}.{places}f}".replace("-", "−")


@dataclass(frozen=True)
class Verdict:
    """A log and what was made of it, in words of one unit."""

    log: TrialLog
    unit: str

    @property
    def rows(self) -> Rows:
        """The sets of the log."""
        return Rows(self.log, self.unit)

    def everything(self, report: Report) -> dict[str, Any]:
        """The verdict and the evidence."""
        against = report.against
        return {
            "verdict": report.verdict,
            "finished": report.finished,
            "headline": Said(f"trial_headline_{HEADLINES[report.verdict]}", {"name": report.best or ""}),
            "why": report.why,
            "lean": Said("trial_leans", {"name": report.leans}) if report.leans else "",
            "finish": self._finish(report),
            "best": report.best,
            "alike": list(report.alike),
            "against": against,
            "one_rep_max": self._level(report.one_rep_max_kg),
            "standings": [self._standing(s, against) for s in report.standings],
            "needed": _needed(report),
            "go_on": self._go_on(report),
            "most_left": report.most_left,
            "telling": report.next and {"key": report.next.key, "reason": report.next.reason},
            "odd": _odd(report),
            "preference": None if report.preference is None else round(report.preference, 3),
            "preference_text": self._leaning(report.preference),
            "unfair": in_row([said for said in report.cautions if said.code in UNFAIR]),
            "cautions": [said for said in report.cautions if said.code not in UNFAIR],
            "figure": self._figure(report) if self.log.sets else None,
            "csv": self.rows.csv(),
        }

    def _leaning(self, preference: float | None) -> Text:
        """What the sets speak for on the fit screen's dial."""
        if preference is None:
            return ""
        low, between, high = lift_named(self.log.lift).leanings
        return high if preference > 0.6 else low if preference < 0.4 else between

    def _finish(self, report: Report) -> Text:
        """What to do after the last set."""
        if not report.finished:
            return ""
        if report.best:
            return Said("trial_finish_best", {"name": report.best})
        return Said("trial_finish_alike", {"names": report.alike})

    def _go_on(self, report: Report) -> dict[str, Any] | None:
        """The terms by which a trial whose sets are used up goes on, and how many sets more that is."""
        if report.verdict != USED_UP:
            return None
        terms = {"margin_percent": self.log.margin_percent, "sets_each": self.log.sets_each + MORE_EACH}
        return {"terms": terms, "sets": MORE_EACH * len(self.log.on_list)}

    def _level(self, level: Range | None) -> Text:
        if level is None:
            return ""
        low, middle, high = (number(v, self.unit, 0) for v in (level.low, level.middle, level.high))
        return Said("trial_level", {"middle": middle, "low": low, "high": high, "unit": self.unit})

    def _range(self, gain: Range | None, what: str) -> tuple[Text, Text]:
        """A gain and its interval; nothing where nothing carries it."""
        if gain is None:
            return "", ""
        size = MASS_UNITS[self.unit] if what != "%" else 1.0
        low, middle, high = (signed(v / size) for v in (gain.low, gain.middle, gain.high))
        return f"{middle} {what}", Said("trial_between", {"low": low, "high": high, "unit": what})

    def _standing(self, s: Standing, against: str | None) -> dict[str, Any]:
        percent, percent_between = self._range(s.gain_percent, "%")
        kilograms, kilograms_between = self._range(s.gain_kg, self.unit)
        base = s.key == against
        told = s.chance_best is not None
        chance = Said("trial_off_list") if s.off_list else percent_of(s.chance_best) if told else ""
        return {
            "key": s.key,
            "label": self.log.candidate(s.key).label,
            "sets": s.sets,
            "off_list": s.off_list,
            "chance": chance,
            "chance_value": None if s.chance_best is None else round(s.chance_best, 4),
            "base": base,
            "state": "open" if base else s.against,
            "word": Said(f"trial_is_{STATES[s.against]}", {"against": against})
            if s.against in STATES
            else "",
            "gain": percent,
            "gain_between": "" if base else percent_between,
            "gain_mass": kilograms,
            "gain_mass_between": "" if base else kilograms_between,
        }

    def _figure(self, report: Report) -> dict[str, Any]:
        size = MASS_UNITS[self.unit]
        reference = None if report.one_rep_max_kg is None else report.one_rep_max_kg.middle
        bands = []
        for s in report.standings:
            sets = [record for record in self.log.sets if record.candidate == s.key]
            gain = s.gain_kg or (Range(0.0, 0.0, 0.0) if s.key == report.against else None)
            bands.append(
                Band(
                    letter=s.key,
                    dots=tuple(Dot(self.rows.e1rm(r) / size, _kind(r)) for r in sets),
                    interval=None
                    if reference is None or gain is None
                    else (
                        (reference + gain.low) / size,
                        (reference + gain.middle) / size,
                        (reference + gain.high) / size,
                    ),
                    off=s.off_list,
                )
            )
        title = Said("trial_figure", {"count": len(self.log.sets), "setups": len(bands)})
        text = self._figure_text(report)
        return {
            "svg": draw(bands, reference and reference / size, self.unit, title, text),
            "title": title,
            "text": text,
        }

    def _figure_text(self, report: Report) -> Text:
        said: list[Text] = []
        for s in report.standings:
            sets = [mass(self.rows.e1rm(r), self.unit, 1) for r in self.log.sets if r.candidate == s.key]
            values = {"key": s.key, "label": self.log.candidate(s.key).label, "sets": _counted(sets)}
            if s.key != report.against and s.gain_kg is not None:
                _, between = self._range(s.gain_kg, self.unit)
                values |= {"against": report.against or "", "between": between}
                said.append(Said("trial_figure_setup_against", values))
            else:
                said.append(Said("trial_figure_setup", values))
        return in_row(said)


HEADLINES = {DECIDED: "decided", ALIKE: "alike", USED_UP: "used_up", OPEN: "open", NOTHING: "nothing"}
UNFAIR = ("trial_order", "trial_effort")  # what is said at the entry, where it can be mended
STATES = {BETTER: "better", WORSE: "worse", CLOSE: "close"}


def percent_of(chance: float | None) -> str:
    """A chance in whole percent, never none and never all."""
    return f"{min(max(round(100 * (chance or 0.0)), 1), 99)} %"


def _needed(report: Report) -> Text:
    """How many sets are still needed, how many at most, and what then; a chance once sets carry it."""
    ahead = report.ahead
    if ahead is None:
        return ""
    values = {"count": round(ahead.sets), "most": ahead.most, "chance": percent_of(ahead.chance_settled)}
    carried = any(s.chance_best is not None for s in report.standings)
    return Said("trial_needed" if carried else "trial_needed_first", values)


def _odd(report: Report) -> dict[str, Any] | None:
    if report.odd_set is None:
        return None
    return {"number": report.odd_set, "text": Said("trial_odd", {"number": report.odd_set})}


def _kind(record: SetRecord) -> str:
    return "pain" if record.pain else "counts" if record.touched else "elsewhere"


def _counted(sets: list[str]) -> Text:
    if not sets:
        return Said("trial_no_set")
    runs = [(text, len(list(run))) for text, run in groupby(sets)]
    said = [
        text if count == 1 else Said("trial_times", {"text": text, "count": count}) for text, count in runs
    ]
    return Said("trial_sets", {"count": len(sets), "all": tuple(said)})
