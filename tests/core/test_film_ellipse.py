"""Ellipses through rim points."""

from __future__ import annotations

import math
import random

import pytest

from shortlever import InputError
from shortlever.film.ellipse import Ellipse, eigen, fit_ellipse, root_2x2


def points_on(
    ellipse: Ellipse, count: int, start: float = 0.0, sweep: float = 2 * math.pi
) -> list[tuple[float, float]]:
    c, s = math.cos(ellipse.tilt), math.sin(ellipse.tilt)
    angles = [start + sweep * i / count for i in range(count)]
    on = [(ellipse.a * math.cos(w), ellipse.b * math.sin(w)) for w in angles]
    return [(ellipse.x + c * x - s * y, ellipse.y + s * x + c * y) for x, y in on]


def noisy(points: list[tuple[float, float]], sd: float, rng: random.Random) -> list[tuple[float, float]]:
    return [(x + rng.gauss(0, sd), y + rng.gauss(0, sd)) for x, y in points]


@pytest.mark.parametrize("seed", range(20))
def test_exact_points_give_the_exact_ellipse(seed: int) -> None:
    rng = random.Random(seed)
    a = rng.uniform(20, 400)
    true = Ellipse(
        rng.uniform(-50, 2000), rng.uniform(0, 1100), a, a * rng.uniform(0.5, 0.99), rng.uniform(-1.5, 1.5)
    )
    found = fit_ellipse(points_on(true, rng.choice((5, 6, 12, 60)), rng.random()), 0.0)
    for name in ("x", "y", "a", "b", "tilt"):
        assert getattr(found, name) == pytest.approx(getattr(true, name), abs=1e-6)
    assert found.sd < 1e-6


def test_a_circle_has_equal_axes() -> None:
    found = fit_ellipse(points_on(Ellipse(300, 200, 80, 80, 0.0), 8), 0.0)
    assert found.a == pytest.approx(80, abs=1e-9)
    assert found.b == pytest.approx(80, abs=1e-9)


@pytest.mark.parametrize(
    ("count", "noise", "sweep"), [(10, 1.5, 2 * math.pi), (60, 2.0, 3.5), (60, 1.0, 3.0)]
)
@pytest.mark.sweep
def test_no_bias_on_a_part_of_the_rim_and_honest_errors(count: int, noise: float, sweep: float) -> None:
    """A plain algebraic fit comes out several px too small on half a rim; here the mean error of 200 fits is
    within 3 standard errors of zero plus a tenth of the scatter."""
    rng = random.Random(5)
    true = Ellipse(500, 300, 100, 92, 0.4)
    off, said = [], []
    for _ in range(200):
        found = fit_ellipse(noisy(points_on(true, count, 0.3, sweep), noise, rng), noise)
        half, exact = found.half_axes(), true.half_axes()
        off.append((found.x - 500, found.y - 300, (half[0] + half[2] - exact[0] - exact[2]) / 2))
        said.append(found.sd)
    for values in zip(*off, strict=True):
        mean = sum(values) / len(values)
        sd = math.sqrt(sum((v - mean) ** 2 for v in values) / len(values))
        assert abs(mean) < 3 * sd / math.sqrt(len(values)) + 0.1 * sd
    scatter = math.sqrt(sum(x * x + y * y for x, y, _ in off) / (2 * len(off)))
    assert sum(said) / len(said) == pytest.approx(scatter, rel=0.2)


def test_half_axes_there_and_back() -> None:
    ellipse = Ellipse(1, 2, 30, 20, -0.7)
    again = Ellipse.from_half_axes(1, 2, ellipse.half_axes())
    assert (again.a, again.b, again.tilt) == pytest.approx((30, 20, -0.7))
    xx, xy, yy = ellipse.half_axes()
    square = (xx * xx + xy * xy, xy * (xx + yy), xy * xy + yy * yy)
    assert root_2x2(*square) == pytest.approx((xx, xy, yy))


def test_eigenvectors_rebuild_the_matrix() -> None:
    rng = random.Random(1)
    half = [[rng.gauss(0, 1) for _ in range(6)] for _ in range(6)]
    matrix = [[half[i][j] + half[j][i] for j in range(6)] for i in range(6)]
    values, vectors = eigen(matrix)
    for i in range(6):
        for j in range(6):
            rebuilt = sum(vectors[i][k] * values[k] * vectors[j][k] for k in range(6))
            assert rebuilt == pytest.approx(matrix[i][j], abs=1e-12)


@pytest.mark.parametrize(
    ("points", "code"),
    [
        ([], "too_few_points"),
        ([(0, 0), (1, 0), (0, 1), (1, 1)], "too_few_points"),
        ([(5.0, 5.0)] * 6, "no_ellipse"),
        ([(float(i), 2.0 * i) for i in range(8)], "no_ellipse"),
        ([(float(i), 0.01 * i * i) for i in range(-4, 5)], "no_ellipse"),  # a parabola
        ([(math.cosh(i / 3), math.sinh(i / 3)) for i in range(-4, 5)], "no_ellipse"),  # one of a hyperbola
    ],
)
def test_what_is_no_ellipse_is_said(points: list[tuple[float, float]], code: str) -> None:
    with pytest.raises(InputError) as refused:
        fit_ellipse(points, 1.0)
    assert refused.value.field == "rims"
    assert refused.value.code == code
    assert "rim" in refused.value.remedy


def test_a_short_arc_is_refused_not_guessed() -> None:
    rng = random.Random(2)
    arc = noisy(points_on(Ellipse(500, 300, 100, 95, 0.2), 8, 0.0, 1.2), 1.5, rng)
    with pytest.raises(InputError) as refused:
        fit_ellipse(arc, 1.5)
    assert refused.value.code in ("short_arc", "no_ellipse")
