"""The record of sets: what was tried, what the bar said, and how to take it back.

Everything here is a frozen value; ``changes`` makes new ones and ``storage`` writes them. Loads in kg,
lengths in m.

Over 300 lines: each part of a record stands beside what makes it unsound.
"""

from __future__ import annotations

from dataclasses import dataclass

from shortlever.lifts import UNNAMED
from shortlever.say import Said
from shortlever.trials.checks import check_flag, check_marks, check_number, check_text, day_of, refuse
from shortlever.trials.repmax import DEFAULT_FORMULA, estimate_1rm, formula_named

MOST_CANDIDATES = 4
MOST_SETS = 2000
MARGINS_PERCENT = (1.0, 2.0, 3.0, 5.0)  # what may be chosen to be too close to matter
MARGIN_PERCENT = 2.0
SETS_EACH, MORE_EACH, MOST_EACH = 12, 6, 500  # sets of each setup at most, how many "go on" adds; practice
INDEX_RANGE = (1e-3, 1e3)
LENGTH_RANGE_M = (1e-4, 2.0)
OFFSET_RANGE_M = (-1.0, 1.0)
SPEED_RANGE_M_S, MOST_SPEEDS = (1e-4, 10.0), 100
SHARES = {  # what else a film says of a set, and what it may be
    "hips_first": (-20.0, 20.0),
    "speed_margin_m_s": (0.0, 10.0),
    "lost": (-1.0, 1.0),
    "lost_margin": (0.0, 2.0),
}
AS_PLANNED_M = 0.02  # further from the planned touch point is another setup; common practice, no source


@dataclass(frozen=True)
class Candidate:
    """One setup on trial.

    ``index`` is what the lift's one measure makes believe of the load that goes up (larger: a heavier one;
    only ratios matter). ``stroke_m`` and ``mean_arm_m`` (m) serve the preference dial and may be None.
    ``dial`` is where the setup stands on its lift's dial (0 to 1), None where the dial does not tell it.
    ``marks`` say how the setup is found at the bar. ``present`` marks the setup the lifter uses now. ``pain``
    and ``cleared`` are kept by the log."""

    key: str
    label: str
    index: float
    stroke_m: float | None = None
    mean_arm_m: float | None = None
    present: bool = False
    pain: bool = False
    cleared: bool = False
    dial: float | None = None
    marks: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        check_text("key", self.key, "what_key")
        check_text("label", self.label, "what_name")
        check_number("index", self.index, *INDEX_RANGE)
        for field in ("stroke_m", "mean_arm_m"):
            if getattr(self, field) is not None:
                check_number(field, getattr(self, field), *LENGTH_RANGE_M)
        for field in ("present", "pain", "cleared"):
            check_flag(field, getattr(self, field))
        if self.dial is not None:
            check_number("dial", self.dial, 0.0, 1.0)
        check_marks(self.marks)

    @property
    def off_list(self) -> bool:
        """Whether pain was reported with this setup and nobody has cleared it."""
        return self.pain and not self.cleared


@dataclass(frozen=True)
class Measured:
    """What a film showed of a set (m; None: not seen): touch point from the shoulder line, + toward the feet;
    mean moment arm; range of motion; how much further toward the feet than planned the bar touched, and the
    90 % margin of that; how far the hip's crease was below the top of the knee; by how many times as much as
    the bar the hips rose. ``speeds_m_s``: mean bar speed on the way up of each whole rep, in order, and the
    largest of their 90 % margins; ``lost``: the share of the quickest rep's that the last has lost, and its
    margin."""

    touch_m: float | None = None
    mean_arm_m: float | None = None
    range_of_motion_m: float | None = None
    off_plan_m: float | None = None
    off_plan_margin_m: float | None = None
    depth_m: float | None = None
    hips_first: float | None = None
    speeds_m_s: tuple[float, ...] = ()
    speed_margin_m_s: float | None = None
    lost: float | None = None
    lost_margin: float | None = None

    def __post_init__(self) -> None:
        for field in ("touch_m", "off_plan_m", "depth_m"):
            if getattr(self, field) is not None:
                check_number(field, getattr(self, field), *OFFSET_RANGE_M)
        for field in ("mean_arm_m", "range_of_motion_m", "off_plan_margin_m"):
            if getattr(self, field) is not None:
                check_number(field, getattr(self, field), *LENGTH_RANGE_M)
        for field, ends in SHARES.items():
            if getattr(self, field) is not None:
                check_number(field, getattr(self, field), *ends)
        if not isinstance(self.speeds_m_s, tuple) or len(self.speeds_m_s) > MOST_SPEEDS:
            wrong, do = Said("wrong_nothing_measured"), Said("do_measure_the_clip_again")
            raise refuse("speeds_m_s", "damaged", self.speeds_m_s, wrong, do)
        for speed in self.speeds_m_s:
            check_number("speeds_m_s", speed, *SPEED_RANGE_M_S)


@dataclass(frozen=True)
class SetRecord:
    """One set: candidate key, ISO date, load (kg), full reps, reps in reserve, and what was noticed.

    ``touched`` is whether the setup was held as planned, as far as the lifter could tell; ``measured`` is
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
        check_text("candidate", self.candidate, "what_setup_key")
        day_of(self.date)
        estimate_1rm(self.load_kg, self.reps, self.reps_in_reserve)
        if not isinstance(self.reps, int):
            raise refuse(
                "reps", "not_whole", self.reps, Said("wrong_not_a_whole_number"), Said("do_count_full_reps")
            )
        check_flag("touched", self.touched)
        check_flag("pain", self.pain)
        if isinstance(self.number, bool) or not isinstance(self.number, int) or self.number < 0:
            raise refuse(
                "number",
                "not_whole",
                self.number,
                Said("wrong_not_a_whole_number"),
                Said("do_leave_it_to_the_log"),
            )
        if self.measured is not None and not isinstance(self.measured, Measured):
            raise refuse(
                "measured",
                "damaged",
                self.measured,
                Said("wrong_nothing_measured"),
                Said("do_measure_the_clip_again"),
            )

    @property
    def day(self) -> int:
        """The date as a count of days."""
        return day_of(self.date)

    @property
    def as_planned(self) -> bool:
        """Whether the setup was held as planned: by the film where it can tell, else as noticed.

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
        check_text("lift", self.lift, "what_lift")
        formula_named(self.formula)
        if self.margin_percent not in MARGINS_PERCENT or isinstance(self.margin_percent, bool):
            choose = Said("do_choose_of", {"all": ", ".join(f"{margin:g}" for margin in MARGINS_PERCENT)})
            wrong = Said("wrong_not_a_choice")
            raise refuse("margin_percent", "not_a_choice", self.margin_percent, wrong, choose)
        check_number("sets_each", self.sets_each, SETS_EACH, MOST_EACH)
        if not isinstance(self.sets_each, int):
            wrong = Said("wrong_not_a_whole_number")
            raise refuse("sets_each", "not_whole", self.sets_each, wrong, Said("do_count_sets"))
        if len(self.candidates) > MOST_CANDIDATES:
            raise refuse(
                "candidates",
                "too_many",
                str(len(self.candidates)),
                Said("wrong_more_setups", {"most": MOST_CANDIDATES}),
                Said("do_take_one_off_first_the_fewer"),
            )
        if len(self.sets) > MOST_SETS:
            raise refuse(
                "sets",
                "too_many",
                str(len(self.sets)),
                Said("wrong_more_sets", {"most": MOST_SETS}),
                Said("do_start_a_new_trial"),
            )
        for field in ("key", "label"):
            names = [getattr(c, field) for c in self.candidates]
            for name in names:
                if names.count(name) > 1:
                    raise refuse(
                        field,
                        "twice",
                        name,
                        Said("wrong_taken_by_another_setup"),
                        Said("do_give_another_name"),
                    )
        if sum(c.present for c in self.candidates) > 1:
            raise refuse(
                "present",
                "twice",
                "2",
                Said("wrong_setups_are_marked_as_the_present"),
                Said("do_mark_one_only"),
            )
        numbers = [s.number for s in self.sets]
        if len(set(numbers)) != len(numbers) or any(not 0 < n < self.next_number for n in numbers):
            raise refuse(
                "number",
                "twice",
                str(numbers),
                Said("wrong_not_the_numbers_of_a_log"),
                Said("do_export_it_again"),
            )
        for s in self.sets:
            if s.candidate not in [c.key for c in self.candidates]:
                raise refuse(
                    "candidate",
                    "unknown",
                    s.candidate,
                    Said("wrong_not_a_setup_on_trial"),
                    Said("do_choose_one_of_the_setups"),
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
        raise refuse(
            "candidate",
            "unknown",
            key,
            Said("wrong_not_a_setup_on_trial"),
            Said("do_choose_of", {"all": known}),
        )

    def set_place_of(self, number: int) -> int:
        """Where the set of that number stands; raises InputError for an unknown one."""
        for place, record in enumerate(self.sets):
            if record.number == number:
                return place
        raise refuse(
            "number",
            "unknown",
            number,
            Said("wrong_not_a_set_of_this_log"),
            Said("do_choose_one_of_the_sets_shown"),
        )
