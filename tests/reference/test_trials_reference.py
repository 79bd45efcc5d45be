"""The trials against numpy and SciPy, and against simulated lifters whose truth is known."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import date as Date

import numpy as np
import pytest
from scipy import stats

from shortlever.numerics import Z90
from shortlever.trials import Candidate, SetRecord, TrialLog, fair_order, judge
from shortlever.trials.ahead import DAYS_BETWEEN, sets_ahead
from shortlever.trials.decide import CLOSE_AT, LEAST_SETS, TIMES, TIMES_AT_END, times_at_end
from shortlever.trials.gauss import CHANCE_ERROR, chances_best, worth_of_look
from shortlever.trials.model import PRIOR, SCATTERS, Fit, fit, observations
from shortlever.trials.repmax import factor, shared_guess
from tests.reference import draws
from tests.reference.trial_walks import REPS, Gym, Walk, rates, walked

START = 741_000  # a day, as a count of days


def date(day: int) -> str:
    return Date.fromordinal(START + day).isoformat()


def candidates(indices: list[float]) -> tuple[Candidate, ...]:
    return tuple(Candidate(f"c{i}", f"Setup {i}", x) for i, x in enumerate(indices))


def prior_moments(indices: list[float], sessions: int) -> tuple[np.ndarray, np.ndarray]:
    """Mean and covariance of base, setups, fatigue, trend, bias and days, written down anew."""
    n = len(indices)
    lean = np.log(indices) - np.log(indices).mean()
    mean = np.concatenate([[PRIOR.base_mean], lean, [PRIOR.fatigue_mean, 0.0, 0.0], np.zeros(sessions)])
    cov = np.zeros((n + 4 + sessions,) * 2)
    cov[0, 0] = PRIOR.base_sd**2
    cov[1 : n + 1, 1 : n + 1] = np.outer(lean, lean) * PRIOR.index_slope_sd**2 + np.eye(n) * PRIOR.own_sd**2
    cov[n + 1, n + 1] = PRIOR.fatigue_sd**2
    cov[n + 2, n + 2] = PRIOR.trend_sd_per_week**2
    cov[n + 3, n + 3] = 1.0
    cov[n + 4 :, n + 4 :] = np.eye(sessions) * PRIOR.day_sd**2
    return mean, cov


def design_matrix(fitted: Fit) -> np.ndarray:
    n, sessions = len(fitted.keys), len(fitted.dates)
    x = np.zeros((len(fitted.observations), n + 4 + sessions))
    for line, o in zip(x, fitted.observations, strict=True):
        line[0] = line[1 + o.setup] = line[n + 4 + o.session] = 1
        line[n + 1] = o.order
        line[n + 2] = o.day / 7
        line[n + 3] = o.guess
    return x


def closed_form(fitted: Fit, indices: list[float]) -> list[tuple[float, np.ndarray, np.ndarray]]:
    """Weight, mean and covariance for each scatter, in one piece, in the form with inverse covariances; the
    weights by the density of all sets at once."""
    mean, cov = prior_moments(indices, len(fitted.dates))
    x = design_matrix(fitted)
    y = np.array([o.value for o in fitted.observations])
    noise = np.array([o.noise for o in fitted.observations])
    found = []
    for scatter, weight in SCATTERS:
        m, v = _posterior(x, y[:, None], noise * scatter, mean, cov)
        whole = x @ cov @ x.T + np.diag(noise * scatter)
        found.append((math.log(weight) + stats.multivariate_normal.logpdf(y, x @ mean, whole), m[:, 0], v))
    most = max(likely for likely, *_ in found)
    total = sum(math.exp(likely - most) for likely, *_ in found)
    return [(math.exp(likely - most) / total, m, v) for likely, m, v in found]


@dataclass
class Lifter:
    log: TrialLog
    truth: np.ndarray  # effects of the setups, ln


def simulated(
    rng: np.random.Generator, indices: list[float], sessions: int, *, counted: bool = False
) -> Lifter:
    """A lifter drawn from the prior, scatter among it, who does fair sessions.

    Otherwise the error of every set is drawn from its variance. ``counted``: a truthful gym instead. The bar
    holds whole 2.5 kg, the lifter knows the strength of the set but for the test's own error, does whole
    reps, and says a whole number of reps in reserve that is off by the published error, half of its variance
    alike in every set."""
    n = len(indices)
    mean, cov = prior_moments(indices, sessions)
    unknown = draws.normal(rng, mean, cov)
    scatter = rng.choice([s for s, _ in SCATTERS], p=[w for _, w in SCATTERS])
    setups = candidates(indices)
    records: list[SetRecord] = []
    for session in range(sessions):
        day = 3 * session + int(rng.integers(0, 2))
        for order, key in enumerate(fair_order([c.key for c in setups], session)):
            c = int(key[1:])
            strength = unknown[0] + unknown[1 + c] + unknown[n + 1] * order
            strength += unknown[n + 2] * day / 7 + unknown[n + 4 + session]
            number = len(records) + 1
            reps, reserve = int(rng.integers(3, 7)), int(rng.integers(0, 4))
            if counted:
                strength += rng.normal(0, 0.042 * math.sqrt(0.5))
                load = max(2.5 * round(math.exp(strength) / factor(reps + reserve) / 2.5), 2.5)
                could = max(_reps_possible(math.exp(strength) / load), 1)
                reps = max(1, min(reps, could))
                half = 1.2533 * math.sqrt(0.5)
                bias = half * unknown[n + 3] * min(could - reps, 1)
                said = round(could - reps + bias + rng.normal(0, half))
                reserve = int(min(max(said, 0), 10))
            else:
                told = strength + unknown[n + 3] * shared_guess(reps, reserve)
                load = math.exp(told) / factor(reps + reserve)
            records.append(SetRecord(key, date(day), load, reps, reserve, number=number))
    log = TrialLog(setups, tuple(records), next_number=len(records) + 1)
    if not counted:
        noisy = [
            replace(s, load_kg=s.load_kg * math.exp(rng.normal(0, math.sqrt(o.noise * scatter))))
            for s, o in zip(log.sets, observations(log), strict=True)
        ]
        log = replace(log, sets=tuple(noisy))
    return Lifter(log, unknown[1 : n + 1])


def _reps_possible(ratio: float) -> int:
    """The most whole reps whose factor does not exceed a ratio of one-rep max to load."""
    return max((r for r in range(1, 20) if factor(r) <= ratio), default=1)


PLANS = [([5.0, 5.2], 3), ([5.0, 5.1, 4.8], 2), ([5.0, 5.0, 5.6, 4.9], 2)]


def agrees_with_closed_form(fitted: Fit, indices: list[float]) -> None:
    assert not fitted.raised
    for (weight, belief), (w, mean, cov) in zip(fitted.parts, closed_form(fitted, indices), strict=True):
        assert weight == pytest.approx(w, abs=1e-6)
        assert np.abs(np.array(belief.mean) - mean).max() < 1e-8
        assert np.abs(np.array(belief.covariance) - cov).max() < 1e-8
    parts = [(w, np.array(b.mean), np.array(b.covariance)) for w, b in fitted.parts]
    middle = sum(w * m for w, m, _ in parts)
    whole = sum(w * (v + np.outer(m - middle, m - middle)) for w, m, v in parts)
    assert np.abs(np.array(fitted.belief.mean) - middle).max() < 1e-12
    assert np.abs(np.array(fitted.belief.covariance) - whole).max() < 1e-12


@pytest.mark.parametrize(("indices", "sessions"), PLANS)
def test_posterior_is_the_closed_form(indices: list[float], sessions: int) -> None:
    rng = np.random.default_rng(7)
    for _ in range(5):
        agrees_with_closed_form(fit(simulated(rng, indices, sessions).log), indices)


def test_closed_form_over_a_year() -> None:
    """Fifty sessions: one number after another gathers no error."""
    agrees_with_closed_form(fit(simulated(np.random.default_rng(3), [5.0, 5.3], 50).log), [5.0, 5.3])


def test_one_set_by_hand() -> None:
    """Two setups of equal index and one set: for each scatter the gain is its surprise times cov(s0 - s1, y)
    / var(y)."""
    log = TrialLog(candidates([1.0, 1.0]), (SetRecord("c0", date(0), 100, 5, 2, number=1),), next_number=2)
    fitted = fit(log)
    for (scatter, _), (_, belief) in zip(SCATTERS, fitted.parts, strict=True):
        noise = fitted.observations[0].noise * scatter + fitted.observations[0].guess ** 2
        var_y = 0.25 + 0.05**2 / 2 + 0.042**2 / 2 + noise
        gain = belief.contrast({1: 1, 2: -1})
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


def _posterior(
    x: np.ndarray, y: np.ndarray, noise: np.ndarray, mean: np.ndarray, cov: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    precision = np.linalg.inv(cov) + (x.T / noise) @ x
    v = np.linalg.inv(precision)
    return v @ (np.linalg.solve(cov, mean)[:, None] + (x.T / noise) @ y), v


def doing(fitted: Fit, indices: list[float], most: int, lifters: int, seed: int) -> np.ndarray:
    """Sets until settled, or ``most``, by doing the coming sets: scatter and truths from the posterior, a
    closed-form refit with all sets so far for each scatter after every set, and the rule written down
    anew."""
    rng = np.random.default_rng(seed)
    n, old = len(indices), len(fitted.dates)
    blocks = math.ceil(most / (2 * n))
    mean0, cov0 = prior_moments(indices, old + blocks)
    seen = len(fitted.observations)
    x = np.zeros((seen + most, n + 4 + old + blocks))
    x[:seen, : n + 4 + old] = design_matrix(fitted)
    last = max(o.day for o in fitted.observations)
    keys = [
        (b, order, key) for b in range(blocks) for order, key in enumerate(fair_order(fitted.keys, old + b))
    ]
    setups = []
    for line, (b, order, key) in zip(x[seen:], keys, strict=False):
        setups.append(fitted.keys.index(key))
        line[0] = line[1 + setups[-1]] = line[n + 4 + old + b] = 1
        line[n + 1 : n + 4] = order, (last + (b + 1) * DAYS_BETWEEN) / 7, fitted.usual_guess
    usual = float(np.median([o.noise for o in fitted.observations]))
    noise = np.array([o.noise for o in fitted.observations] + [usual] * most)
    y = np.repeat(np.array([[o.value] for o in fitted.observations] + [[0.0]] * most), lifters, 1)
    parts = closed_form(fitted, indices)
    which = rng.choice(len(parts), lifters, p=[w for w, *_ in parts])
    for i, (scatter, _) in enumerate(SCATTERS):
        columns = np.flatnonzero(which == i)
        m, v = _posterior(x[:seen], y[:seen, :1], noise[:seen] * scatter, mean0, cov0)
        truths = draws.normal(rng, m[:, 0], v, len(columns))
        errors = rng.normal(size=(most, len(columns))) * np.sqrt(noise[seen:, None] * scatter)
        y[seen:, columns] = x[seen:] @ truths.T + errors
    counts = np.array([fitted.counted(c) for c in range(n)])
    found = np.full(lifters, most)
    still = np.ones(lifters, bool)
    for k in range(1, most + 1):
        counts[setups[k - 1]] += 1
        if counts.min() < LEAST_SETS:
            continue
        asked = TIMES_AT_END if k == most else TIMES
        done = _settled(x[: seen + k], y[: seen + k], noise[: seen + k], mean0, cov0, n, asked)
        found[still & done] = k
        still &= ~done
    return np.where(still, most + 1, found)


def _settled(
    x: np.ndarray, y: np.ndarray, noise: np.ndarray, mean: np.ndarray, cov: np.ndarray, n: int, asked: float
) -> np.ndarray:
    """For each column of sets whether the leader is judged against every other setup, where the sets must be
    ``asked`` times as likely with a difference."""
    likely, means, covs = [], [], []
    for scatter, weight in SCATTERS:
        m, v = _posterior(x, y, noise * scatter, mean, cov)
        whole = np.linalg.inv(x @ cov @ x.T + np.diag(noise * scatter))
        off = y - (x @ mean)[:, None]
        chi = np.einsum("il,ij,jl->l", off, whole, off)
        likely.append(math.log(weight) + 0.5 * np.linalg.slogdet(whole)[1] - 0.5 * chi)
        means.append(m[1 : n + 1])
        covs.append(v[1 : n + 1, 1 : n + 1])
    w = np.exp(np.array(likely) - np.max(likely, axis=0))
    w /= w.sum(axis=0)
    leader = np.einsum("sl,scl->cl", w, np.array(means)).argmax(axis=0)
    judged = np.ones(y.shape[1], bool)
    margin = math.log1p(0.02)
    for c in range(n):
        for j in range(n):
            columns = np.flatnonzero(leader == c)
            if j == c or not len(columns):
                continue
            gap = np.zeros(n)
            gap[c], gap[j] = 1, -1
            m = np.array([gap @ one[:, columns] for one in means])
            s = np.array([[math.sqrt(gap @ one @ gap)] for one in covs])
            part = w[:, columns]
            close = (part * (stats.norm.cdf((margin - m) / s) - stats.norm.cdf((-margin - m) / s))).sum(
                axis=0
            )
            b = mean[1 + c] - mean[1 + j], math.sqrt(gap @ cov[1 : n + 1, 1 : n + 1] @ gap)
            times = stats.norm.pdf(b[0] / b[1]) / b[1] / (part * stats.norm.pdf(m / s) / s).sum(axis=0)
            named = (times >= asked) & ((part * m).sum(axis=0) >= margin)
            judged[columns] &= named | (close >= CLOSE_AT)
    return judged


@pytest.mark.parametrize(
    ("indices", "sessions", "seed", "most"),
    [
        ([5.0, 5.1], 1, 1, 20),
        pytest.param([5.0, 5.1], 3, 7, 80, marks=pytest.mark.slow),
        ([5.0, 5.2, 4.9], 1, 9, 30),
    ],
)
def test_sets_ahead_agree_with_doing_them(indices: list[float], sessions: int, seed: int, most: int) -> None:
    fitted = fit(simulated(np.random.default_rng(seed), indices, sessions).log)
    done = doing(fitted, indices, most, lifters=1000, seed=seed)
    said = sets_ahead(fitted, range(len(indices)), math.log1p(0.02), most, TIMES_AT_END)
    mean, met = np.minimum(done, most).mean(), np.mean(done <= most)
    print(f"said {said}, done: mean {mean:.1f} of {most}, settled {met:.3f}")
    assert said.sets == pytest.approx(mean, rel=0.15)
    assert said.chance_settled == pytest.approx(met, abs=0.1)
    assert 0.02 < met < 0.98, "nothing to look ahead for"


# ---- how often verdicts are right


def test_walks_are_the_core() -> None:
    """The simulation of many lifters at once says of one what the core says of this one's log."""
    for gym in (Gym(0.03, 0.03), Gym(0.0, 0.05, order=lambda _: "AABB"), Gym(reserve=(0, 2), told_short=1)):
        walk = walked(np.random.default_rng(4), gym, 3, 24)
        for lifter in range(3):
            log = log_of(walk, gym, lifter)
            for count in (4, 8, 16, 24):
                part = replace(log, sets=log.sets[:count], next_number=count + 1)
                gap = {2: 1.0, 1: -1.0}
                fitted = fit(part)
                assert fitted.belief.contrast(gap) == pytest.approx(
                    (walk.mean[count - 1, lifter], walk.sd[count - 1, lifter]), rel=1e-6, abs=1e-7
                )
                state = judge(part).standings[1].against
                close, times = walk.close[count - 1, lifter], walk.times[count - 1, lifter]
                asked = times_at_end(12) if count == 24 else TIMES
                named = times >= asked and abs(walk.mean[count - 1, lifter]) >= math.log1p(0.02)
                assert (state == "too close") == (close >= CLOSE_AT)
                assert (state in ("better", "worse")) == (named and close < CLOSE_AT)


def log_of(walk: Walk, gym: Gym, lifter: int) -> TrialLog:
    """The log of one lifter of a walk."""
    sets = []
    rows = zip(walk.setups, walk.days, walk.values[:, lifter], strict=True)
    for number, (setup, day, value) in enumerate(rows, start=1):
        reserve = gym.reserve[setup]
        load = math.exp(value) / factor(REPS + reserve)
        sets.append(SetRecord(f"c{setup}", date(day), load, REPS, reserve, number=number))
    return TrialLog(candidates([1.0, 1.0]), tuple(sets), next_number=len(sets) + 1)


# The rule before this one (95 % chance to be better, scatter taken as published but for plain slips),
# measured on such lifters, 1,500 a cell: right winner at a true difference of 4 %, by noise, within 24, 120
# and 240 sets; and a winner named where there is none, within 120.
BEFORE = {
    0.01: (0.94, 1.0, 1.0, 0.0),
    0.02: (0.81, 1.0, 1.0, 0.0),
    0.03: (0.74, 1.0, 1.0, 0.06),
    0.04: (0.72, 1.0, 1.0, 0.24),
    0.05: (0.73, 0.993, 0.995, 0.50),
}
MOST_WRONG = 0.05


def measured(noise: float, lifters: int) -> dict[float, dict[int, dict[str, float]]]:
    """The rates by true difference, printed."""
    found = {}
    for difference in (0.0, 0.01, 0.02, 0.04, 0.08):
        gym, seed = Gym(difference, noise), round(1e5 * noise + 1e3 * difference)
        found[difference] = rates(gym, lifters, (24, 48, 120, 240), seed)
        told = " | ".join(
            f"{most}: B {r['B']:.3f} A {r['A']:.3f} close {r['close']:.3f}"
            for most, r in found[difference].items()
        )
        print(f"noise {noise:.2f} difference {difference:.2f} {told}")
    return found


def wrong(rate: dict[str, float], difference: float) -> float:
    """Share of lifters for whom the wrong setup, or any where there is no difference, was named."""
    return rate["A"] + (rate["B"] if difference == 0 else 0.0)


def test_error_rates_in_short() -> None:
    found = rates(Gym(0.0, 0.04), 600, (120,), seed=1)[120]
    assert wrong(found, 0.0) <= MOST_WRONG and found["close"] > 0.7
    found = rates(Gym(0.04, 0.03), 300, (120,), seed=2)[120]
    assert found["B"] > 0.97 and found["A"] <= 0.01


@pytest.mark.slow
@pytest.mark.parametrize("noise", BEFORE)
def test_error_rates(noise: float) -> None:
    """Looking after every set: wrong at most 5 %, "too close" where there is nothing, and a difference of 4 %
    no rarer found than before by those who go on to a verdict."""
    found = measured(noise, 2000)
    for difference, by_sets in found.items():
        assert wrong(by_sets[240], difference) <= MOST_WRONG
    assert found[0.0][240]["close"] >= 0.85
    assert found[0.04][240]["B"] >= BEFORE[noise][2] - 0.003
    assert found[0.04][240]["close"] <= 0.01


@pytest.mark.slow
@pytest.mark.parametrize("noise", BEFORE)
@pytest.mark.parametrize(
    "gym",
    [
        Gym(order=lambda _: "AABB", fatigue=-0.02),
        Gym(order=lambda _: "AABB", fatigue=-0.03),
        Gym(reserve=(0, 2), told_short=1),
        Gym(lean=-0.03),
        Gym(fatigue=-0.03, day_sd=0.04),
    ],
    ids=["A A B B", "A A B B, tired", "A to failure, B told one rep short", "model leans to A", "hard days"],
)
def test_error_rates_where_it_is_not_fair(gym: Gym, noise: float) -> None:
    found = rates(replace(gym, noise=noise), 2000, (24, 120, 240), seed=round(1e4 * noise))
    print(noise, {most: {k: round(v, 3) for k, v in rate.items()} for most, rate in found.items()})
    assert wrong(found[240], 0.0) <= MOST_WRONG


def told_ahead(lifters: int, gym: Gym) -> list[float]:
    """The mean of what is told to be needed still, after 4, 8, … sets, with none for lifters who are done."""
    walk = walked(np.random.default_rng(12), gym, lifters, 24)
    verdict, when = walk.verdicts()
    told = []
    for count in (4, 8, 12, 16, 20):
        total = 0.0
        for lifter in range(lifters):
            if verdict[lifter] and when[lifter] <= count:
                continue
            log = log_of(walk, gym, lifter)
            part = replace(log, sets=log.sets[:count], next_number=count + 1)
            total += sets_ahead(fit(part), (0, 1), math.log1p(0.02), 24 - count, TIMES_AT_END).sets
        told.append(total / lifters)
    print(gym.difference, gym.noise, [round(t, 1) for t in told])
    return told


def test_sets_still_needed_fall_as_sets_come_in() -> None:
    told = told_ahead(6, Gym(0.0, 0.03))
    assert told == sorted(told, reverse=True) and told[0] <= 20


@pytest.mark.slow
@pytest.mark.parametrize("difference", [0.0, 0.02, 0.04])
@pytest.mark.parametrize("noise", [0.01, 0.03, 0.05])
def test_sets_still_needed_fall_for_many(difference: float, noise: float) -> None:
    told = told_ahead(40, Gym(difference, noise))
    assert told == sorted(told, reverse=True) and told[0] <= 20
