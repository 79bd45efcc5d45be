"""One possible world of a filmed set: the followed plate put back into metres, measured from the origin.

The times at which a rep is measured are those of the most likely world; every other world measures at the
same times. y toward the side ahead, z up, from the joint of the lift's first mark, in planes square to the
bar; m and s.

Over 300 lines: the times at which a rep is measured are found in a world, and every world is asked at them.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from random import Random
from typing import Any

from shortlever.film.clip import Clip, Mark
from shortlever.film.reps import Phases
from shortlever.film.stance import Draw, Stance, nearest_marks
from shortlever.film.track import Track
from shortlever.lifts.film import FilmCheck, FilmMark, FilmPlan, Path, Point

FINE = 400  # rows of a way up, to find when it passes a height
ROWS = 16  # of a path: ROWS + 1 heights from the lowest place up, as the plan has
DRIFT_SD_M, DRIFT_AFTER_S = 0.005, 0.5  # the origin moves a little between mark and measurement
LOWEST, HIGHEST, REST = ROWS + 1, ROWS + 2, ROWS + 3  # which tracking errors belong to these, after the rows
TRACKED = ROWS + 4
NEAR_M, NEAR_S = 0.03, 0.5  # a mark counts for a moment where the bar is that near to its place and time
NEAR_SHARE = 0.5  # of how far the bar moved in between, by which a joint may have moved otherwise, 1 SD
HALF = math.sqrt(0.5)  # of a joint's error, by which half of its variance is the same in every picture
UNSEEN = ("near_y", "near_z", "off")  # of every lift: how a joint moved since, when the bar left the floor
AGAIN = 977  # apart from the seeds of the stance
# within this of its turning point the bar's height is averaged, so that noise does not stretch the stroke
LEVEL_M = 0.002


@dataclass(frozen=True)
class Times:
    """When one rep is measured: at rest, around its lowest and its highest point, at the rows of the way up
    and of the way down. ``stroke_m``: by how much the bar rises in the most likely world; ``ups``: rows
    (time, height above the lowest place) of the way up there; ``off``: when the bar leaves the floor, and
    the error of that (1 SD), of a lift that begins there; ``moments``: by their keys."""

    rest: tuple[float, ...]
    lowest: tuple[float, ...] = ()
    highest: tuple[float, ...] = ()
    rise: tuple[float, ...] = ()
    down: tuple[float, ...] = ()
    stroke_m: float = 0.0
    ups: tuple[Point, ...] = ()
    off: Point | None = None
    moments: Mapping[str, float] = field(default_factory=dict)

    @property
    def lowest_s(self) -> float:
        """See ``shortlever.lifts.film.Way``."""
        return self.rest[len(self.rest) // 2]

    @property
    def lift_off_s(self) -> float:
        """See ``shortlever.lifts.film.Way``."""
        return self.off[0] if self.off else self.passes(LEVEL_M)

    def passes(self, up_m: float) -> float:
        """See ``shortlever.lifts.film.Way``."""
        for (s, a), (t, b) in pairwise(self.ups):
            if b >= up_m:
                return s + (t - s) * min(max((up_m - a) / (b - a), 0.0), 1.0) if b > a else t
        return self.ups[-1][0] if self.ups else self.lowest_s


@dataclass(frozen=True)
class Setting:
    """One clip with its stance and track, and the lift that is measured."""

    clip: Clip
    stance: Stance
    track: Track
    film: FilmCheck[Any]
    plan: FilmPlan | None = None

    def draws(self, count: int, sources: Sequence[str]) -> list[Draw]:
        """Possible worlds; in pairs with opposite departures, as those of the stance. What joints are off by
        is brought to its spread exactly: of so few worlds chance would make it too small or large, and the
        same way in every clip."""
        marks = self.film.marks
        alone = [mark.key for mark in marks if mark.alone]
        anew = [f"{mark.key} {at} {way}" for mark in marks for at in mark.at for way in "yz"]
        found = []
        for i, draw in enumerate(self.stance.draws(count, sources, TRACKED)):
            chance, sign = Random(AGAIN + i // 2), -1.0 if i % 2 else 1.0
            outs = {key: sign * chance.gauss(0.0, 1.0) for key in alone}
            unseen = {name: sign * chance.gauss(0.0, 1.0) for name in (*self.film.unseen, *UNSEEN, *anew)}
            kept = "distance" in sources, "joint" in sources
            found.append(replace(draw, outs=outs if kept[0] else {}, unseen=unseen if kept[1] else {}))
        if not found or not alone:
            return found
        roll = _spread([one.roll for one in found])
        outs_of = {key: _spread([one.outs.get(key, 0.0) for one in found]) for key in alone}
        unseen_of = {key: _spread([one.unseen[key] for one in found]) for key in found[0].unseen}
        joints_of = {key: _spreads([one.joints[key] for one in found]) for key in found[0].joints}
        marks_of = {
            key: [_spreads([one.marks[key][i] for one in found]) for i in range(len(rows))]
            for key, rows in found[0].marks.items()
        }
        return [
            replace(
                one,
                roll=one.roll / roll,
                outs={key: value / outs_of[key] for key, value in one.outs.items()},
                unseen={key: value / unseen_of[key] for key, value in one.unseen.items()},
                joints={key: _by(value, joints_of[key]) for key, value in one.joints.items()},
                marks={
                    key: [_by(value, by) for value, by in zip(rows, marks_of[key], strict=True)]
                    for key, rows in one.marks.items()
                },
            )
            for one in found
        ]

    def mark(self, key: str) -> FilmMark:
        """One of the lift's marks."""
        return next(mark for mark in self.film.marks if mark.key == key)


class World:
    """One possible world: the view it gives, and everything measured in it."""

    def __init__(self, setting: Setting, draw: Draw) -> None:
        self.setting, self.draw = setting, draw
        self.clip, self.stance, self.track = setting.clip, setting.stance, setting.track
        self.view = self.stance.view(draw)
        self.radius_m = self.stance.radius(draw)
        self.first = setting.film.marks[0].key
        self.origins = self.places(self.first, self.stance.beyond(draw))
        self.from_mark = [m.t for m in self.clip.marks[self.first]]

    def places(self, key: str, beyond_m: float) -> list[Point]:
        """(y, z) of the marks of a joint on the plane ``beyond_m`` behind the plate, m."""
        marks = self.clip.marks[key]
        errors = self.draw.marks.get(key) or [(0.0, 0.0)] * len(marks)
        return [
            self.view.on_plane((m.x + m.sd * e[0] + left[0], m.y + m.sd * e[1] + left[1]), beyond_m)
            for m, e in zip(marks, errors, strict=True)
            for left in [self.left(m.t)]
        ]

    def left(self, t: float) -> Point:
        """What of a shaken phone was not taken out at a time, px."""
        waver, size = self.draw.waver, self.stance.left_px
        if waver is None:
            return 0.0, 0.0
        x, y = waver.at(t)
        return size * x, size * y

    def bar(self, t: float, noise: Point = (0.0, 0.0)) -> Point:
        """(y, z) of the bar on the camera's own axes, m."""
        x, y, sd = self.track.at(t)
        left = self.left(t)
        at = x + sd * noise[0] + left[0], y + sd * noise[1] + left[1]
        return self.view.disc_middle(at, self.radius_m)

    def origin(self, t: float) -> Point:
        """(y, z) of the origin's joint at a time, between its marks in proportion, m."""
        y = z = 0.0
        for i, share in nearest_marks(self.clip.marks[self.first], t):
            y, z = y + share * self.origins[i][0], z + share * self.origins[i][1]
        gap = min(abs(mark - t) for mark in self.from_mark)
        drift = DRIFT_SD_M * min(gap / DRIFT_AFTER_S, 1.0)
        joint, moved, sd = self.draw.joint, self.draw.drift, self.setting.film.marks[0].sd_m
        return y + sd * joint[0] + drift * moved[0], z + sd * joint[1] + drift * moved[1]

    def from_origin(self, t: float, point: int | None = None) -> Point:
        """(y, z) of the bar from the origin, m; ``point`` numbers the tracking error to use."""
        y, z = self.bar(t, self.noise(point))
        oy, oz = self.origin(t)
        return y - oy, z - oz

    def noise(self, point: int | None) -> Point:
        """The tracking error of a point, in its SD."""
        return self.draw.track[point] if point is not None and self.draw.track else (0.0, 0.0)

    def level(self, times: Sequence[float], point: int) -> float:
        """Mean height of the bar at some times, on the camera's own axes, m; the origin has no part."""
        noise = self.noise(point)
        return sum(self.bar(t, noise)[1] for t in times) / len(times)

    def path(self, times: Sequence[float]) -> Path:
        """The bar from the origin at some times."""
        return [(t, *self.from_origin(t, i)) for i, t in enumerate(times)]

    def joint(self, key: str, t: float) -> Point | None:
        """(y, z) of a marked joint from the origin, m; None where no mark of it is near that time."""
        marks = self.clip.marks.get(key, [])
        mark = _closest(marks, t)
        return None if mark is None else self._joint(key, mark, t)

    def _joint(self, key: str, mark: int, t: float, part: float = 1.0) -> Point:
        """(y, z) of a joint by one of its marks, from the origin at a time, m; ``part`` of its error."""
        y, z = self.places(key, self.stance.beyond(self.draw, key))[mark]
        off = self.draw.joints.get(key, (0.0, 0.0))
        (oy, oz), sd = self.origin(t), part * self.setting.mark(key).sd_m
        return y + sd * off[0] - oy, z + sd * off[1] - oz

    def marked(self, key: str, moment: str, t: float) -> tuple[Point, Point] | None:
        """A joint and the bar from the origin, m, by the mark nearest to a moment, as it would be then; None
        where the bar was elsewhere at each. Half of what makes a joint unsure is made anew in each picture.
        """
        marks, there = self.clip.marks.get(key, []), self.bar(t)
        near = [
            (i, abs(m.t - t))
            for i, m in enumerate(marks)
            if abs(m.t - t) <= NEAR_S and math.dist(self.bar(m.t), there) <= NEAR_M
        ]
        if not near:
            return None
        i = min(near, key=lambda one: one[1])[0]
        if key == self.first:
            return (0.0, 0.0), self.from_origin(marks[i].t)
        (y, z), bar = self._joint(key, i, marks[i].t, HALF), self.bar(marks[i].t)
        unseen = self.draw.unseen.get
        more, sd = NEAR_SHARE * math.dist(bar, there), HALF * self.setting.mark(key).sd_m
        y += more * unseen("near_y", 0.0) + sd * unseen(f"{key} {moment} y", 0.0)
        z += more * unseen("near_z", 0.0) + sd * unseen(f"{key} {moment} z", 0.0)
        return (y, z), self.from_origin(marks[i].t)

    def rep(self, times: Times) -> SeenRep:
        """A rep as this world shows it."""
        return SeenRep(self, times)


class SeenRep:
    """One rep in one world: see ``shortlever.lifts.film.Filmed``."""

    def __init__(self, world: World, times: Times) -> None:
        self.world, self.times, self.stroke_m = world, times, times.stroke_m
        self.rest_s = times.rest[len(times.rest) // 2]
        at = [world.from_origin(t, REST) for t in times.rest]
        self.rest = sum(p[0] for p in at) / len(at), sum(p[1] for p in at) / len(at)
        self.rise = world.path(times.rise)
        self.travel_m = 0.0
        if times.rise:
            self.travel_m = world.level(times.highest, HIGHEST) - world.level(times.lowest, LOWEST)

    def joint(self, key: str, t: float) -> Point | None:
        """See ``World.joint``."""
        return self.world.joint(key, t)

    def marked(self, key: str, moment: str) -> tuple[Point, Point] | None:
        """See ``World.marked``."""
        t = self.times.moments.get(moment)
        return None if t is None else self.world.marked(key, moment, t)

    def departure(self, name: str) -> float:
        """See ``shortlever.lifts.film.Filmed``."""
        return self.world.draw.unseen.get(name, 0.0)

    @property
    def lowest_s(self) -> float:
        """See ``Times``."""
        return self.times.lowest_s

    @property
    def lift_off_s(self) -> float:
        """When the bar leaves the floor in this world."""
        off = self.times.off
        return self.times.lift_off_s + (off[1] * self.departure("off") if off else 0.0)

    def passes(self, up_m: float) -> float:
        """See ``Times``."""
        return self.times.passes(up_m)


def _spread(values: Sequence[float]) -> float:
    """The spread of departures about 0, 1 where there are none."""
    return math.sqrt(sum(v * v for v in values) / len(values)) or 1.0


def _spreads(values: Sequence[Point]) -> Point:
    return _spread([v[0] for v in values]), _spread([v[1] for v in values])


def _by(value: Point, spread: Point) -> Point:
    return value[0] / spread[0], value[1] / spread[1]


def _closest(marks: Sequence[Mark], t: float) -> int | None:
    """Which mark is nearest to a time, None where none is near."""
    near = [i for i, m in enumerate(marks) if abs(m.t - t) <= DRIFT_AFTER_S]
    return min(near, key=lambda i: abs(marks[i].t - t)) if near else None


def times_of(likely: World, phases: Phases) -> Times:
    """When a rep is measured."""
    pause, rest = phases.pause_s, phases.rest
    still = tuple(rest[0] + pause * i / 4 for i in range(5)) if pause > 0 else (phases.lowest,)

    def height(t: float) -> float:
        return likely.bar(t)[1]

    def levels(high: float) -> list[float]:
        return [low + (high - low) * i / ROWS for i in range(ROWS + 1)]

    low = height(phases.lowest)
    rise: tuple[float, ...] = ()
    down: tuple[float, ...] = ()
    stroke = 0.0
    if phases.shows_rise:
        stroke = height(phases.highest) - low
        rise = _times_at(height, phases.lowest, phases.highest, levels(low + stroke))
    if phases.shows_down:
        rising = levels(height(phases.top))
        back = _times_at(lambda t: height(-t), -phases.lowest, -phases.top, rising)
        down = tuple(-t for t in reversed(back))
    around = _around(likely, phases.lowest), _around(likely, phases.highest)
    ups: tuple[Point, ...] = ()
    if phases.shows_rise:
        span = [phases.lowest + (phases.highest - phases.lowest) * i / FINE for i in range(FINE + 1)]
        ups = tuple((t, height(t) - low) for t in span)
    return Times(still, *around, rise, down, stroke, ups)


def _times_at(
    height: Callable[[float], float], start: float, end: float, levels: Sequence[float]
) -> tuple[float, ...]:
    """When a rising height first passes each of rising levels between two times, s."""
    steps = 200
    times = [start + (end - start) * i / steps for i in range(steps + 1)]
    heights = [height(t) for t in times]
    out, i = [], 0
    for level in levels:
        while i < steps and heights[i + 1] < level:
            i += 1
        a, b = heights[i], heights[min(i + 1, steps)]
        share = (level - a) / (b - a) if b > a else 0.0
        out.append(times[i] + min(max(share, 0.0), 1.0) * (end - start) / steps)
    return tuple(out)


def _around(likely: World, turn: float) -> tuple[float, ...]:
    """The frames around a turning point in which the bar stays within ``LEVEL_M`` of it; of many, nine."""
    times = likely.track.times
    level = likely.bar(turn)[1]
    i = j = bisect_left(times, turn)
    while i > 0 and abs(likely.bar(times[i - 1])[1] - level) <= LEVEL_M:
        i -= 1
    while j < len(times) - 1 and abs(likely.bar(times[j + 1])[1] - level) <= LEVEL_M:
        j += 1
    some = times[i : j + 1]
    return tuple(some[:: max(len(some) // 9, 1)])
