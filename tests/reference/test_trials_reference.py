"""The trials against numpy and SciPy, and against simulated lifters whose truth is known."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date as Date

import numpy as np
import pytest
from scipy import stats

from shortlever.trials import Candidate, SetRecord, TrialLog, fair_order
from shortlever.trials.ahead import DAYS_BETWEEN, DECIDED_AT, LEAST_SETS, sets_ahead
from shortlever.trials.gauss import CHANCE_ERROR, chances_best, worth_of_look
from shortlever.trials.judge import Z90
from shortlever.trials.model import PRIOR, Fit, fit
from shortlever.trials.repmax import factor
from tests.reference import draws

START = 741_000  # a day, as a count of days


def date(day: int) -> str:
    return Date.fromordinal(START + day).isoformat()


def candidates(indices: list[float]) -> tuple[Candidate, ...]:
    return tuple(Candidate(f"c{i}", f"Setup {i}", x) for i, x in enumerate(indices))


def prior_moments(indices: list[float], sessions: int) -> tuple[np.ndarray, np.ndarray]:
    """Mean and covariance of base, setups, fatigue, trend and days, written down anew."""
    n = len(indices)
    lean = np.log(indices) - np.log(indices).mean()
    mean = np.concatenate([[PRIOR.base_mean], lean, [PRIOR.fatigue_mean, 0.0], np.zeros(sessions)])
    cov = np.zeros((n + 3 + sessions,) * 2)
    cov[0, 0] = PRIOR.base_sd**2
    cov[1 : n + 1, 1 : n + 1] = np.outer(lean, lean) * PRIOR.index_slope_sd**2 + np.eye(n) * PRIOR.own_sd**2
    cov[n + 1, n + 1] = PRIOR.fatigue_sd**2
    cov[n + 2, n + 2] = PRIOR.trend_sd_per_week**2
    cov[n + 3 :, n + 3 :] = np.eye(sessions) * PRIOR.day_sd**2
    return mean, cov


def design_matrix(fitted: Fit) -> np.ndarray:
    n, sessions = len(fitted.keys), len(fitted.dates)
    x = np.zeros((len(fitted.observations), n + 3 + sessions))
    for line, o in zip(x, fitted.observations, strict=True):
        line[0] = line[1 + o.setup] = line[n + 3 + o.session] = 1
        line[n + 1] = o.order
        line[n + 2] = o.day / 7
    return x


def closed_form(fitted: Fit, indices: list[float]) -> tuple[np.ndarray, np.ndarray]:
    """Posterior of the linear model in one piece, in the form with inverse covariances."""
    mean, cov = prior_moments(indices, len(fitted.dates))
    x = design_matrix(fitted)
    weight = np.diag([1 / (o.noise * fitted.noise_scale) for o in fitted.observations])
    y = np.array([o.value for o in fitted.observations])
    precision = np.linalg.inv(cov) + x.T @ weight @ x
    return np.linalg.solve(precision, np.linalg.solve(cov, mean) + x.T @ weight @ y), np.linalg.inv(precision)


@dataclass
class Lifter:
    log: TrialLog
    truth: np.ndarray  # effects of the setups, ln


def simulated(
    rng: np.random.Generator, indices: list[float], sessions: int, *, counted: bool = False
) -> Lifter:
    """A lifter drawn from the prior who does fair sessions.

    Otherwise the error of every set is drawn from its stated variance. ``counted``: a truthful gym instead.
    The bar holds whole 2.5 kg, the lifter knows the strength of the set but for the test's own error, does
    whole reps, and says a whole number of reps in reserve that is off by the published error.
    """
    n = len(indices)
    mean, cov = prior_moments(indices, sessions)
    unknown = draws.normal(rng, mean, cov)
    setups = candidates(indices)
    records: list[SetRecord] = []
    for session in range(sessions):
        day = 3 * session + int(rng.integers(0, 2))
        for order, key in enumerate(fair_order([c.key for c in setups], session)):
            c = int(key[1:])
            strength = unknown[0] + unknown[1 + c] + unknown[n + 1] * order
            strength += unknown[n + 2] * day / 7 + unknown[n + 3 + session]
            number = len(records) + 1
            reps, reserve = int(rng.integers(3, 7)), int(rng.integers(0, 4))
            if counted:
                strength += rng.normal(0, 0.042 * math.sqrt(0.5))
                load = max(2.5 * round(math.exp(strength) / factor(reps + reserve) / 2.5), 2.5)
                could = max(_reps_possible(math.exp(strength) / load), 1)
                reps = max(1, min(reps, could))
                said = round(could - reps + rng.normal(0, 1.2533))
                reserve = int(min(max(said, 0), 10))
            else:
                load = math.exp(strength) / factor(reps + reserve)
            records.append(SetRecord(key, date(day), load, reps, reserve, number=number))
    log = TrialLog(setups, tuple(records), next_number=len(records) + 1)
    if not counted:
        noisy = [
            SetRecord(
                s.candidate,
                s.date,
                s.load_kg * math.exp(rng.normal(0, math.sqrt(o.noise))),
                s.reps,
                s.reps_in_reserve,
                number=s.number,
            )
            for s, o in zip(log.sets, fit(log).observations, strict=True)
        ]
        log = TrialLog(setups, tuple(noisy), next_number=log.next_number)
    return Lifter(log, unknown[1 : n + 1])


def _reps_possible(ratio: float) -> int:
    """The most whole reps whose factor does not exceed a ratio of one-rep max to load."""
    return max((r for r in range(1, 20) if factor(r) <= ratio), default=1)


PLANS = [([5.0, 5.2], 3), ([5.0, 5.1, 4.8], 2), ([5.0, 5.0, 5.6, 4.9], 2)]


@pytest.mark.parametrize(("indices", "sessions"), PLANS)
def test_posterior_is_the_closed_form(indices: list[float], sessions: int) -> None:
    rng = np.random.default_rng(7)
    for _ in range(5):
        fitted = fit(simulated(rng, indices, sessions).log)
        mean, cov = closed_form(fitted, indices)
        assert np.abs(np.array(fitted.belief.mean) - mean).max() < 1e-8
        assert np.abs(np.array(fitted.belief.covariance) - cov).max() < 1e-8


def test_closed_form_over_a_year() -> None:
    """Fifty sessions: one number after another gathers no error."""
    fitted = fit(simulated(np.random.default_rng(3), [5.0, 5.3], 50).log)
    mean, cov = closed_form(fitted, [5.0, 5.3])
    assert np.abs(np.array(fitted.belief.mean) - mean).max() < 1e-8
    assert np.abs(np.array(fitted.belief.covariance) - cov).max() < 1e-8


def test_one_set_by_hand() -> None:
    """Two setups of equal index and one set: the gain is its surprise times cov(s0 - s1, y) / var(y)."""
    log = TrialLog(candidates([1.0, 1.0]), (SetRecord("c0", date(0), 100, 5, 2, number=1),), next_number=2)
    fitted = fit(log)
    noise = fitted.observations[0].noise
    var_y = 0.25 + 0.05**2 / 2 + 0.042**2 / 2 + noise
    gain = fitted.belief.contrast({1: 1, 2: -1})
    surprise = fitted.observations[0].value - math.log(80)
    assert gain[0] == pytest.approx(0.05**2 / 2 / var_y * surprise, abs=1e-12)
    assert gain[1] == pytest.approx(math.sqrt(0.05**2 - (0.05**2 / 2) ** 2 / var_y), abs=1e-12)


@pytest.mark.parametrize("n", [2, 3, 4])
def test_chances_best_agree_with_scipy(n: int) -> None:
    rng = np.random.default_rng(n)
    for _ in range(6):
        root = rng.normal(size=(n, n)) * rng.uniform(0.2, 3, n)
        cov, mean = root @ root.T, rng.normal(size=n)
        found = chances_best(mean.tolist(), cov.tolist())
        for c in range(n):
            others = [j for j in range(n) if j != c]
            d = np.zeros((n - 1, n))
            d[:, c] = 1
            d[range(n - 1), others] = -1
            wanted = stats.multivariate_normal.cdf(
                d @ mean, np.zeros(n - 1), d @ cov @ d.T, abseps=1e-7, releps=1e-7, maxpts=400_000, rng=1
            )
            assert found[c] == pytest.approx(wanted, abs=2 * CHANCE_ERROR)


def test_worth_of_look_agrees_with_integration() -> None:
    rng = np.random.default_rng(5)
    z = np.linspace(-9, 9, 200_001)
    for n in (2, 3, 4):
        for _ in range(5):
            mean, pull = rng.normal(size=n), rng.normal(size=n)
            highest = (mean[:, None] + pull[:, None] * z).max(axis=0)
            wanted = np.trapezoid(highest * stats.norm.pdf(z), z) - mean.max()
            assert worth_of_look(mean.tolist(), pull.tolist()) == pytest.approx(wanted, abs=1e-7)


def calibration(lifters: int, seed: int) -> tuple[float, float, int]:
    """p of uniform ranks, coverage of the 90 % intervals, and number of contrasts."""
    rng = np.random.default_rng(seed)
    ranks, inside = [], []
    for k in range(lifters):
        indices, sessions = PLANS[k % len(PLANS)]
        lifter = simulated(rng, indices, sessions)
        fitted = fit(lifter.log)
        i, j = rng.choice(len(indices), 2, replace=False)
        mean, sd = fitted.belief.contrast({1 + int(i): 1, 1 + int(j): -1})
        truth = lifter.truth[i] - lifter.truth[j]
        ranks.append(int((rng.normal(mean, sd, 99) < truth).sum()))
        inside.append(abs(truth - mean) <= Z90 * sd)
    counts = np.histogram(ranks, bins=10, range=(0, 100))[0]
    return stats.chisquare(counts).pvalue, float(np.mean(inside)), len(ranks)


def test_simulation_based_calibration() -> None:
    """Truths drawn from the prior rank evenly among draws from the posterior (Talts 2018, memory)."""
    p, coverage, _ = calibration(600, seed=11)
    assert p > 0.01
    assert 0.87 <= coverage <= 0.93


@pytest.mark.slow
def test_simulation_based_calibration_of_two_thousand() -> None:
    p, coverage, _ = calibration(2000, seed=12)
    print(f"ranks p={p:.3f}, coverage {coverage:.3f}")
    assert p > 0.01
    assert 0.87 <= coverage <= 0.93


def test_coverage_for_lifters_who_count_reps() -> None:
    """Whole reps, whole 2.5 kg, guesses of the reserve that are off: the interval stays honest."""
    rng = np.random.default_rng(21)
    inside = []
    for k in range(300):
        indices, sessions = PLANS[k % len(PLANS)]
        lifter = simulated(rng, indices, sessions, counted=True)
        mean, sd = fit(lifter.log).belief.contrast({1: 1, 2: -1})
        inside.append(abs(lifter.truth[0] - lifter.truth[1] - mean) <= Z90 * sd)
    print(f"coverage {np.mean(inside):.3f}")
    assert 0.86 <= np.mean(inside) <= 0.97


def first_decision(fitted: Fit, indices: list[float], limit: int, lifters: int, seed: int) -> np.ndarray:
    """Sets until decided, by doing the coming sets: truths from the posterior, numbers, and a closed-form
    refit after every set with all sets so far. The chance to be best is integrated by SciPy's multivariate
    normal."""
    rng = np.random.default_rng(seed)
    n, old = len(indices), len(fitted.dates)
    blocks = math.ceil(limit / (2 * n))
    mean0, cov0 = prior_moments(indices, old + blocks)
    x = np.zeros((len(fitted.observations) + limit, n + 3 + old + blocks))
    x[: len(fitted.observations), : n + 3 + old] = design_matrix(fitted)
    last = max(o.day for o in fitted.observations)
    keys = [
        (b, order, key) for b in range(blocks) for order, key in enumerate(fair_order(fitted.keys, old + b))
    ]
    setups = []
    for line, (b, order, key) in zip(x[len(fitted.observations) :], keys, strict=False):
        setups.append(fitted.keys.index(key))
        line[0] = line[1 + setups[-1]] = line[n + 3 + old + b] = 1
        line[n + 1], line[n + 2] = order, (last + (b + 1) * DAYS_BETWEEN) / 7
    noise = np.array([o.noise for o in fitted.observations] + [fitted.typical_noise] * limit)
    y_old = np.array([o.value for o in fitted.observations])
    m, v = _posterior(x[: len(y_old)], y_old[:, None], noise[: len(y_old)], mean0, cov0)
    truths = draws.normal(rng, m[:, 0], v, lifters)
    y = np.empty((len(noise), lifters))
    y[: len(y_old)] = y_old[:, None]
    y[len(y_old) :] = x[len(y_old) :] @ truths.T + rng.normal(size=(limit, lifters)) * np.sqrt(
        noise[len(y_old) :, None]
    )
    counts = np.array([fitted.counted(c) for c in range(n)])
    found = np.full(lifters, limit + 1)
    for k in range(1, limit + 1):
        counts[setups[k - 1]] += 1
        if counts.min() < LEAST_SETS:
            continue
        rows = len(y_old) + k
        m, v = _posterior(x[:rows], y[:rows], noise[:rows], mean0, cov0)
        still = np.flatnonzero(found > limit)
        chances = _chances_of_leaders(m[1 : n + 1, still].T, v[1 : n + 1, 1 : n + 1])
        found[still[chances >= DECIDED_AT]] = k
    return found


def _posterior(
    x: np.ndarray, y: np.ndarray, noise: np.ndarray, mean: np.ndarray, cov: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    precision = np.linalg.inv(cov) + (x.T / noise) @ x
    v = np.linalg.inv(precision)
    return v @ (np.linalg.solve(cov, mean)[:, None] + (x.T / noise) @ y), v


def _chances_of_leaders(effects: np.ndarray, spread: np.ndarray) -> np.ndarray:
    """For each row of effects the chance of its largest to be the best; where one rival alone leaves less
    than DECIDED_AT, the chance to beat that rival."""
    n = effects.shape[1]
    chances = np.ones(len(effects))
    for c in range(n):
        rows = np.flatnonzero(effects.argmax(axis=1) == c)
        d = np.zeros((n - 1, n))
        d[:, c] = 1
        d[range(n - 1), [j for j in range(n) if j != c]] = -1
        leads, cov = effects[rows] @ d.T, d @ spread @ d.T
        chances[rows] = stats.norm.cdf(leads / np.sqrt(np.diag(cov))).min(axis=1)
        for row, lead in zip(rows, leads, strict=True):
            if n > 2 and chances[row] >= DECIDED_AT:
                chances[row] = stats.multivariate_normal.cdf(lead, np.zeros(n - 1), cov, rng=1)
    return chances


@pytest.mark.parametrize(
    ("indices", "sessions", "seed"),  # of each, the first seed whose lifter is not as good as decided
    [
        ([5.0, 5.2], 1, 1),
        pytest.param([5.0, 5.1], 3, 7, marks=pytest.mark.slow),
        ([5.0, 5.6, 4.9], 1, 9),
    ],
)
def test_sets_ahead_agree_with_doing_them(indices: list[float], sessions: int, seed: int) -> None:
    limit = 100
    fitted = fit(simulated(np.random.default_rng(seed), indices, sessions).log)
    assert max(chances_best(fitted.setups.mean, fitted.setups.covariance)) < 0.9, "nothing to look ahead for"
    done = first_decision(fitted, indices, limit, lifters=1500, seed=seed)
    said = sets_ahead(fitted, range(len(indices)), limit)
    mean, middle = np.minimum(done, limit).mean(), np.sort(done)[(len(done) - 1) // 2]
    print(f"said {said}, done: middle {middle}, mean {mean:.1f}, within {np.mean(done <= limit):.3f}")
    assert said.sets is not None and said.sets == pytest.approx(middle, rel=0.15)
    assert said.mean_sets == pytest.approx(mean, rel=0.15)
    assert said.chance_within == pytest.approx(np.mean(done <= limit), abs=0.05)


def test_decisions_are_right_as_often_as_they_claim() -> None:
    """Lifters from the prior stop at the first verdict: at least 95 % of those decided took the better
    setup."""
    rng = np.random.default_rng(31)
    right = []
    for _ in range(300):
        lifter = simulated(rng, [5.0, 5.2], 6)
        for count in range(4, len(lifter.log.sets) + 1):
            fitted = fit(TrialLog(lifter.log.candidates, lifter.log.sets[:count], next_number=count + 1))
            chances = chances_best(fitted.setups.mean, fitted.setups.covariance)
            if max(chances) >= DECIDED_AT and min(fitted.counted(0), fitted.counted(1)) >= LEAST_SETS:
                right.append(lifter.truth[chances.index(max(chances))] == lifter.truth.max())
                break
    print(f"decided {len(right)} of 300, right {np.mean(right):.3f}")
    assert len(right) > 100
    assert np.mean(right) > 0.93  # 95 % less 1.5 standard errors of about 200
