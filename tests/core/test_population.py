"""The population conditioned on a tape."""

from __future__ import annotations

import math

import pytest

from shortlever.person.population import INDEX, Observation, condition, estimate
from shortlever.person.population_data import COUNT, COVARIANCE, MEAN, ORDER

SEXES = ["male", "female"]


@pytest.mark.parametrize("sex", SEXES)
def test_people_counted_and_covariance_symmetric_positive(sex: str) -> None:
    """Positive definite: every pivot of the elimination is positive (Sylvester)."""
    assert COUNT == {"male": 4082, "female": 1986}  # Gordon et al. 2014, NATICK/TR-15/007
    a = [row[:] for row in COVARIANCE[sex]]
    n = len(ORDER)
    assert all(a[i][j] == a[j][i] for i in range(n) for j in range(n))
    for k in range(n):
        assert a[k][k] > 0
        for i in range(k + 1, n):
            share = a[i][k] / a[k][k]
            a[i] = [x - share * y for x, y in zip(a[i], a[k], strict=True)]


@pytest.mark.parametrize(
    ("sex", "name", "published", "tolerance"),
    [
        # Gordon et al. 2014, NATICK/TR-15/007, summary statistics (from memory): m, kg
        ("male", "stature", 1.756, 0.001),
        ("female", "stature", 1.628, 0.001),
        ("male", "shoulder_breadth", 0.416, 0.001),
        ("female", "shoulder_breadth", 0.365, 0.001),
        ("male", "body_mass", 85.5, 0.1),
        ("female", "body_mass", 67.8, 0.1),
    ],
)
def test_published_means(sex: str, name: str, published: float, tolerance: float) -> None:
    assert MEAN[sex][INDEX[name]] == pytest.approx(published, abs=tolerance)


@pytest.mark.parametrize("sex", SEXES)
def test_conditioned_on_nothing_is_the_table(sex: str) -> None:
    found = estimate([], sex)
    assert found.mean == MEAN[sex]
    assert found.covariance == COVARIANCE[sex]
    assert found.male == (1.0 if sex == "male" else 0.0)
    assert found.sd("stature") == math.sqrt(COVARIANCE[sex][0][0])


def test_nothing_and_no_sex_is_the_even_mixture() -> None:
    """Half the within-sex variances plus a quarter of the squared gap of the means."""
    found = estimate([])
    assert found.male == 0.5
    for i, name in enumerate(ORDER):
        m, f = MEAN["male"][i], MEAN["female"][i]
        assert found.mean[i] == pytest.approx((m + f) / 2)
        variance = (COVARIANCE["male"][i][i] + COVARIANCE["female"][i][i]) / 2 + (m - f) ** 2 / 4
        assert found.sd(name) == pytest.approx(math.sqrt(variance))


@pytest.mark.parametrize("sex", SEXES)
def test_conditioned_on_everything_is_what_was_seen(sex: str) -> None:
    person = [m * 1.02 for m in MEAN[sex]]
    seen = [Observation({name: 1.0}, person[i], 1e-7) for i, name in enumerate(ORDER)]
    found = estimate(seen, sex)
    assert found.mean == pytest.approx(person, rel=1e-6)
    assert all(found.sd(name) < 1e-6 for name in ORDER)


def test_one_number_seen_by_the_textbook() -> None:
    """x | y: m_x + s_xy / (s_yy + e^2) (y - m_y), variance s_xx - s_xy^2 / (s_yy + e^2); log density of y."""
    x, y, error = INDEX["upper_arm"], INDEX["stature"], 0.005
    c, m = COVARIANCE["male"], MEAN["male"]
    total = c[y][y] + error**2
    mean, covariance, likelihood = condition(m, c, [Observation({"stature": 1.0}, 1.90, error)])
    assert mean[x] == pytest.approx(m[x] + c[x][y] / total * (1.90 - m[y]), rel=1e-12)
    assert covariance[x][x] == pytest.approx(c[x][x] - c[x][y] ** 2 / total, rel=1e-12)
    density = math.exp(-((1.90 - m[y]) ** 2) / (2 * total)) / math.sqrt(2 * math.pi * total)
    assert likelihood == pytest.approx(math.log(density), rel=1e-12)


def test_a_sum_of_two_dimensions_seen() -> None:
    """y = u + f: the variance of y is s_uu + 2 s_uf + s_ff, its covariance with u is s_uu + s_uf."""
    u, f = INDEX["upper_arm"], INDEX["forearm_to_grip"]
    c, m = COVARIANCE["female"], MEAN["female"]
    total = c[u][u] + 2 * c[u][f] + c[f][f] + 0.005**2
    seen = [Observation({"upper_arm": 1.0, "forearm_to_grip": 1.0}, 0.65, 0.005)]
    found = estimate(seen, "female")
    miss = 0.65 - m[u] - m[f]
    assert found.mean[u] == pytest.approx(m[u] + (c[u][u] + c[u][f]) / total * miss, rel=1e-12)
    assert found.mean[f] == pytest.approx(m[f] + (c[f][f] + c[u][f]) / total * miss, rel=1e-12)


def test_order_of_what_is_seen_does_not_matter() -> None:
    seen = [
        Observation({"stature": 1.0}, 1.9, 0.005),
        Observation({"shoulder_breadth": 1.0}, 0.38, 0.005),
        Observation({"upper_arm": 1.0, "forearm_to_grip": 1.0}, 0.70, 0.005),
        Observation({"body_mass": 1.0}, 70.0, 1.0),
    ]
    there, back = estimate(seen), estimate(seen[::-1])
    assert there.mean == pytest.approx(back.mean, rel=1e-10)
    assert there.male == pytest.approx(back.male, rel=1e-9)
    for a, b in zip(there.covariance, back.covariance, strict=True):
        assert a == pytest.approx(b, rel=1e-6, abs=1e-12)


def test_every_number_seen_narrows_every_estimate() -> None:
    seen: list[Observation] = []
    before = estimate(seen, "male")
    for name, value in (("stature", 1.8), ("span", 1.9), ("shoulder_breadth", 0.40), ("body_mass", 90.0)):
        seen.append(Observation({name: 1.0}, value, 1.0 if name == "body_mass" else 0.005))
        after = estimate(seen, "male")
        assert all(after.sd(other) <= before.sd(other) for other in ORDER)
        assert after.sd(name) < 0.5 * before.sd(name)
        before = after


def test_weight_of_the_sexes_follows_bayes() -> None:
    """Equal odds before; after, the ratio of the two densities of the stature seen."""
    found = estimate([Observation({"stature": 1.0}, 1.70, 0.005)])
    density = {}
    for sex in SEXES:
        variance = COVARIANCE[sex][0][0] + 0.005**2
        density[sex] = math.exp(-((1.70 - MEAN[sex][0]) ** 2) / (2 * variance)) / math.sqrt(variance)
    assert found.male == pytest.approx(density["male"] / (density["male"] + density["female"]), rel=1e-9)


@pytest.mark.parametrize(("stature", "male"), [(1.30, 0.0), (2.30, 1.0)])
def test_the_weight_stays_a_share_at_the_extremes(stature: float, male: float) -> None:
    found = estimate([Observation({"stature": 1.0}, stature, 0.005)])
    assert found.male == pytest.approx(male, abs=0.02)
    assert 0 <= found.male <= 1


def test_the_mixture_lies_between_and_has_the_law_of_total_variance() -> None:
    seen = [Observation({"stature": 1.0}, 1.70, 0.005)]
    men, women, both = estimate(seen, "male"), estimate(seen, "female"), estimate(seen)
    for i, name in enumerate(ORDER):
        a, b, w = men.mean[i], women.mean[i], both.male
        assert both.mean[i] == pytest.approx(w * a + (1 - w) * b)
        within = w * men.sd(name) ** 2 + (1 - w) * women.sd(name) ** 2
        between = w * (a - both.mean[i]) ** 2 + (1 - w) * (b - both.mean[i]) ** 2
        assert both.sd(name) ** 2 == pytest.approx(within + between, rel=1e-9)
