"""How the camera looks at the bar, weighed: every lean that the plate's outline and the marks allow.

The lean is by how much the bar points away from the line of sight to the plate, as two slopes (right and down
in the picture; with the feet on the right the first is + for a camera nearer the feet, the second - for a
camera above the bar). It shows in three ways. The outline's axis ratio falls with the square of the lean, so
it says much about a large one, little about a small one, and nothing about its sign. The end of the sleeve
stands out from the middle of the rim in proportion to it. And the rim grows and shrinks as the bar moves if
the camera does not look at it squarely. px, m, rad.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shortlever.film.clip import Clip, Mark
from shortlever.film.ellipse import root_2x2
from shortlever.film.pinhole import Lens, Vector, View, cross, dot, unit, upright

GROUPS, MOST_OF_A_GROUP = 6, 10.0  # outlines are averaged by height; neighbours share their errors
OUTLINE_SD_PX = 0.25  # of an outline as a whole, whatever is said: edges, compression
DRIFT = 0.003  # share by which the plate's size may change as the bar shifts sideways or turns
PRIOR_SIDE, PRIOR_TILT = math.radians(12), math.radians(8)  # of a clip meant to be side-on (common practice)
PRIOR_LEVEL = math.radians(4)  # of a camera put up square to the lifter by eye (common practice)
UNDECIDED = math.radians(2)  # within this of square "nearer the feet" is not seen by eye
LARGEST_LEAN, FIRST_CELLS, LEVELS, SPLIT_ABOVE = 0.64, 16, 7, 0.004

Lean = tuple[float, float]


@dataclass(frozen=True)
class Group:
    """Outlines of one height, averaged: middle (px), mean half axis m (px), and the shape as shares of m."""

    x: float
    y: float
    m: float
    across: float  # (xx - yy) / 2 m of the half-axes matrix
    skew: float  # xy / m
    m_sd: float  # share
    shape_sd: float


@dataclass(frozen=True)
class Cell:
    """A square of leans: slopes of its middle, half its side, and its weight (all sum to 1)."""

    right: float
    down: float
    half: float
    weight: float = 0.0


def group_outlines(clip: Clip) -> list[Group]:
    """Outlines of the clip, averaged over up to ``GROUPS`` heights; rims marked by hand stay on their own."""
    followed = [s.outline for s in clip.seen if s is not None and s.outline is not None]
    followed.sort(key=lambda e: e.y)
    count = min(GROUPS, max(len(followed) // 4, 1)) if followed else 0
    sets = [followed[len(followed) * i // count : len(followed) * (i + 1) // count] for i in range(count)]
    sets += [[e] for _, e in clip.rims]
    found = []
    for some in sets:
        n = len(some)
        halves = [e.half_axes() for e in some]
        xx, xy, yy = (sum(h[i] for h in halves) / n for i in range(3))
        m = (xx + yy) / 2
        said = math.sqrt(sum(e.axes_sd**2 for e in some) / n)
        spread = math.sqrt(
            sum(((h[0] - h[2]) / 2 - (xx - yy) / 2) ** 2 + (h[1] - xy) ** 2 for h in halves) / (2 * n)
        )
        # with an evenly seen rim a and b have sqrt(3), the shape's two parts sqrt(2) of the error of m
        error = max(said / math.sqrt(3), spread / math.sqrt(2)) / math.sqrt(min(n, MOST_OF_A_GROUP))
        x, y = sum(e.x for e in some) / n, sum(e.y for e in some) / n
        found.append(Group(x, y, m, (xx - yy) / 2 / m, xy / m, error / m, math.sqrt(2) * error / m))
    return found


@dataclass(frozen=True)
class SleeveEnd:
    """Where the sleeve's end was marked, where the rim's middle was then (px), and how far it stands out (m).

    ``plate_sd_m`` and ``end_sd_m`` are the errors of the two places along the bar.
    """

    marks: list[tuple[Mark, tuple[float, float, float]]]
    beyond_m: float
    plate_sd_m: float
    end_sd_m: float

    @property
    def sd_m(self) -> float:
        """Error of ``beyond_m``, 1 SD."""
        return math.hypot(self.plate_sd_m, self.end_sd_m)


class Leans:
    """What is seen of one clip's lean, and ``cells``: its weights.

    ``evidence``: the log of how well anything of this explains what is seen, to compare two readings of a
    clip. ``at``: the middle of all outlines (px), where the line of sight goes; ``mean_m``: their mean half
    axis (px).
    """

    def __init__(
        self, clip: Clip, groups: list[Group], lens: Lens, radius_m: float, bend_sd: float, end: SleeveEnd,
        flank: tuple[float, float],
    ) -> None:  # fmt: skip
        self.groups, self.lens, self.radius_m, self.bend_sd, self.end = groups, lens, radius_m, bend_sd, end
        self.flank_m, self.flank_sd = flank
        self.stands = clip.stands
        self.at, self.mean_m, _ = common(groups)
        self.evidence = 0.0
        self.cells = self._weigh()

    def plain_view(self, lens: Lens, lean: Lean) -> View:
        """The view for a lean, held upright, at the most likely scale."""
        away = bar_away(lens, self.at, lean)
        up, feet = upright(away, 0.0)
        depth = lens.focal_px * self.radius_m / self.mean_m
        return View(lens, away, up, feet, depth * dot(away, lens.ray(self.at)), self.flank_m)

    def plate_given(self, lean: Lean) -> tuple[float, float]:
        """What the marks of the sleeve's end say, for a lean, of the error of the plate's place along the
        bar: mean and SD in units of its own SD. A lean too small for the marks means a plate further in."""
        end, lens = self.end, self.lens
        if not end.marks or end.plate_sd_m == 0:
            return 0.0, 1.0
        view = self.plain_view(lens, lean)
        weight, pull = end.sd_m**-2, 0.0
        for mark, (x, y, sd) in end.marks:
            py, pz = view.disc_middle((x, y), self.radius_m)
            here, there = (lens.pixel(view.place(py, pz, end.beyond_m + d)) for d in (0.0, 0.01))
            steps = (100 * (there[0] - here[0]), 100 * (there[1] - here[1]))
            spread = mark.sd**2 + sd * sd
            weight += (steps[0] ** 2 + steps[1] ** 2) / spread
            pull += (steps[0] * (mark.x - here[0]) + steps[1] * (mark.y - here[1])) / spread
        part = (end.plate_sd_m / end.sd_m) ** 2  # of the error between the two places that is the plate's
        sd_left = math.sqrt(max(1 - part + part / (weight * end.sd_m**2), 1e-9))
        return part * pull / weight / end.plate_sd_m, sd_left

    def _weigh(self) -> list[Cell]:
        """Cells over the lean with their weights, finer where the weight is.

        A cell is weighed at its middle with the errors widened by what changes across it, so that a narrow
        peak inside a large cell is not missed.
        """
        half = LARGEST_LEAN / FIRST_CELLS
        steps = range(-FIRST_CELLS + 1, FIRST_CELLS, 2)
        cells = [Cell(half * i, half * j, half) for i in steps for j in steps]
        logs = [self._log_weight(c) for c in cells]
        for _ in range(LEVELS):
            weights = _plain(cells, logs)
            limit = SPLIT_ABOVE * sum(weights)
            finer: list[Cell] = []
            found: list[float] = []
            for c, log, weight in zip(cells, logs, weights, strict=True):
                if weight < limit:
                    finer.append(c)
                    found.append(log)
                    continue
                h = c.half / 2
                quarters = [Cell(c.right + i * h, c.down + j * h, h) for i in (-1, 1) for j in (-1, 1)]
                finer += quarters
                found += [self._log_weight(q) for q in quarters]
            cells, logs = finer, found
        weights = _plain(cells, logs)
        whole = sum(weights)
        tops = [log + 2 * math.log(c.half) for c, log in zip(cells, logs, strict=True)]
        self.evidence = max(tops) + math.log(whole)
        return [
            Cell(c.right, c.down, c.half, w / whole)
            for c, w in zip(cells, weights, strict=True)
            if w > 1e-6 * whole
        ]

    def _log_weight(self, cell: Cell) -> float:
        lean = (cell.right, cell.down)
        size = math.hypot(*lean)
        view = self.plain_view(self.lens, lean)
        log = self._log_prior(cell) + self._log_outlines(view, size, cell.half)
        end = self.end
        per_slope = abs(end.beyond_m) * self.mean_m / self.radius_m
        for mark, (x, y, sd) in end.marks:
            py, pz = view.disc_middle((x, y), self.radius_m)
            px, py = self.lens.pixel(view.place(py, pz, end.beyond_m))
            spread = mark.sd**2 + sd * sd + (per_slope * cell.half) ** 2 / 3
            spread += (per_slope * size * end.sd_m / end.beyond_m) ** 2
            log -= ((mark.x - px) ** 2 + (mark.y - py) ** 2) / (2 * spread) + math.log(spread)
        return log

    def _log_prior(self, cell: Cell) -> float:
        side = PRIOR_LEVEL if self.stands == "level" else PRIOR_SIDE
        log = -((cell.right / side) ** 2 + (cell.down / PRIOR_TILT) ** 2) / 2
        if self.stands in ("feet", "head"):
            sign = 1.0 if self.stands == "feet" else -1.0
            log -= math.log1p(math.exp(min(-sign * 4 * cell.right / UNDECIDED, 500.0)))
        return log

    def _log_outlines(self, view: View, size: float, half: float) -> float:
        """Of all outlines: their common shape, and their sizes against one another."""
        whole = across = skew = total = mean = square = 0.0
        for g in self.groups:
            y, z = view.disc_middle((g.x, g.y), self.radius_m)
            xx, xy, yy = half_axes(view, y, z, self.radius_m)
            m = (xx + yy) / 2
            weight = g.shape_sd**-2
            whole += weight
            across += weight * (g.across - (xx - yy) / 2 / m)
            skew += weight * (g.skew - xy / m)
            weight, grown = 1 / (g.m_sd**2 + DRIFT**2), math.log(g.m / m)
            total += weight
            mean += weight * grown
            square += weight * grown * grown
        middle = self.lens.middle
        off_middle = math.dist(self.at, middle) / self.lens.corner_px
        spread = 1 / whole + (OUTLINE_SD_PX / self.mean_m) ** 2 + (self.bend_sd * off_middle**2) ** 2
        spread += (0.2 * self.flank_m * self.flank_sd * size / self.radius_m) ** 2  # 2 / 3 pi: seen whole
        spread += ((size + half) * half) ** 2 / 12  # across the cell
        log = -(across**2 + skew**2) / (whole * whole * 2 * spread) - math.log(spread)
        return log - (square - mean * mean / total) / 2


def _plain(cells: Sequence[Cell], logs: Sequence[float]) -> list[float]:
    """Weights from log densities, the largest near 1."""
    sized = [log + 2 * math.log(c.half) for c, log in zip(cells, logs, strict=True)]
    top = max(sized)
    return [math.exp(max(log - top, -700.0)) for log in sized]


def half_axes(view: View, y_m: float, z_m: float, radius_m: float) -> tuple[float, float, float]:
    """Half-axes matrix of a disc's outline with what of its flank passes for rim, px."""
    _, outline = view.disc_outline(y_m, z_m, radius_m)
    (xx, xy, yy), (_, (dxx, dxy, dyy)) = root_2x2(*outline), view.flank(y_m, z_m, radius_m)
    return xx + dxx, xy + dxy, yy + dyy


def common(groups: Sequence[Group]) -> tuple[tuple[float, float], float, float]:
    """Of all outlines: middle (px), mean half axis (px), and the error of that one's logarithm (1 SD)."""
    weights = [1 / (g.m_sd**2 + DRIFT**2) for g in groups]
    whole = sum(weights)

    def mean(values: Sequence[float]) -> float:
        return sum(w * v for w, v in zip(weights, values, strict=True)) / whole

    size = math.exp(mean([math.log(g.m) for g in groups]))
    at = mean([g.x for g in groups]), mean([g.y for g in groups])
    return at, size, math.sqrt(1 / whole + (OUTLINE_SD_PX / size) ** 2)


def bar_away(lens: Lens, at: tuple[float, float], lean: Lean) -> Vector:
    """The bar's direction away from the camera, for a lean from the line of sight to ``at``."""
    sight = unit(lens.ray(at))
    right = unit(cross((0.0, 1.0, 0.0), sight))
    down = cross(sight, right)
    a, b = lean
    return unit(
        (
            sight[0] + a * right[0] + b * down[0],
            sight[1] + a * right[1] + b * down[1],
            sight[2] + a * right[2] + b * down[2],
        )
    )
