"""The record of sets: what was tried, what the bar said, and how to take it back.

Everything here is a frozen value; ``changes`` makes new ones and ``storage`` writes them. Loads in kg,
lengths in m.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date as Date

from shortlever.errors import InputError
from shortlever.lifts import UNNAMED
from shortlever.trials.repmax import DEFAULT_FORMULA, estimate_1rm, formula_named

MOST_CANDIDATES = 4
MOST_SETS = 2000
MOST_CHARACTERS = 60
MARGINS_PERCENT = (1.0, 2.0, 3.0, 5.0)  # what may be chosen to be too close to matter
MARGIN_PERCENT = 2.0
SETS_EACH, MORE_EACH, MOST_EACH = 12, 6, 500  # sets of each setup at most, how many "go on" adds; practice
INDEX_RANGE = (1e-3, 1e3)
LENGTH_RANGE_M = (1e-4, 2.0)
OFFSET_RANGE_M = (-1.0, 1.0)
AS_PLANNED_M = 0.02  # further from the planned touch point is another setup; common practice, no source


def refuse(field: str, code: str, given: object, wrong: str, remedy: str) -> InputError:
    shown = given if isinstance(given, str) else repr(given)
    return InputError(field, code, shown[:24], f"{field}: “{shown[:24]}” {wrong}.", remedy)


def _check_text(field: str, given: object, what: str) -> None:
    if not isinstance(given, str) or not given.strip() or len(given) > MOST_CHARACTERS:
        raise refuse(
            field,
            "not_a_name",
            given,
            f"is not a {what} of 1 to {MOST_CHARACTERS} characters",
            f"Give a {what}.",
        )


def _check_flag(field: str, given: object) -> None:
    if not isinstance(given, bool):
        raise refuse(field, "not_yes_or_no", given, "is neither true nor false", "Give true or false.")


def _check_number(field: str, given: object, low: float, high: float) -> None:
    if isinstance(given, bool) or not isinstance(given, int | float) or not low <= given <= high:
        raise refuse(
            field,
            "out_of_range",
            given,
            f"is not a number from {low:g} to {high:g}",
            f"Give a number from {low:g} to {high:g}.",
        )


def day_of(date: str) -> int:
    """An ISO date (year-month-day) as a count of days; raises InputError for anything else."""
    try:
        day = Date.fromisoformat(date)
        if day.isoformat() == date:
            return day.toordinal()
    except (TypeError, ValueError):
        pass
    raise refuse("date", "not_a_date", date, "is not a date", "Give year-month-day, such as 2031-05-09.")


@dataclass(frozen=True)
class Candidate:
    """One setup on trial.

    ``index`` is what the lift's one measure makes believe of the load that goes up (larger: a heavier one;
    only ratios matter). ``stroke_m`` and ``mean_arm_m`` (m) serve the preference dial and may be None.
    ``present`` marks the setup the lifter uses now. ``pain`` and ``cleared`` are kept by the log."""

    key: str
    label: str
    index: float
    stroke_m: float | None = None
    mean_arm_m: float | None = None
    present: bool = False
    pain: bool = False
    cleared: bool = False

    def __post_init__(self) -> None:
        _check_text("key", self.key, "key")
        _check_text("label", self.label, "name")
        _check_number("index", self.index, *INDEX_RANGE)
        for field in ("stroke_m", "mean_arm_m"):
            if getattr(self, field) is not None:
                _check_number(field, getattr(self, field), *LENGTH_RANGE_M)
        for field in ("present", "pain", "cleared"):
            _check_flag(field, getattr(self, field))

    @property
    def off_list(self) -> bool:
        """Whether pain was reported with this setup and nobody has cleared it."""
        return self.pain and not self.cleared


@dataclass(frozen=True)
class Measured:
    """What a film showed of a set (m; None: not seen): touch point from the shoulder line, + toward the feet;
    mean moment arm; range of motion; how much further toward the feet than planned the bar touched, and the
    90 % margin of that."""

    touch_m: float | None = None
    mean_arm_m: float | None = None
    range_of_motion_m: float | None = None
    off_plan_m: float | None = None
    off_plan_margin_m: float | None = None

    def __post_init__(self) -> None:
        for field in ("touch_m", "off_plan_m"):
            if getattr(self, field) is not None:
                _check_number(field, getattr(self, field), *OFFSET_RANGE_M)
        for field in ("mean_arm_m", "range_of_motion_m", "off_plan_margin_m"):
            if getattr(self, field) is not None:
                _check_number(field, getattr(self, field), *LENGTH_RANGE_M)


@dataclass(frozen=True)
class SetRecord:
    """One set: candidate key, ISO date, load (kg), full reps, reps in reserve, and what was noticed.

    ``touched`` is whether the bar touched where planned, as far as the lifter could tell; ``measured`` is
    what a film showed. ``number`` is given by the log and stays. Sets of one date are one session, in the
    order they stand in the log. Raises InputError as ``estimate_1rm`` does.
    """

    candidate: str
    date: str
    load_kg: float
    reps: int
    reps_in_reserve: float
    touched: bool = True
    pain: bool = False
    number: int = 0
    measured: Measured | None = None

    def __post_init__(self) -> None:
        _check_text("candidate", self.candidate, "key of a setup")
        day_of(self.date)
        estimate_1rm(self.load_kg, self.reps, self.reps_in_reserve)
        if not isinstance(self.reps, int):
            raise refuse("reps", "not_whole", self.reps, "is not a whole number", "Count full reps.")
        _check_flag("touched", self.touched)
        _check_flag("pain", self.pain)
        if isinstance(self.number, bool) or not isinstance(self.number, int) or self.number < 0:
            raise refuse("number", "not_whole", self.number, "is not a whole number", "Leave it to the log.")
        if self.measured is not None and not isinstance(self.measured, Measured):
            raise refuse(
                "measured", "damaged", self.measured, "is nothing measured", "Measure the clip again."
            )

    @property
    def day(self) -> int:
        """The date as a count of days."""
        return day_of(self.date)

    @property
    def as_planned(self) -> bool:
        """Whether the bar touched where planned: by the film where it can tell, else as noticed.

        >>> SetRecord("a", "2031-05-09", 100, 5, 1, measured=Measured(off_plan_m=0.05)).as_planned
        False
        """
        film = self.measured
        if film is None or film.off_plan_m is None:
            return self.touched
        return abs(film.off_plan_m) <= max(AS_PLANNED_M, film.off_plan_margin_m or 0.0)


@dataclass(frozen=True)
class Step:
    """One change that can be undone: what stood where before it, and what stands there now (None:
    nothing)."""

    what: str
    set_place: int | None = None
    set_before: SetRecord | None = None
    set_after: SetRecord | None = None
    candidate_place: int | None = None
    candidate_before: Candidate | None = None
    candidate_after: Candidate | None = None


@dataclass(frozen=True)
class TrialLog:
    """Candidates, sets in the order they were done, the undo stack, and the formula for the one-rep max.

    ``lift`` is the name of what they are sets of; ``earlier`` holds the finished trials as JSON text, oldest
    first. ``margin_percent``: a smaller difference is too close to matter; ``sets_each``: after so many sets
    of each setup the trial ends."""

    candidates: tuple[Candidate, ...] = ()
    sets: tuple[SetRecord, ...] = ()
    steps: tuple[Step, ...] = ()
    next_number: int = 1
    formula: str = DEFAULT_FORMULA
    earlier: tuple[str, ...] = ()
    lift: str = UNNAMED
    margin_percent: float = MARGIN_PERCENT
    sets_each: int = SETS_EACH

    def __post_init__(self) -> None:
        _check_text("lift", self.lift, "lift")
        formula_named(self.formula)
        if self.margin_percent not in MARGINS_PERCENT or isinstance(self.margin_percent, bool):
            choices = ", ".join(f"{margin:g}" for margin in MARGINS_PERCENT)
            raise refuse(
                "margin_percent",
                "not_a_choice",
                self.margin_percent,
                "is not a choice",
                f"Choose one of {choices}.",
            )
        _check_number("sets_each", self.sets_each, SETS_EACH, MOST_EACH)
        if not isinstance(self.sets_each, int):
            raise refuse("sets_each", "not_whole", self.sets_each, "is not a whole number", "Count sets.")
        if len(self.candidates) > MOST_CANDIDATES:
            raise refuse(
                "candidates",
                "too_many",
                str(len(self.candidates)),
                f"is more than {MOST_CANDIDATES} setups",
                "Take one off first: the fewer, the sooner sets decide.",
            )
        if len(self.sets) > MOST_SETS:
            raise refuse(
                "sets",
                "too_many",
                str(len(self.sets)),
                f"is more than {MOST_SETS} sets",
                "Start a new trial.",
            )
        for field in ("key", "label"):
            names = [getattr(c, field) for c in self.candidates]
            for name in names:
                if names.count(name) > 1:
                    raise refuse(field, "twice", name, "is taken by another setup", "Give another name.")
        if sum(c.present for c in self.candidates) > 1:
            raise refuse("present", "twice", "2", "setups are marked as the present one", "Mark one only.")
        numbers = [s.number for s in self.sets]
        if len(set(numbers)) != len(numbers) or any(not 0 < n < self.next_number for n in numbers):
            raise refuse("number", "twice", str(numbers), "are not the numbers of a log", "Export it again.")
        for s in self.sets:
            if s.candidate not in [c.key for c in self.candidates]:
                raise refuse(
                    "candidate",
                    "unknown",
                    s.candidate,
                    "is not a setup on trial",
                    "Choose one of the setups.",
                )

    def candidate(self, key: str) -> Candidate:
        """The candidate of that key; raises InputError for an unknown one."""
        return self.candidates[self.place_of(key)]

    def set_numbered(self, number: int) -> SetRecord:
        """The set of that number; raises InputError for an unknown one."""
        return self.sets[self.set_place_of(number)]

    @property
    def on_list(self) -> tuple[Candidate, ...]:
        """The candidates that may be trained: without pain, or cleared by a person."""
        return tuple(c for c in self.candidates if not c.off_list)

    @property
    def dates(self) -> tuple[str, ...]:
        """The dates with sets, earliest first."""
        return tuple(sorted({s.date for s in self.sets}))

    def done_m(self, key: str, what: str) -> float | None:
        """The mean of what films showed of the sets of a candidate (a field of ``Measured``), m; None without
        any."""
        films = [s.measured for s in self.sets if s.candidate == key and s.measured is not None]
        values = [value for film in films if (value := getattr(film, what)) is not None]
        return sum(values) / len(values) if values else None

    def place_of(self, key: str) -> int:
        """Where the candidate of that key stands; raises InputError for an unknown one."""
        for place, candidate in enumerate(self.candidates):
            if candidate.key == key:
                return place
        known = ", ".join(c.key for c in self.candidates) or "none yet"
        raise refuse("candidate", "unknown", key, "is not a setup on trial", f"Choose one of: {known}.")

    def set_place_of(self, number: int) -> int:
        """Where the set of that number stands; raises InputError for an unknown one."""
        for place, record in enumerate(self.sets):
            if record.number == number:
                return place
        raise refuse("number", "unknown", number, "is not a set of this log", "Choose one of the sets shown.")
