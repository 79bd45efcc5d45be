"""One possible world of a filmed set: the followed plate put back into metres, measured from the origin.

The times at which a rep is measured are those of the most likely world; every other world measures at the
same times. y toward the side ahead, z up, from the joint of the lift's first mark, in planes square to the
bar; m and s.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from shortlever.film.clip import Clip, Mark
from shortlever.film.reps import Phases
from shortlever.film.stance import Draw, Stance, nearest_marks
from shortlever.film.track import Track
from shortlever.lifts.film import FilmCheck, FilmPlan, Path, Point

ROWS = 16  # of a path: ROWS + 1 heights from the lowest place up, as the plan has
JOINT_SD_M = 0.007  # how well a joint is found from outside, y and z each (memory: 5 to 10 mm)
DRIFT_SD_M, DRIFT_AFTER_S = 0.005, 0.5  # the origin moves a little between mark and measurement
LOWEST, HIGHEST, REST = ROWS + 1, ROWS + 2, ROWS + 3  # which tracking errors belong to these, after the rows
TRACKED = ROWS + 4
# within this of its turning point the bar's height is averaged, so that noise does not stretch the stroke
LEVEL_M = 0.002


@dataclass(frozen=True)
class Times:
    """When one rep is measured: at rest, around its lowest and its highest point, at the rows of the way up
    and of the way down. ``stroke_m``: by how much the bar rises in the most likely world."""

    rest: tuple[float, ...]
    lowest: tuple[float, ...] = ()
    highest: tuple[float, ...] = ()
    rise: tuple[float, ...] = ()
    down: tuple[float, ...] = ()
    stroke_m: float = 0.0


@dataclass(frozen=True)
class Setting:
    """One clip with its stance and track, and the lift that is measured."""

    clip: Clip
    stance: Stance
    track: Track
    film: FilmCheck[Any]
    plan: FilmPlan | None = None

    def draws(self, count: int, sources: Sequence[str]) -> list[Draw]:
        """Possible worlds."""
        return self.stance.draws(count, sources, TRACKED)


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
        joint, moved = self.draw.joint, self.draw.drift
        return (
            y + JOINT_SD_M * joint[0] + drift * moved[0],
            z + JOINT_SD_M * joint[1] + drift * moved[1],
        )

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
        if mark is None:
            return None
        (y, z), off = self.places(key, self.stance.beyond(self.draw, key))[mark], self.draw.joints[key]
        oy, oz = self.origin(t)
        return y + JOINT_SD_M * off[0] - oy, z + JOINT_SD_M * off[1] - oz

    def rep(self, times: Times) -> SeenRep:
        """A rep as this world shows it."""
        return SeenRep(self, times)


class SeenRep:
    """One rep in one world: see ``shortlever.lifts.film.Filmed``."""

    def __init__(self, world: World, times: Times) -> None:
        self.world, self.stroke_m = world, times.stroke_m
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
    return Times(still, *around, rise, down, stroke)


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
