"""An ellipse through points on a rim, without the bias that plain algebraic fits have.

Hyper least squares (Kanatani and Rangarajan 2011, Comput Stat Data Anal 55:2197): among all conics the one
that solves M θ = λ N θ with the least |λ|, where M is the moment matrix of the points and N weighs the
coefficients so that the fit has no bias up to the second order of the noise. Fits that weigh otherwise come
out too small, the more so the shorter the visible arc. Lengths in px, y down, angles from +x toward +y in
rad.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shortlever.errors import InputError
from shortlever.linear import cholesky
from shortlever.say import Said

Matrix = list[list[float]]
EXACT = 1e-11  # share of the moments' trace under which what is left over is rounding
LEAST_POINTS = 5
MARK_SD_PX = 1.0  # of a rim point marked by hand under a loupe, where nothing is said
MARK_WEIGHT = 4.0  # how many residuals that assumption counts for against those of the fit itself
LARGEST_AXES_SD = 0.03  # of the mean radius: beyond that the points do not fix the ellipse


@dataclass(frozen=True)
class Ellipse:
    """Middle, semi-axes a >= b (px) and the tilt of the a axis (rad); errors as 1 SD (px).

    ``sd`` is the error of each coordinate of the middle, ``axes_sd`` that of a and of b.
    """

    x: float
    y: float
    a: float
    b: float
    tilt: float
    sd: float = 0.5
    axes_sd: float = 0.5

    def half_axes(self) -> tuple[float, float, float]:
        """The symmetric matrix (xx, xy, yy) that turns the unit circle into the ellipse, px."""
        c, s = math.cos(self.tilt), math.sin(self.tilt)
        return (
            self.a * c * c + self.b * s * s,
            (self.a - self.b) * c * s,
            self.a * s * s + self.b * c * c,
        )

    @staticmethod
    def from_half_axes(
        x: float, y: float, half: tuple[float, float, float], sd: float = 0.5, axes_sd: float = 0.5
    ) -> Ellipse:
        """The ellipse of a half-axes matrix (xx, xy, yy).

        >>> Ellipse.from_half_axes(0, 0, Ellipse(0, 0, 9, 7, 0.3).half_axes()).tilt
        0.3
        """
        xx, xy, yy = half
        mean, apart = (xx + yy) / 2, math.hypot((xx - yy) / 2, xy)
        tilt = 0.5 * math.atan2(2 * xy, xx - yy) if apart > 0 else 0.0
        return Ellipse(x, y, mean + apart, mean - apart, round(tilt, 12), sd, axes_sd)


def fit_ellipse(points: Sequence[tuple[float, float]], mark_sd_px: float | None = None) -> Ellipse:
    """The ellipse through 5 or more rim points (px), with its errors.

    ``mark_sd_px`` is what is believed of one point's error; the scatter around the fit corrects it. Raises
    InputError (field "rims") for too few points, points on a line, or an arc too short to say anything.

    >>> found = fit_ellipse([(300, 0), (0, 200), (-300, 0), (0, -200), (180, 160)])
    >>> round(found.a, 6), round(found.b, 6)
    (300.0, 200.0)
    """
    count = len(points)
    if count < LEAST_POINTS:
        raise _refuse("too_few_points", count, "rim_few_points")
    mx, my = sum(p[0] for p in points) / count, sum(p[1] for p in points) / count
    size = math.sqrt(sum((p[0] - mx) ** 2 + (p[1] - my) ** 2 for p in points) / count)
    if not size > 0:
        raise _refuse("no_ellipse", count, "rim_one_place")
    small = [((x - mx) / size, (y - my) / size) for x, y in points]
    geometric = _geometric(_conic(small))
    if geometric is None:
        raise _refuse("no_ellipse", count, "rim_no_ellipse")
    x, y, half = geometric
    rows, off = _residuals(small, x, y, half)
    believed = MARK_SD_PX if mark_sd_px is None else mark_sd_px
    scatter = sum(d * d for d in off) * size * size
    weight = MARK_WEIGHT if mark_sd_px is None or mark_sd_px > 0 else 0.0
    noise = (weight * believed**2 + scatter) / max(weight + count - 5, 1.0)
    variance = _inverse_diagonal(rows)
    if variance is None:
        raise _refuse("no_ellipse", count, "rim_too_close")
    sd = math.sqrt(noise * (variance[0] + variance[1]) / 2)
    axes_sd = math.sqrt(noise * (variance[2] + variance[4]) / 2)
    found = Ellipse.from_half_axes(
        mx + size * x, my + size * y, (size * half[0], size * half[1], size * half[2]), sd, axes_sd
    )
    if axes_sd > LARGEST_AXES_SD * (found.a + found.b) / 2:
        raise _refuse("short_arc", count, "rim_short_arc")
    return found


def _refuse(code: str, count: int, why: str) -> InputError:
    said = Said(why, {"count": count, "least": LEAST_POINTS})
    return InputError("rims", code, str(count), said, Said("rim_remedy"))


def _conic(points: Sequence[tuple[float, float]]) -> list[float]:
    """Coefficients of x², 2xy, y², 2x, 2y, 1 by hyper least squares."""
    count = len(points)
    carriers = [(x * x, 2 * x * y, y * y, 2 * x, 2 * y, 1.0) for x, y in points]
    moment = [[sum(c[i] * c[j] for c in carriers) / count for j in range(6)] for i in range(6)]
    values, vectors = eigen(moment)
    least = min(range(6), key=values.__getitem__)
    if values[least] < EXACT * sum(values):  # all points on one conic, to rounding
        return [vectors[i][least] for i in range(6)]
    order = sorted(range(6), key=lambda i: -values[i])[:5]  # the noise sits in the sixth
    inverse = [
        [sum(vectors[i][k] * vectors[j][k] / max(values[k], 1e-300) for k in order) for j in range(6)]
        for i in range(6)
    ]
    weight = [[0.0] * 6 for _ in range(6)]
    for (x, y), c in zip(points, carriers, strict=True):
        spread = _spread(x, y)
        pulled = [sum(inverse[i][j] * c[j] for j in range(6)) for i in range(6)]
        length = sum(a * b for a, b in zip(c, pulled, strict=True))
        sideways = [sum(spread[i][j] * pulled[j] for j in range(6)) for i in range(6)]
        for i in range(6):
            for j in range(6):
                bend = c[i] * (j in (0, 2)) + c[j] * (i in (0, 2))
                again = length * spread[i][j] + sideways[i] * c[j] + sideways[j] * c[i]
                weight[i][j] += spread[i][j] + bend - again / count
    # M θ = λ N θ with M = L Lᵀ: (L⁻¹ N L⁻ᵀ) φ = φ / λ, θ = L⁻ᵀ φ
    lower = cholesky(moment)
    half = [_forward(lower, [weight[i][j] for i in range(6)]) for j in range(6)]  # columns of L⁻¹ N
    whole = [_forward(lower, [half[j][i] for j in range(6)]) for i in range(6)]
    values, vectors = eigen([[(whole[i][j] + whole[j][i]) / 2 for j in range(6)] for i in range(6)])
    best = max(range(6), key=lambda i: abs(values[i]))
    return _backward(lower, [vectors[i][best] for i in range(6)])


def _spread(x: float, y: float) -> Matrix:
    """Covariance of (x², 2xy, y², 2x, 2y, 1) for unit noise in x and y, first order."""
    return [
        [4 * x * x, 4 * x * y, 0.0, 4 * x, 0.0, 0.0],
        [4 * x * y, 4 * (x * x + y * y), 4 * x * y, 4 * y, 4 * x, 0.0],
        [0.0, 4 * x * y, 4 * y * y, 0.0, 4 * y, 0.0],
        [4 * x, 4 * y, 0.0, 4.0, 0.0, 0.0],
        [0.0, 4 * x, 4 * y, 0.0, 4.0, 0.0],
        [0.0] * 6,
    ]


def _geometric(conic: Sequence[float]) -> tuple[float, float, tuple[float, float, float]] | None:
    """Middle and half-axes matrix of a conic, None where it is no ellipse."""
    a, b, c, d, e, f = conic
    det = a * c - b * b
    if not det > 1e-12 * (abs(a) + abs(c)) ** 2:
        return None
    x, y = (b * e - c * d) / det, (b * d - a * e) / det
    level = a * x * x + 2 * b * x * y + c * y * y - f
    if a < 0:
        a, b, c, level = -a, -b, -c, -level
    if not level > 0:
        return None
    # points with (p - m)ᵀ S⁻¹ (p - m) = 1; the half-axes matrix is the square root of S
    xx, xy, yy = c * level / det, -b * level / det, a * level / det
    return x, y, root_2x2(xx, xy, yy)


def root_2x2(xx: float, xy: float, yy: float) -> tuple[float, float, float]:
    """The symmetric square root of a positive definite symmetric 2x2 matrix.

    >>> root_2x2(4.0, 0.0, 9.0)
    (2.0, 0.0, 3.0)
    """
    det = math.sqrt(max(xx * yy - xy * xy, 0.0))
    size = math.sqrt(xx + yy + 2 * det)
    return (xx + det) / size, xy / size, (yy + det) / size


def _residuals(
    points: Sequence[tuple[float, float]], x: float, y: float, half: tuple[float, float, float]
) -> tuple[Matrix, list[float]]:
    """For each point: what middle and half axes do to its distance from the curve, and that distance."""
    xx, xy, yy = half
    det = xx * yy - xy * xy
    rows, off = [], []
    for px, py in points:
        dx, dy = px - x, py - y
        ex, ey = (yy * dx - xy * dy) / det, (xx * dy - xy * dx) / det
        far = math.hypot(ex, ey) or 1e-12
        ex, ey = ex / far, ey / far
        nx, ny = (yy * ex - xy * ey) / det, (xx * ey - xy * ex) / det
        size = math.hypot(nx, ny)
        nx, ny = nx / size, ny / size
        off.append((far - 1) / size)
        rows.append([nx, ny, nx * ex, nx * ey + ny * ex, ny * ey])
    return rows, off


def _inverse_diagonal(rows: Matrix) -> list[float] | None:
    """Diagonal of (JᵀJ)⁻¹ for the rows of J, None where it has no inverse."""
    n = len(rows[0])
    try:
        lower = cholesky([[sum(r[i] * r[j] for r in rows) for j in range(n)] for i in range(n)])
    except ValueError:
        return None
    if any(lower[i][i] < 1e-7 for i in range(n)):
        return None
    columns = [_forward(lower, [float(i == j) for i in range(n)]) for j in range(n)]
    return [sum(v * v for v in column) for column in columns]


def _forward(lower: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    found: list[float] = []
    for i, value in enumerate(right):
        found.append((value - sum(lower[i][j] * found[j] for j in range(i))) / (lower[i][i] or 1e-300))
    return found


def _backward(lower: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    n = len(right)
    found = [0.0] * n
    for i in reversed(range(n)):
        rest = right[i] - sum(lower[j][i] * found[j] for j in range(i + 1, n))
        found[i] = rest / (lower[i][i] or 1e-300)
    return found


def eigen(matrix: Sequence[Sequence[float]]) -> tuple[list[float], Matrix]:
    """Eigenvalues of a symmetric matrix, and the matrix with the eigenvectors as columns (Jacobi rotations).

    >>> values, vectors = eigen([[2.0, 1.0], [1.0, 2.0]])
    >>> [round(v, 12) for v in sorted(values)]
    [1.0, 3.0]
    """
    n = len(matrix)
    a = [list(row) for row in matrix]
    v = [[float(i == j) for j in range(n)] for i in range(n)]
    for _ in range(60):
        off = sum(a[i][j] ** 2 for i in range(n) for j in range(i))
        if off <= 1e-30 * sum(a[i][i] ** 2 for i in range(n)):
            break
        for p in range(n):
            for q in range(p + 1, n):
                if a[p][q] == 0:
                    continue
                theta = (a[q][q] - a[p][p]) / (2 * a[p][q])
                t = math.copysign(1.0, theta) / (abs(theta) + math.hypot(1.0, theta))
                c = 1 / math.hypot(1.0, t)
                s = t * c
                for k in range(n):
                    a[k][p], a[k][q] = c * a[k][p] - s * a[k][q], s * a[k][p] + c * a[k][q]
                for k in range(n):
                    a[p][k], a[q][k] = c * a[p][k] - s * a[q][k], s * a[p][k] + c * a[q][k]
                for k in range(n):
                    v[k][p], v[k][q] = c * v[k][p] - s * v[k][q], s * v[k][p] + c * v[k][q]
    return [a[i][i] for i in range(n)], v
