"""Simulated lifters whose truth is known, many at once in numpy, judged after every set.

The model is written down anew, in vectors over lifters, and ``tests/reference/test_trials_reference`` holds
it to the core on logs. Two setups A and B; ``difference`` is what B gives more (ln)."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy import stats

from shortlever.trials import fair_order
from shortlever.trials.decide import CLOSE_AT, LEAST_SETS, TIMES, times_at_end
from shortlever.trials.model import PRIOR, SCATTERS
from shortlever.trials.repmax import relative_error, shared_guess

MARGIN = math.log1p(0.02)
REPS, RESERVE = 5, 2
DAYS_BETWEEN = 4
OPEN, A, B, CLOSE = 0, 1, 2, 3


def fair(session: int) -> str:
    return "".join(fair_order("AB", session))


@dataclass(frozen=True)
class Gym:
    """What is true: noise and fatigue of a set, SD of a day (ln), the order of a session, the reserve kept
    with A and with B, how many reps short B's is told, and by what ratio (ln) the model leans to B."""

    difference: float = 0.0
    noise: float = 0.03
    fatigue: float = -0.01
    day_sd: float = 0.02
    order: Callable[[int], str] = fair
    reserve: tuple[int, int] = (RESERVE, RESERVE)
    told_short: float = 0.0
    lean: float = 0.0


@dataclass
class Walk:
    """What was done, a row a set, and what the model makes of it after every set, a column a lifter."""

    setups: list[int] = field(default_factory=list)
    orders: list[int] = field(default_factory=list)
    days: list[int] = field(default_factory=list)
    sessions: list[int] = field(default_factory=list)
    values: np.ndarray = field(default_factory=lambda: np.zeros(0))
    mean: np.ndarray = field(default_factory=lambda: np.zeros(0))
    sd: np.ndarray = field(default_factory=lambda: np.zeros(0))
    close: np.ndarray = field(default_factory=lambda: np.zeros(0))
    times: np.ndarray = field(default_factory=lambda: np.zeros(0))

    def verdicts(self, ends: Sequence[int] = (24,)) -> tuple[np.ndarray, np.ndarray]:
        """The first verdict of each lifter who looks after every set, and the set it came with (0: none).
        ``ends``: the sets, of both together, that were agreed to at first, then by those who went on."""
        counts = np.array([[self.setups[: k + 1].count(c) for c in (0, 1)] for k in range(len(self.setups))])
        may = (counts.min(axis=1) >= LEAST_SETS)[:, None]
        close = may & (self.close >= CLOSE_AT)
        asked = [times_at_end(k // 2) if k in ends else TIMES for k in range(1, len(may) + 1)]
        named = may & ~close & (self.times >= np.array(asked)[:, None]) & (np.abs(self.mean) >= MARGIN)
        state = np.where(close, CLOSE, np.where(named, np.where(self.mean > 0, B, A), OPEN))
        when = (state != OPEN).argmax(axis=0)
        found = state[when, np.arange(state.shape[1])]
        return found, np.where(found == OPEN, 0, when + 1)


def walked(rng: np.random.Generator, gym: Gym, lifters: int, sets: int) -> Walk:
    """Lifters who do ``sets`` sets in sessions of four, each judged after every one."""
    walk = Walk()
    values = np.empty((sets, lifters))
    days = rng.normal(0, gym.day_sd, (math.ceil(sets / 4), lifters))
    errors = rng.normal(0, gym.noise, (sets, lifters))
    slope = shared_guess(REPS, 1) / math.sqrt(0.5) / math.sqrt(math.pi / 2)  # ln for one rep
    for k in range(sets):
        session, order = divmod(k, 4)
        setup = "AB".index(gym.order(session)[order])
        walk.setups.append(setup)
        walk.orders.append(order)
        walk.sessions.append(session)
        walk.days.append(DAYS_BETWEEN * session)
        truth = math.log(100) + setup * (gym.difference - slope * gym.told_short) + gym.fatigue * order
        values[k] = truth + days[session] + errors[k]
    walk.values = values
    return judged(walk, gym)


def judged(walk: Walk, gym: Gym) -> Walk:
    """The walk with what the model makes of it after every set."""
    sets, lifters = walk.values.shape
    n = 6 + max(walk.sessions) + 1
    mean0 = np.zeros(n)
    mean0[:4] = PRIOR.base_mean, -gym.lean / 2, gym.lean / 2, PRIOR.fatigue_mean
    spread = [PRIOR.base_sd, PRIOR.own_sd, PRIOR.own_sd, PRIOR.fatigue_sd, PRIOR.trend_sd_per_week, 1.0]
    cov0 = np.diag(np.square([*spread, *[PRIOR.day_sd] * (n - 6)]))
    cov0[1:3, 1:3] += np.outer([-1, 1], [-1, 1]) * (gym.lean / 2) ** 2
    gap = np.zeros(n)
    gap[1], gap[2] = -1, 1
    before = stats.norm.pdf(0, gap @ mean0, math.sqrt(gap @ cov0 @ gap))
    guess = [shared_guess(REPS, r) for r in gym.reserve]
    reference = np.median([REPS + gym.reserve[c] for c in walk.setups])
    noise = [
        relative_error(REPS, r, reference_reps=float(reference), within_trial=True) ** 2 for r in gym.reserve
    ]
    parts = [
        (math.log(weight), scatter, cov0, np.repeat(mean0[:, None], lifters, 1))
        for scatter, weight in SCATTERS
    ]
    likely = np.array([[one[0]] * lifters for one in parts])
    covariances, means = [one[2] for one in parts], [one[3] for one in parts]
    out = np.empty((4, sets, lifters))
    for k, setup in enumerate(walk.setups):
        x = np.zeros(n)
        x[0] = x[1 + setup] = x[6 + walk.sessions[k]] = 1
        x[3:6] = walk.orders[k], walk.days[k] / 7, guess[setup]
        m, s = np.empty((2, len(parts), lifters))
        for i, (scatter, _) in enumerate(SCATTERS):
            towards = covariances[i] @ x
            variance = x @ towards + noise[setup] * scatter
            surprise = walk.values[k] - x @ means[i]
            likely[i] -= 0.5 * np.log(variance) + surprise**2 / variance / 2
            means[i] = means[i] + np.outer(towards / variance, surprise)
            covariances[i] = covariances[i] - np.outer(towards, towards) / variance
            m[i], s[i] = gap @ means[i], math.sqrt(gap @ covariances[i] @ gap)
        w = np.exp(likely - likely.max(axis=0))
        w /= w.sum(axis=0)
        middle = (w * m).sum(axis=0)
        out[0, k] = middle
        out[1, k] = np.sqrt((w * (s**2 + (m - middle) ** 2)).sum(axis=0))
        out[2, k] = (w * (stats.norm.cdf((MARGIN - m) / s) - stats.norm.cdf((-MARGIN - m) / s))).sum(axis=0)
        with np.errstate(divide="ignore", under="ignore"):
            out[3, k] = before / (w * stats.norm.pdf(m / s) / s).sum(axis=0)
    walk.mean, walk.sd, walk.close, walk.times = out
    return walk


def rates(gym: Gym, lifters: int, sets: Sequence[int], seed: int) -> dict[int, dict[str, float]]:
    """Of lifters who stop at the first verdict, the shares judged A, B and too close within so many sets;
    each of ``sets`` was an agreed end."""
    verdict, when = walked(np.random.default_rng(seed), gym, lifters, max(sets)).verdicts(sets)
    return {
        most: {
            name: float(np.mean((verdict == code) & (when <= most)))
            for name, code in (("A", A), ("B", B), ("close", CLOSE))
        }
        for most in sets
    }
