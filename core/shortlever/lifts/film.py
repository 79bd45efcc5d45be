"""What a film of a lift needs and measures, as one value: what is above knows a lift's film by it alone.

Places are (y, z) in m in a plane square to the bar: y toward the lifter's side ``ahead``, z up, from the
joint of the first mark, the origin.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import ClassVar, Generic, Protocol, TypeVar

from shortlever.say import Said

JOINT_SD_M = 0.007  # how well a joint is found from outside, y and z each (memory: 5 to 10 mm)

Point = tuple[float, float]
Path = Sequence[tuple[float, float, float]]  # time (s), y, z


@dataclass(frozen=True)
class Number:
    """A measured value with its 90 % interval, SI (deg for angles)."""

    value: float
    low: float
    high: float

    @property
    def margin(self) -> float:
        """The larger distance from the value to an end of the interval."""
        return max(self.high - self.value, self.value - self.low)


Numbers = Mapping[str, Number]


@dataclass(frozen=True)
class FilmMark:
    """A joint that a person marks: its label, how to mark it, and how far out along the bar from the body's
    middle it is (m, and 1 SD), where the body is not known.

    ``missing``: of a needed one, what is said where it is not marked, and what to do. ``over_bar_m``: where
    it may be when it is marked, lowest and highest over the bar (m): so much of the picture is shown then.
    ``at``: the moments at which it is asked for, of a joint that moves. ``sd_m``: how well it is found from
    outside, y and z each; ``alone``: how far out it is says nothing of the others; ``pictures``: in which of
    a clip to mark it, where the hint does not say it.
    """

    key: str
    label: Said
    hint: Said
    out_m: float
    out_sd_m: float
    missing: tuple[Said, Said] | None = None
    over_bar_m: Point = (-1.1, 0.9)
    at: tuple[str, ...] = ()
    sd_m: float = JOINT_SD_M
    alone: bool = False
    pictures: Said | None = None

    @property
    def needed(self) -> bool:
        """Whether nothing is measured without it."""
        return self.missing is not None


@dataclass(frozen=True)
class FilmMoment:
    """A moment of a rep that is found on the bar's way, at which joints are marked."""

    key: str
    label: Said


@dataclass(frozen=True)
class FilmNumber:
    """A number that is measured of a rep: its label, and words for more and for less than planned.

    ``unit``: "m", "deg", "s" or "times" (one length by another). ``head``: it is one of those to read first,
    by this label. ``told``: a sentence compares it with the plan. ``kept``: what a logged set calls it, ""
    where none keeps it.
    """

    key: str
    label: Said
    more: Said
    less: Said
    unit: str = "m"
    head: Said | None = None
    told: bool = False
    kept: str = ""


@dataclass(frozen=True)
class Head:
    """A number to read first: what is shown of it (SI), its error and what was planned, and its unit as that
    of a ``FilmNumber``."""

    key: str
    label: Said
    value: float
    number: Number
    planned: float | None
    unit: str = "m"


@dataclass(frozen=True)
class FilmPlan:
    """What was planned, as a film from the side can show it.

    ``values`` by the keys of the numbers (m, deg); ``path``: of the bar, from its lowest place up; ``out``:
    how far out this body's marks are (m, and 1 SD) by their keys; ``outline``, ``head`` (middle and radius)
    and ``pad_m`` (height): the body and what bears it, to draw. ``speeds``: rows (height, m/s) of the bar's
    speed with the heaviest load, heights from the lowest place; ``slowest_up_m``: where it is slowest then.
    ``hardest``: what the model says of the hardest point where it does not say where the bar is slowest.
    """

    values: Mapping[str, float]
    path: Sequence[Point]
    out: Mapping[str, Point] = field(default_factory=dict)
    outline: Sequence[Point] = ()
    head: tuple[Point, float] | None = None
    pad_m: float | None = None
    speeds: Sequence[Point] = ()
    slowest_up_m: float | None = None
    hardest: Said | None = None

    @property
    def stroke_m(self) -> float:
        """How far the bar goes up."""
        return self.path[-1][1] - self.path[0][1]

    def y_up(self, up_m: float) -> float:
        """y of the planned path that far above its lowest place, m."""
        at = min(max(up_m / self.stroke_m, 0.0), 1.0) * (len(self.path) - 1)
        i = min(int(at), len(self.path) - 2)
        return self.path[i][0] + (at - i) * (self.path[i + 1][0] - self.path[i][0])


P = TypeVar("P", bound=FilmPlan)


class Way(Protocol):
    """When a bar was where in one rep, in the most likely world. Times in s."""

    @property
    def lowest_s(self) -> float: ...
    @property
    def lift_off_s(self) -> float: ...
    @property
    def stroke_m(self) -> float: ...

    def passes(self, up_m: float) -> float:
        """When the rising bar first is so far above its lowest place."""
        ...


class Filmed(Way, Protocol):
    """One rep as a film shows it, in one of the worlds that it allows.

    ``rest``: the bar while it rests at its lowest; ``rest_s``: when; ``rise``: rows at equal heights from the
    lowest place up, empty where that is not seen; ``travel_m``: by how much the bar rises; ``stroke_m``: the
    same in the most likely world, so one value for all.
    """

    @property
    def rest(self) -> Point: ...
    @property
    def rest_s(self) -> float: ...
    @property
    def rise(self) -> Path: ...
    @property
    def travel_m(self) -> float: ...
    @property
    def stroke_m(self) -> float: ...

    def joint(self, key: str, t: float) -> Point | None:
        """Where a marked joint is at a time, None where it is not marked near then."""
        ...

    def marked(self, key: str, moment: str) -> tuple[Point, Point] | None:
        """Where a joint and the bar are in the picture in which it is marked for a moment, None where it is
        not marked near then."""
        ...

    def departure(self, name: str) -> float:
        """By how much something that no picture shows departs from the likely in this world, in SD."""
        ...


def at_height(rise: Path, share: float) -> float:
    """y of rows at equal heights at a share of the way up, between two rows in proportion."""
    at = share * (len(rise) - 1)
    i = min(int(at), len(rise) - 2)
    part = at - i
    return (1 - part) * rise[i][1] + part * rise[i + 1][1]


class FilmCheck(ABC, Generic[P]):
    """What a film of one lift needs, measures and says. The first of ``marks`` is the origin, and needed.

    Nouns in texts: ``origin``; ``ahead`` and ``behind``, the sides that y points to and from; ``where``, the
    place at which the bar is lowest; ``arm``, the level distance there from the origin to the bar.
    ``ask_side``: what to do where the side ahead cannot be seen. ``strokes_m``: a usual stroke lies between.
    ``from_below``: a rep begins where the bar is lowest, on the floor, and ends where it is highest.
    ``unseen``: names of what no picture shows, for ``Filmed.departure``. ``no_pause``: what is said of a bar
    that turned at once. ``left_m``: how far behind the origin the figure reaches. ``photo_of``: the moments
    that a photo shows.
    """

    marks: ClassVar[tuple[FilmMark, ...]]
    numbers: ClassVar[tuple[FilmNumber, ...]]
    origin: ClassVar[Said]
    ahead: ClassVar[Said]
    behind: ClassVar[Said]
    ask_side: ClassVar[Said]
    where: ClassVar[Said]
    arm: ClassVar[Said]
    strokes_m: ClassVar[Point]
    moments: ClassVar[tuple[FilmMoment, ...]] = ()
    from_below: ClassVar[bool] = False
    photo_of: ClassVar[tuple[str, ...]] = ()
    unseen: ClassVar[tuple[str, ...]] = ()
    no_pause: ClassVar[Said] = Said("film_no_pause")
    left_m: ClassVar[float] = 0.34

    def when(self, way: Way, plan: P | None) -> Mapping[str, float]:
        """The times of the moments in a rep, by their keys."""
        return {}

    def sticks(self, rep: Filmed) -> list[list[Point]]:
        """The body as marked, in lines to draw; rep in the most likely world."""
        return []

    @abstractmethod
    def measured(self, rep: Filmed, plan: P | None) -> dict[str, float]:
        """The numbers of a rep in one world by their keys; what is not seen is left out. There may be
        more than ``numbers`` names, for ``settled``."""

    def settled(self, found: dict[str, Number], rise: Path) -> dict[str, Number]:
        """The numbers of all worlds together; ``rise`` is the middle path."""
        return found

    def likely(self, reps: Sequence[Numbers]) -> float:
        """Log weight of a film read with that side ahead, to find out on which side of the picture it is."""
        return 0.0

    def planned(self, plan: P, key: str, stroke_m: float) -> float | None:
        """The planned value of a number; None where nothing is planned."""
        return plan.values.get(key)

    def label(self, number: FilmNumber, stroke_m: float, plan: P | None) -> Said:
        """What a number of a rep is called."""
        return number.label

    def headline(self, means: Numbers, plan: P | None) -> list[Head]:
        """The numbers to read first."""
        return [
            Head(
                one.key,
                one.head,
                got.value,
                got,
                self.planned(plan, one.key, 0.0) if plan else None,
                one.unit,
            )
            for one in self.numbers
            if one.head and (got := means.get(one.key))
        ]

    def before(self, means: Numbers, plan: P | None) -> list[Said]:
        """What is said before the numbers that are told against the plan, most important first."""
        return []

    def after(self, means: Numbers) -> list[Said]:
        """What is said after them."""
        return []

    def over_reps(self, first: Numbers, last: Numbers) -> list[Said]:
        """What is said of how the last rep differs from the first."""
        return []

    def doubtful(self, reps: Sequence[Numbers]) -> list[tuple[str, str, Said]]:
        """What makes the film doubtful where the side was given: code, field of the form, sentence."""
        return []

    def number(self, key: str) -> FilmNumber | None:
        """One of its numbers."""
        return next((one for one in self.numbers if one.key == key), None)


AnyFilm = FilmCheck[FilmPlan]
