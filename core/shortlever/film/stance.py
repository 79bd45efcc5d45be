"""Where the camera stood and how it was made, as many possible worlds.

The lean is drawn from its weights (``lean``). Everything else (focal length, distance, sizes, horizon, the
lens's bend, marks, tracking) is close to normal and is drawn from its own error. px, m, rad, s.

Over 300 lines: what is drawn of a camera stands beside how likely it is, source by source.
"""

from __future__ import annotations

import math
import random
from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import accumulate

from shortlever.errors import InputError
from shortlever.film.clip import Clip, Mark
from shortlever.film.lean import (
    Cell,
    Group,
    Lean,
    Leans,
    SleeveEnd,
    bar_away,
    common,
    group_outlines,
    half_axes,
)
from shortlever.film.pinhole import Lens, Vector, View, along_edge, cross, dot, unit, upright
from shortlever.film.shake import LEFT_SHARE, Waver
from shortlever.film.stack import FLANKS, flank_of
from shortlever.film.track import Track
from shortlever.lifts.film import FilmMark
from shortlever.say import Said

FULL_FRAME_MM = math.hypot(36, 24)  # diagonal that 35 mm equivalent focal lengths refer to
# main cameras of phones have 23 to 28 mm, a video crops that by up to a fifth: 1 SD of the logarithm is 0.08
# where all in both ranges is as likely; a little more for what is rarer (common practice, no source)
USUAL_FOCAL_MM, USUAL_FOCAL_SD = 27.5, 0.10
# lenses that a clip may be filmed with: how likely, 35 mm equivalent, 1 SD of its logarithm (the same)
LENSES = ((0.86, USUAL_FOCAL_MM, USUAL_FOCAL_SD), (0.04, 15.0, 0.10), (0.10, 62.0, 0.20))
# against the lens's own number, by what a video is cropped and steadied (common practice, no source)
TYPED_CROP, TYPED_FOCAL_SD = 1.05, 0.05
DISTANCE_SD, LEAST_DISTANCE_SD_M = 0.04, 0.05  # of a distance paced or taped (common practice)
WIDE_MM = 20.0  # lenses under this bend more
BEND_SD, WIDE_BEND_SD = 0.008, 0.03  # what phones leave of a lens's bend, in the corner (memory)
BAR_SQUARE_SD = math.radians(0.4)  # the pad's edge and the bar are seldom quite square to each other
SLEEVE_RADIUS_M, SLEEVE_SD = 0.025, 0.01  # 50 mm across (IWF equipment, memory); what makes differ by
END_SD_PX, LEAST_LENS = 0.45, 0.05
SOURCES = ("angle", "joint", "distance", "scale", "horizon", "lens", "tracking", "shake")
LEAST_DISTANCE_M = 0.5
LEAST_RATIO = 0.86  # of the rim's axes: about 30 degrees off the side
LEAST_READING = 0.02  # a lens less likely than that is none
NEAR_LEAN = 0.03  # the most likely lean is the mean this close to the highest peak


@dataclass(frozen=True)
class Known:
    """Sizes and their errors (1 SD): from the tape measure or usual. ``…_middle_m`` from the bar's middle."""

    diameter_m: float = 0.450
    diameter_sd_m: float = 0.0015  # competition discs ±1 mm (memory); training discs vary more
    plate_middle_m: float = 0.69
    plate_middle_sd_m: float = 0.02
    bar_end_m: float = 1.10
    bar_end_sd_m: float = 0.01
    distance_m: float | None = None
    focal_mm: float | None = None
    out: Mapping[str, tuple[float, float]] = field(default_factory=dict)  # of this body's marks, m and 1 SD


@dataclass(frozen=True)
class Draw:
    """One possible world, as departures in SD (0 = most likely) and a lean."""

    lean: Lean
    focal: float = 0.0
    diameter: float = 0.0
    scale: float = 0.0
    plate_middle: float = 0.0
    out: float = 0.0
    roll: float = 0.0
    edge: tuple[float, float, float] = (0.0, 0.0, 0.0)
    bend: float = 0.0  # as of ``Lens``
    joint: tuple[float, float] = (0.0, 0.0)
    drift: tuple[float, float] = (0.0, 0.0)
    marks: Mapping[str, Sequence[tuple[float, float]]] = field(default_factory=dict)
    track: Sequence[tuple[float, float]] = ()
    joints: Mapping[str, tuple[float, float]] = field(default_factory=dict)  # of the other marks, as joint
    outs: Mapping[str, float] = field(default_factory=dict)  # of marks that stand alone, as out
    unseen: Mapping[str, float] = field(default_factory=dict)  # of what no picture shows
    waver: Waver | None = None
    flank: float = 0.0


@dataclass(frozen=True)
class Reading:
    """One way to read a clip: a lens (px, 1 SD of its logarithm, what it may bend), how far the logarithm of
    the flank's share departs, the leans that go with both, and how likely it is."""

    weight: float
    focal_px: float
    focal_sd: float
    bend_sd: float
    flank: float
    leans: Leans

    @property
    def likely(self) -> Lean:
        """The most likely lean."""
        cells = self.leans.cells
        best = max(cells, key=lambda c: c.weight / c.half**2)
        near = [c for c in cells if math.hypot(c.right - best.right, c.down - best.down) <= NEAR_LEAN]
        part = sum(c.weight for c in near)
        return sum(c.weight * c.right for c in near) / part, sum(c.weight * c.down for c in near) / part


class Stance:
    """All stances of one clip: ``draws`` gives possible worlds, ``view`` their geometry."""

    def __init__(self, clip: Clip, track: Track, known: Known, marks: Sequence[FilmMark]) -> None:
        self.clip, self.known, self.marks = clip, known, marks
        self.radius_m = known.diameter_m / 2
        self.middle = (clip.width / 2, clip.height / 2)
        self.corner_px = math.hypot(*self.middle)
        self.middle_s = (clip.times[0] + clip.times[-1]) / 2
        self.left_px = LEFT_SHARE * clip.shake_px
        groups = group_outlines(clip)
        self.at, self.mean_m, self.scale_sd = common(groups)
        self.wide = known.focal_mm is not None and known.focal_mm < WIDE_MM
        apart = sorted(math.hypot(g.across, g.skew) for g in groups)[len(groups) // 2]
        self.long_m = self.mean_m * (1 + apart)  # the longer half axis does not shrink by the lean
        self.lenses = self._lenses()
        _, self.focal_px, self.focal_sd = max(self.lenses)
        end = SleeveEnd(
            [(m, track.at(m.t)) for m in clip.marks["bar_end"]],
            known.plate_middle_m - known.bar_end_m,
            known.plate_middle_sd_m,
            known.bar_end_sd_m,
        )
        self._check(groups)
        self.flank_m, self.flank_sd = flank_of(known.plate_middle_m, known.plate_middle_sd_m)
        self.readings = self._readings(groups, end)
        self.best = max(self.readings, key=lambda one: one.weight)
        self.focal_px, self.focal_sd = self.best.focal_px, self.best.focal_sd
        self.lenses = [
            (sum(one.weight for one in self.readings if one.focal_px == px), px, sd)
            for _, px, sd in self.lenses
        ]
        self.cells = [
            replace(c, weight=one.weight * c.weight) for one in self.readings for c in one.leans.cells
        ]
        self.likely = Draw(self.best.likely, flank=self.best.flank / self.flank_sd)

    def _readings(self, groups: list[Group], end: SleeveEnd) -> list[Reading]:
        """The lenses and shares of flank that the clip may have, weighed by how well each explains it.

        Away from the picture's middle a plate looks as if it leaned, by how wide the lens is: so each lens
        has leans of its own, and the plate's shape at several heights says which lens it was.
        """

        def read(weight: float, px: float, sd: float, flank: float) -> Reading:
            wide = self.wide or px * FULL_FRAME_MM < WIDE_MM * 2 * self.corner_px
            bend, lens = WIDE_BEND_SD if wide else BEND_SD, Lens(px, self.middle, self.corner_px)
            seen = self.flank_m * math.exp(flank), self.flank_sd
            leans = Leans(self.clip, groups, lens, self.radius_m, bend, end, seen)
            return Reading(weight, px, sd, bend, flank, leans)

        (usual, share), *others = FLANKS
        found = [read(usual * weight, px, sd, share) for weight, px, sd in self.lenses]
        weights = self._weigh(found)
        found = [one for one, weight in zip(found, weights, strict=True) if weight > LEAST_READING]
        for weight, share in others:
            found += [
                read(weight / usual * one.weight, one.focal_px, one.focal_sd, share)
                for one in found
                if one.flank == FLANKS[0][1]
            ]
        return [replace(one, weight=w) for one, w in zip(found, self._weigh(found), strict=True)]

    def _weigh(self, readings: Sequence[Reading]) -> list[float]:
        """How likely readings are, all of them 1; ``evidence`` as ``Leans`` has it."""
        top = max(one.leans.evidence for one in readings)
        weights = [one.weight * math.exp(max(one.leans.evidence - top, -700.0)) for one in readings]
        whole = sum(weights)
        self.evidence = top + math.log(whole)
        return [weight / whole for weight in weights]

    def _lenses(self) -> list[tuple[float, float, float]]:
        """What the focal length may be: weight, px and its error (share), from lens and distance, whichever
        are known."""
        known, found = self.known, []
        crop = 1.0 if self.clip.photo else TYPED_CROP
        typed = ((1.0, crop * known.focal_mm, TYPED_FOCAL_SD),) if known.focal_mm else LENSES
        seen, seen_sd = self._by_distance()
        for weight, mm, sd in typed:
            log = math.log(mm * 2 * self.corner_px / FULL_FRAME_MM)
            if seen is not None:
                both = sd * sd + seen_sd * seen_sd
                weight *= math.exp(-((seen - log) ** 2) / (2 * both)) / math.sqrt(both)
                log = (log * seen_sd**2 + seen * sd * sd) / both
                sd = sd * seen_sd / math.sqrt(both)
            found.append((weight, math.exp(log), sd))
        whole = sum(weight for weight, _, _ in found)
        if not whole > 0:  # the distance is no lens's
            assert seen is not None
            return [(1.0, math.exp(seen), seen_sd)]
        return [(weight / whole, px, sd) for weight, px, sd in found]

    def _by_distance(self) -> tuple[float | None, float]:
        """Logarithm of the focal length (px) by the distance, and its error; None where that is not known."""
        distance = self.known.distance_m
        if distance is None:
            return None, 0.0
        focal = self.long_m * distance / self.radius_m
        x, y = self.at[0] - self.middle[0], self.at[1] - self.middle[1]
        for _ in range(3):  # the distance is along the line of sight, the scale goes by depth
            depth = distance / math.sqrt(1 + (x * x + y * y) / focal**2)
            focal = self.long_m * depth / self.radius_m
        return math.log(focal), max(DISTANCE_SD, LEAST_DISTANCE_SD_M / distance)

    def _check(self, groups: Sequence[Group]) -> None:
        """Raises InputError for what no side-on clip can show."""
        if self.distance_m < LEAST_DISTANCE_M:
            raise InputError(
                "distance" if self.known.distance_m is not None else "focal",
                "too_close",
                Said("camera_at", {"far_m": self.distance_m}),
                Said("camera_too_close", {"far_m": self.distance_m}),
                Said("camera_too_close_remedy"),
            )
        turned = sorted(math.hypot(g.across, g.skew) for g in groups)
        apart = turned[len(turned) // 2]
        ratio = (1 - apart) / (1 + apart)
        if ratio < LEAST_RATIO:
            raise InputError(
                "rims",
                "too_oblique",
                f"{ratio:.2f}",
                Said("camera_too_oblique", {"turned": _turned(ratio), "most": _turned(LEAST_RATIO)}),
                Said("camera_too_oblique_remedy"),
            )

    @property
    def distance_m(self) -> float:
        """Most likely distance from camera to plate, m."""
        far = math.dist(self.at, self.middle)
        return self.radius_m / self.mean_m * math.hypot(self.focal_px, far)

    @property
    def undecided(self) -> bool:
        """Whether it stays open on which side of square the camera stands, by more than shows."""
        toward = sum(c.weight for c in self.cells if c.right > 0)
        size = math.sqrt(sum(c.weight * c.right**2 for c in self.cells))
        return min(toward, 1 - toward) > 0.05 and size > math.radians(1.5)

    def diameters(self) -> list[tuple[float, float]]:
        """How large the rim is by the sleeve's end in the picture (m, 1 SD), for each lens that it may be,
        the likeliest first; empty where that end was not found.

        With focal length f, the rim's R = m Z / f; the end is ``out`` nearer and r = f s / (Z - out).
        """
        seen = [mark.r for mark in self.clip.marks["bar_end"] if mark.r > 0]
        if not seen:
            return []
        r = sum(seen) / len(seen)
        out = self.known.bar_end_m - self.known.plate_middle_m
        found = []
        for weight, px, sd in sorted(self.lenses, reverse=True):
            by_end, by_out = SLEEVE_RADIUS_M / r, out / px
            error = math.hypot(
                by_end * math.hypot(END_SD_PX / r, SLEEVE_SD),
                by_out * math.hypot(sd, self.known.plate_middle_sd_m / out),
            )
            if weight > LEAST_LENS:
                found.append((2 * self.mean_m * (by_end + by_out), 2 * self.mean_m * error))
        return found

    def lens(self, draw: Draw) -> Lens:
        """The lens of a draw."""
        focal = self.focal_px * math.exp(self.focal_sd * draw.focal)
        return Lens(focal, self.middle, self.corner_px, draw.bend)

    def radius(self, draw: Draw) -> float:
        """Radius of the rim in a draw, m."""
        return self.radius_m + self.known.diameter_sd_m / 2 * draw.diameter

    def beyond(self, draw: Draw, key: str = "") -> float:
        """How far a mark (the origin, where none is named) is behind the rim's face in a draw, m.

        How far out they are is one departure for all marks but those that stand alone. That of the plate
        counts for these and the origin only; of the others the place is known less well.
        """
        known = self.known
        mark = next((one for one in self.marks if one.key == key), self.marks[0])
        out_m, out_sd_m = known.out.get(mark.key, (mark.out_m, mark.out_sd_m))
        plate = known.plate_middle_m
        if mark is self.marks[0] or mark.alone:
            plate += known.plate_middle_sd_m * draw.plate_middle
        return plate - out_m - out_sd_m * draw.outs.get(mark.key, draw.out)

    def view(self, draw: Draw) -> View:
        """The camera's view of the bar in a draw: the rim comes out as large as it is seen."""
        lens = self.lens(draw)
        away = bar_away(lens, self.at, draw.lean)
        up, feet = self._horizon(lens, away, draw)
        radius = self.radius(draw)
        size = self.mean_m * math.exp(self.scale_sd * draw.scale)
        plain = Lens(lens.focal_px, lens.middle, lens.corner_px)
        flank = self.flank_m * math.exp(self.flank_sd * draw.flank)
        plate = plain.focal_px * radius / size * dot(away, plain.ray(self.at))
        for _ in range(2):
            view = View(plain, away, up, feet, plate, flank)
            xx, _, yy = half_axes(view, *view.disc_middle(self.at, radius), radius)
            plate *= (xx + yy) / 2 / size
        return View(lens, away, up, feet, plate, flank)

    def _horizon(self, lens: Lens, away: Vector, draw: Draw) -> tuple[Vector, Vector]:
        edge = self.clip.edge
        if edge is not None:
            off = draw.edge
            rays = [lens.ray((m.x, m.y + m.sd * e)) for m, e in zip(edge, off[:2], strict=True)]
            found = along_edge(away, *rays)
            if found is not None:
                turned = BAR_SQUARE_SD * off[2]
                up, feet = found
                up = unit((up[0] + turned * feet[0], up[1] + turned * feet[1], up[2] + turned * feet[2]))
                return up, cross(away, up)
        return upright(away, self.clip.upright_sd_rad * draw.roll)

    def draws(self, count: int, sources: Sequence[str], tracked: int) -> list[Draw]:
        """``count`` possible worlds in which only ``sources`` (of SOURCES) depart from what is most likely.

        ``tracked``: for how many path points errors are needed. Always the same for the same input: the
        chance generators start from fixed places. Worlds come in pairs with opposite departures, so that the
        middle of few worlds is as good as that of many.
        """
        found = []
        picked = self._picked(count, sources)
        leans = {
            id(one): iter(
                _some_leans(one.leans.cells, picked.count(one), random.Random(0))
                if "angle" in sources
                else [one.likely] * picked.count(one)
            )
            for one in self.readings
        }
        for i, reading in enumerate(picked):
            lean = next(leans[id(reading)])
            plate, plate_sd = reading.leans.plate_given(lean) if "angle" in sources else (0.0, 1.0)
            d = _Departures(random.Random(1 + i // 2), 1.0 if i % 2 else -1.0, sources)
            focal = math.log(reading.focal_px) + reading.focal_sd * d.one("distance")
            found.append(
                Draw(
                    lean,
                    focal=(focal - math.log(self.focal_px)) / self.focal_sd,
                    diameter=d.one("scale"),
                    scale=d.one("scale"),
                    plate_middle=plate + plate_sd * d.one("distance"),
                    out=d.one("distance"),
                    roll=d.one("horizon"),
                    edge=(d.one("horizon"), d.one("horizon"), d.one("horizon")),
                    bend=reading.bend_sd * d.one("lens"),
                    joint=d.two("joint"),
                    drift=d.two("joint"),
                    marks={key: [d.two("joint") for _ in marks] for key, marks in self.clip.marks.items()},
                    track=[d.two("tracking") for _ in range(tracked)] if "tracking" in sources else (),
                    joints={mark.key: d.two("joint") for mark in self.marks[1:]},
                    waver=Waver.of(partial(d.two, "shake")) if self.left_px and "shake" in sources else None,
                    flank=reading.flank / self.flank_sd + d.one("scale"),
                )
            )
        return found

    def _picked(self, count: int, sources: Sequence[str]) -> list[Reading]:
        """The readings of so many worlds, the same for both of a pair: with other lenses if the distance may
        depart, with other shares of the flank if the scale may."""
        some = [
            one
            for one in self.readings
            if ("distance" in sources or one.focal_px == self.focal_px)
            and ("scale" in sources or one.flank == self.best.flank)
        ]
        chance, pairs = random.Random(-1), (count + 1) // 2
        whole = sum(one.weight for one in some)
        aims = [whole * (i + chance.random()) / pairs for i in range(pairs)]
        chance.shuffle(aims)
        sums = list(accumulate(one.weight for one in some))
        return [some[min(bisect_left(sums, aim), len(some) - 1)] for aim in aims for _ in range(2)][:count]


def _some_leans(cells: Sequence[Cell], count: int, chance: random.Random) -> list[Lean]:
    """Leans from cells by weight, one from each share of 1 / count."""
    found: list[Lean] = []
    passed, k = 0.0, 0
    order = sorted(cells, key=lambda c: (c.right, c.down))
    for i in range(count):
        aim = (i + chance.random()) / count
        while k < len(order) - 1 and passed + order[k].weight < aim:
            passed += order[k].weight
            k += 1
        c = order[k]
        found.append((c.right + c.half * chance.uniform(-1, 1), c.down + c.half * chance.uniform(-1, 1)))
    chance.shuffle(found)
    return found


def _turned(ratio: float) -> float:
    """By how much a circle is turned that is seen with this ratio of axes, deg."""
    return math.degrees(math.acos(min(max(ratio, 0.0), 1.0)))


@dataclass(frozen=True)
class _Departures:
    """Normal departures of the sources that may depart, with a sign; 0 for the others."""

    chance: random.Random
    sign: float
    sources: Sequence[str]

    def one(self, source: str) -> float:
        return self.sign * self.chance.gauss(0.0, 1.0) if source in self.sources else 0.0

    def two(self, source: str) -> tuple[float, float]:
        return self.one(source), self.one(source)


def nearest_marks(marks: Sequence[Mark], t: float) -> list[tuple[int, float]]:
    """Which marks hold at a time, as (place in the list, share): the two around it in proportion."""
    after = next((i for i, m in enumerate(marks) if m.t >= t), None)
    if after is None:
        return [(len(marks) - 1, 1.0)]
    if after == 0 or marks[after].t == t:
        return [(after, 1.0)]
    a, b = marks[after - 1], marks[after]
    share = (t - a.t) / (b.t - a.t)
    return [(after - 1, 1 - share), (after, share)]
