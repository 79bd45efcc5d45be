"""What a lift is: one value that everything above receives, and by which alone it knows the lift.

Its form, its numbers, its words and its pictures are the lift's own business. What is above reads a request
by the form, has the lift suggest and measure, and lays what comes back into a screen, a sheet, a link, a film
check. A new lift is a package beside the others and a row in the registry of ``shortlever.lifts``.
Over 300 lines, for it is the one place that tells what a lift may say; most of them are docstrings.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from shortlever.errors import Told
from shortlever.lifts.film import FilmCheck, FilmPlan
from shortlever.lifts.form import SEX, Choice, Field, Part
from shortlever.person.body import likely
from shortlever.person.measure import Measure
from shortlever.person.tape import Tape
from shortlever.say import Said, Text

C = TypeVar("C")  # a case: a body under its gear, ready to be computed
S = TypeVar("S")  # a setup: what a lifter can choose
A = TypeVar("A")  # advice: what is suggested, and why
M = TypeVar("M")  # a setup measured


# ---- what goes in and what comes out


@dataclass
class Reading:
    """What a request says of one lift: the tape, the form's other numbers (SI, rad), the choices;
    or the errors.

    ``understood``: how each typed number was read, as a text, by its key; ``values``: what it is, SI, also
    of numbers that do not go together.
    """

    lift: AnyLift
    unit: str = "cm"
    tape: Tape | None = None
    given: dict[str, float] = field(default_factory=dict)
    chosen: dict[str, str] = field(default_factory=dict)
    understood: dict[str, Text] = field(default_factory=dict)
    values: dict[str, float] = field(default_factory=dict)
    errors: list[Told] = field(default_factory=list)


@dataclass(frozen=True)
class Fit(Generic[C, A, M]):
    """What is shown of a lifter. ``picked``: the setup is the person's own choice, not the suggestion.

    ``now``: the present setup measured, None where nothing of it is given or where it is out of reach; then
    ``out_of_reach`` says why.
    """

    reading: Reading
    case: C
    advice: A
    shown: M
    picked: bool
    now: M | None = None
    out_of_reach: Text = ""


@dataclass(frozen=True)
class Doubt:
    """Texts of the 90 % intervals by the keys of the screen's numbers, what they cover and what they do not,
    and the tape number worth taking next: its key, a sentence, the share of the spread that it takes away."""

    intervals: Mapping[str, Text]
    covers: Text
    off: Text
    further: tuple[str, Text, float] | None


@dataclass(frozen=True)
class Axis:
    """One thing a finger can move: the number it moves, the part of the setup that this is, how many steps of
    the grid it has, and what stops it at either end, one sentence for all or one for each place of the axes
    before it."""

    key: str
    part: str
    steps: int
    low: Sequence[Said]
    high: Sequence[Said]


@dataclass(frozen=True)
class Handle:
    """A part of the figure that moves an axis: in which view, which part, and which of its points."""

    view: str
    part: str
    axis: int
    point: int = -1


@dataclass(frozen=True)
class FeltNumber:
    """A number that follows the finger; ``kind``: settable or length (m), angle (deg), kg, percent."""

    key: str
    label: Said
    kind: str


@dataclass(frozen=True)
class Felt:
    """A setup of the grid: its parts (m), its numbers by key, and by view the figure's moving parts."""

    parts: Mapping[str, float]
    numbers: Mapping[str, float]
    places: Mapping[str, Mapping[str, object]]


@dataclass(frozen=True)
class Feel:
    """Setups round the one shown, for a page to go between; in ``points`` the last axis runs fastest."""

    axes: tuple[Axis, ...]
    handles: tuple[Handle, ...]
    numbers: tuple[FeltNumber, ...]
    points: Sequence[Felt]


@dataclass(frozen=True)
class Result:
    """A result in a sheet: its key, its header, and whether the unit of length follows it. ``brief``: what it
    is called in the table of the team screen, "" where it stands in the saved sheet only."""

    key: str
    header: Text
    length: bool = False
    brief: Text = ""


@dataclass(frozen=True)
class AtEachSet:
    """What is said of a set: ``held`` asks whether the setup was held, ``not_held`` is a set's note where it
    was not; ``ready`` what to see to before it, ``stop`` what to do at pain. ``column``: the header of the
    answer in the CSV of sets."""

    held: Text
    not_held: Text
    ready: Text
    stop: Text
    column: str = "held_as_planned"


@dataclass(frozen=True)
class Spot:
    """Where a setup meets gear that others use too: m, and in words. ``gear``: "bar" (from its middle),
    "floor" (from the middle between the feet) or "hooks" (over the floor)."""

    gear: str
    at_m: float
    said: Text


def taped(reading: Reading) -> int:
    """How many numbers of the body were taped; the others are estimated."""
    return sum(1 for one in reading.lift.fields if getattr(reading.tape, one.key, None) is not None)


# ---- the lift itself


class Lift(ABC, Generic[C, S, A, M]):
    """One lift. Lengths in m, masses in kg, angles in degrees where a name says so.

    ``key``: by which records, links and requests name it, for ever; ``name``: in words. ``example``: the
    typed fields of its invented example; ``invented``: lifters of an example sheet (name, numbers in cm and
    kg by key, sex). ``commands``: the module of its command line, with ``add_options(suggest, assess)`` and
    ``command(options, tape)``; by its name, for a browser does without. Likewise ``library``: the module with
    ``suggest(tape, …)`` and ``assess(tape, setup, …)``, and ``evidence``: the module of ``tests/authorities``
    that holds it against published values.
    """

    key: str
    name: Text
    fields: tuple[Field, ...]
    choices: tuple[Choice, ...]
    parts: tuple[Part, ...]
    results: tuple[Result, ...]
    default_preference: float = 0.5
    example: Mapping[str, str]
    invented: tuple[tuple[str, Mapping[str, float], str], ...] = ()
    cautions: tuple[tuple[Text, Text | None], ...]
    commands: str
    evidence: str = ""
    library: str = ""
    at_each_set = AtEachSet(Said("set_held"), Said("set_not_held"), Said("set_ready"), Said("set_stop"))
    leanings: tuple[Text, Text, Text]
    """What the dial stands for: near 0, in between, near 1."""
    example_trial: tuple[Mapping[str, Any], ...] = ()
    """Two setups of the invented trial that the screen of sets shows, as a trial takes them."""
    example_load_kg: float = 62.5
    """The load that this trial begins with."""
    unclear: Mapping[str, tuple[str, ...]] = {}
    """Headers of a sheet that could mean several of its numbers: words to keys."""
    looks_ours: frozenset[str] = frozenset()
    """Words by which a header looks like one of its numbers."""
    build: Mapping[str, tuple[Said, Said]] = {}
    """What a short and a long one of ``person.build.TRAITS`` mean in it."""

    # numbers

    @abstractmethod
    def case(self, reading: Reading) -> C:
        """The body of a reading under the gear that was chosen. Raises InputError for one that cannot be."""

    @abstractmethod
    def suggest(self, case: C, preference: float, /, *, with_frontier: bool = True) -> A:
        """What is suggested where the dial stands at ``preference`` (0 to 1). Raises InfeasibleError."""

    @abstractmethod
    def suggested(self, advice: A) -> S:
        """The suggested setup."""

    @abstractmethod
    def pulled(self, case: C, parts: Mapping[str, float], suggested: S) -> S:
        """A setup picked by its ``parts``, pulled inside the limits."""

    @abstractmethod
    def settable(self, case: C, setup: S, unit: str, /) -> S:
        """A setup rounded to what a lifter can set in this unit."""

    @abstractmethod
    def measure(self, case: C, setup: S, /) -> M:
        """A setup measured. Raises InfeasibleError where it cannot be held."""

    @abstractmethod
    def present(self, reading: Reading, case: C, shown: M) -> S | None:
        """The present setup; the half of it that was not given is taken as shown. None where nothing is."""

    @abstractmethod
    def doubt(self, reading: Reading, case: C, preference: float) -> Doubt:
        """How sure the suggestion is. Takes longer than the suggestion itself."""

    # words and pictures

    @abstractmethod
    def screen(self, fit: Fit[C, A, M]) -> dict[str, Any]:
        """What the fit screen shows, as it travels: see ``SCREEN`` for its parts."""

    @abstractmethod
    def cells(self, fit: Fit[C, A, M]) -> Mapping[str, Text]:
        """What a sheet says of a fit, by the keys of ``results``; numbers with a point."""

    def rests(self, fit: Fit[C, A, M]) -> Sequence[Text]:
        """What a result rests on, in a few words each: what was chosen, and how many numbers were taped."""
        chosen = [
            Said("rests_choice", {"label": one.label, "option": one.options[fit.reading.chosen[one.key]]})
            for one in self.choices
            if one is not SEX
        ]
        return [*chosen, Said("rests_taped", {"count": taped(fit.reading)})]

    def parts_shown(self, fit: Fit[C, A, M]) -> dict[str, float]:
        """The parts of the setup that is shown, as requests and records hold them."""
        got: Any = getattr(fit.shown, "got", fit.shown)
        return {part.key: round(getattr(got, part.key), 6) for part in self.parts}

    @abstractmethod
    def setup_in_words(self, parts: Mapping[str, Any]) -> Text:
        """A setup by its parts in words, "" where they are none."""

    def spots(self, fit: Fit[C, A, M]) -> tuple[Spot, ...]:
        """Where the setup meets bar, rack and floor."""
        return ()

    def feel(self, fit: Fit[C, A, M]) -> Feel | None:
        """Setups to go between with a finger; None for a lift whose figure cannot be moved yet."""
        return None

    def bar_way(self, fit: Fit[C, A, M]) -> tuple[float, Mapping[str, str]] | None:
        """How far the bar goes in what is shown, m, and the choices that another is asked with to be held
        against it; None where there is no such number."""
        return None

    def likely(self, given: Mapping[str, float], sex: str | None) -> Mapping[str, float]:
        """What tape numbers that are not ``given`` are likely to be (SI), by key; what is not known is left
        out."""
        return likely(given, sex)

    def as_present(self, shown: M) -> Mapping[str, float]:
        """A measured setup as the fields of the present one hold it, by key (SI, rad)."""
        return {}

    film: FilmCheck[Any] | None = None
    """What a film of it needs and measures; None where films cannot be measured yet."""

    def film_plan(self, fit: Fit[C, A, M]) -> FilmPlan | None:
        """The plan that a film is compared with; None where there is none."""
        return None

    # what follows from it

    @property
    def required(self) -> tuple[Field, ...]:
        """The numbers without which there is no setup."""
        return tuple(one for one in self.fields if one.required)

    def measure_of(self, key: str) -> Measure | None:
        """What is measured by a field of the form."""
        return next((one.measure for one in self.fields if one.key == key), None)

    def choice_of(self, key: str) -> Choice | None:
        """A choice of the form."""
        return next((one for one in self.choices if one.key == key), None)


AnyLift = Lift[Any, Any, Any, Any]

SCREEN = (
    "warnings",  # [{code, field or None, message}]
    "headline",  # [{key, label, value, unit, note}]: the setup
    "measures",  # [{key, label, value, unit}]
    "gain",  # {code, decision, text, parts: [text]} against the present setup, or None
    "reasons",  # [{code, message}]
    "marks",  # [{key, label, text}]: how to find the setup on strange gear
    "figure",  # {svg, title, text, table: [[name, value]], views: [{key, label, svg, rows}], beats, rows, …}
    "tradeoff",  # {svg, at, suggested, choices: [{…parts, text}]}
    "trial",  # [{label, index, stroke_m, mean_arm_m, present, marks, dial}]: what sets may decide between
    "setup",  # the parts of the setup that is shown, m
)

MORE: Mapping[str, Any] = {
    "way": None,  # {text, steps: [{after_days, parts, label}]}: from the present setup, in several steps
    "card": None,  # {svg, lines: [{key, label, value, text}]}: what is read at the rack
    "rests": [],  # [text]: what the result rests on
    "bands": None,  # [{key, low, high, text}]: choices that are nearly free, in m or °
    "beside": None,  # {here, there, rows: [[name, here, there]], text}: another way on the same setup
}
"""Further parts of the fit screen, as they are where a lift says nothing of them."""
