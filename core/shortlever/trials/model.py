"""What the sets say: a Bayesian linear model of the logarithm of the estimated one-rep max.

For a set of setup c, number ``order`` (from 0) of its session, ``day`` days after the first session:

    ln e1RM = base + setup[c] + fatigue x order + trend x day / 7 + day effect[session] + error

All unknowns have normal priors (``Prior``) and the error of a set has a known variance (``repmax``), so the
posterior is normal and exact: the joint normal distribution is conditioned on one set after another
(``Belief.learn``), which is the closed form of the whole at once. The variance is taken as known because the
few sets of a trial say little about it, and because the conjugate choice (an inverse-gamma scale) would have
to tie the width of the setup prior to the scatter of the sets. Instead the scatter is watched: where the sets
scatter more than 99 % of logs like it would, the error variance of all sets is raised to what was seen; never
lowered.

Which sets count: sets with pain are left out (pain ends a set for a reason other than strength), though they
keep their place in the order of the session. A set that did not touch where planned was a set of another,
unknown setup: it counts with SETUP_SPREAD squared added to its variance.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.trials.gauss import Belief
from shortlever.trials.log import Candidate, TrialLog
from shortlever.trials.repmax import DAY_SHARE, RETEST_CV, estimate_1rm, relative_error, total_reps

SETUP_SPREAD = 0.05  # see Prior
TYPICAL_REPS, TYPICAL_RESERVE = 5, 2.0  # of a set nobody has done yet


@dataclass(frozen=True)
class Prior:
    """What is believed before the first set, on the scale of logarithms (0.01 is about 1 %).

    * base: N(ln 80 kg, 0.5): 95 % between 30 and 210 kg; it holds next to any two sets. Common practice, no
      source.
    * setup: index_slope x (ln limit-load index - its mean over the candidates) + own part. index_slope N(1,
      1): the index is taken at its word on average, but nobody has checked it against kilograms, so it is
      doubted by its own size (one chance in six that it points the wrong way). Own part N(0, 0.05 / sqrt 2),
      so that two setups of equal index differ by 5 % (one SD): published differences between setups of one
      lifter run from nothing to about 4 % (arched against flat, +4.2 kg with 95 % 0.0 to 8.4: Bartolomei
      2024, JSCR 38:1200; none: García-Ramos 2021, Sports Biomech 20:261; abstracts read).
    * fatigue for each further set of a session: N(-0.5 %, 1 %). Common practice, no source.
    * trend per week: N(0, 0.7 %), about 3 % in a month either way. Common practice, no source.
    * day: N(0, 3.0 %), the day's share of the published retest variation (see ``repmax``).
    """

    base_mean: float = math.log(80.0)
    base_sd: float = 0.5
    index_slope_mean: float = 1.0
    index_slope_sd: float = 1.0
    own_sd: float = SETUP_SPREAD / math.sqrt(2)
    fatigue_mean: float = -0.005
    fatigue_sd: float = 0.010
    trend_sd_per_week: float = 0.007
    day_sd: float = RETEST_CV * math.sqrt(DAY_SHARE)


PRIOR = Prior()


@dataclass(frozen=True)
class Observation:
    """One set that counts: setup (place among the candidates), order in its session, days since the first
    session, session, ln of the estimated one-rep max (ln kg), and the variance of its error."""

    number: int
    setup: int
    order: int
    day: int
    session: int
    value: float
    noise: float


@dataclass(frozen=True)
class Fit:
    """The posterior. Unknowns in the order of ``names``: base, setups, fatigue, trend, one day each session.

    ``surprises`` are how far each set fell from what those before it said, in SD at the published error;
    independent standard normal numbers where the model holds. ``noise_scale`` is by how much the error
    variance was raised (1: not).
    """

    keys: tuple[str, ...]
    dates: tuple[str, ...]
    observations: tuple[Observation, ...]
    belief: Belief
    surprises: tuple[float, ...]
    noise_scale: float
    typical_noise: float

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the unknowns."""
        days = tuple(f"day {date}" for date in self.dates)
        return ("base", *(f"setup {key}" for key in self.keys), "fatigue", "trend", *days)

    @property
    def setups(self) -> Belief:
        """The belief about the setups alone, in the order of ``keys``."""
        return self.belief.keeping(range(1, len(self.keys) + 1))

    def counted(self, setup: int) -> int:
        """How many sets of a setup count."""
        return sum(o.setup == setup for o in self.observations)


def design(setups: int, setup: int, order: int, day: int, session: int) -> dict[int, float]:
    """The row of one set: weight of each unknown, by its place."""
    row = {0: 1.0, 1 + setup: 1.0, setups + 3 + session: 1.0}
    if order:
        row[setups + 1] = float(order)
    if day:
        row[setups + 2] = day / 7
    return row


def prior_belief(candidates: tuple[Candidate, ...], sessions: int, prior: Prior = PRIOR) -> Belief:
    """The belief before the first set."""
    logs = [math.log(c.index) for c in candidates]
    middle = sum(logs) / len(logs) if logs else 0.0
    lean = [x - middle for x in logs]
    n = len(candidates)
    size = n + 3 + sessions
    covariance = [[0.0] * size for _ in range(size)]
    covariance[0][0] = prior.base_sd**2
    for i in range(n):
        for j in range(n):
            covariance[1 + i][1 + j] = prior.index_slope_sd**2 * lean[i] * lean[j]
        covariance[1 + i][1 + i] += prior.own_sd**2
    covariance[n + 1][n + 1] = prior.fatigue_sd**2
    covariance[n + 2][n + 2] = prior.trend_sd_per_week**2
    for k in range(n + 3, size):
        covariance[k][k] = prior.day_sd**2
    setups = [prior.index_slope_mean * x for x in lean]
    mean = (prior.base_mean, *setups, prior.fatigue_mean, 0.0, *([0.0] * sessions))
    return Belief(mean, tuple(map(tuple, covariance)))


def observations(log: TrialLog) -> tuple[Observation, ...]:
    """The sets of a log that count, as numbers; each length is compared with the middle one among them."""
    place = {c.key: i for i, c in enumerate(log.candidates)}
    session = {date: i for i, date in enumerate(log.dates)}
    counting = [s for s in log.sets if not s.pain]
    first = min((s.day for s in log.sets), default=0)
    reference = _middle([total_reps(s.reps, s.reps_in_reserve) for s in counting])
    done = dict.fromkeys(log.dates, 0)
    found = []
    for s in log.sets:
        order = done[s.date]
        done[s.date] += 1
        if s.pain:
            continue
        error = relative_error(
            s.reps, s.reps_in_reserve, log.formula, reference_reps=reference, within_day=True
        )
        found.append(
            Observation(
                number=s.number,
                setup=place[s.candidate],
                order=order,
                day=s.day - first,
                session=session[s.date],
                value=math.log(estimate_1rm(s.load_kg, s.reps, s.reps_in_reserve, log.formula)),
                noise=error**2 + (0.0 if s.as_planned else SETUP_SPREAD**2),
            )
        )
    return tuple(found)


def fit(log: TrialLog, prior: Prior = PRIOR) -> Fit:
    """The posterior of a log; of the prior alone where no set counts yet.

    >>> from shortlever.trials.log import Candidate, SetRecord
    >>> pair = (Candidate("a", "A", 1.0), Candidate("b", "B", 1.0))
    >>> log = TrialLog(pair, (SetRecord("a", "2031-05-09", 100, 1, 0, number=1),), next_number=2)
    >>> a, b = fit(log).setups.mean
    >>> a > b
    True
    """
    seen = observations(log)
    belief, surprises = _learned(log, seen, prior, 1.0)
    scale = _scatter(surprises)
    if scale > 1:
        belief, _ = _learned(log, seen, prior, scale)
    typical = relative_error(
        TYPICAL_REPS,
        TYPICAL_RESERVE,
        log.formula,
        reference_reps=TYPICAL_REPS + TYPICAL_RESERVE,
        within_day=True,
    )
    noise = _middle([o.noise for o in seen]) if seen else typical**2
    keys = tuple(c.key for c in log.candidates)
    return Fit(keys, log.dates, seen, belief, tuple(surprises), scale, noise * scale)


def _learned(
    log: TrialLog, seen: tuple[Observation, ...], prior: Prior, scale: float
) -> tuple[Belief, list[float]]:
    belief = prior_belief(log.candidates, len(log.dates), prior)
    surprises = []
    for o in seen:
        row = design(len(log.candidates), o.setup, o.order, o.day, o.session)
        belief, surprise = belief.learn(row, o.value, o.noise * scale)
        surprises.append(surprise)
    return belief, surprises


def _scatter(surprises: list[float]) -> float:
    """Mean square of the surprises where it exceeds the 99 % point of its distribution, else 1.

    Chi-square by the cube root (Wilson and Hilferty 1931, memory).
    """
    n = len(surprises)
    if n < 2:
        return 1.0
    seen = sum(s * s for s in surprises) / n
    spread = 2 / (9 * n)
    return seen if (seen ** (1 / 3) - 1 + spread) / math.sqrt(spread) > 2.326 else 1.0


def _middle(values: list[float]) -> float:
    """The median (1 of nothing)."""
    ordered = sorted(values)
    n = len(ordered)
    return (ordered[(n - 1) // 2] + ordered[n // 2]) / 2 if n else 1.0
