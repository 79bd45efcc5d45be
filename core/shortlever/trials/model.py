"""What the sets say: a Bayesian linear model of the logarithm of the estimated one-rep max.

For a set of setup c, number ``order`` (from 0) of its session, ``day`` days after the first session:

    ln e1RM = base + setup[c] + fatigue x order + trend x day / 7 + bias x guess + day effect[session] + error

``guess`` is by how much the lifter's own bias in telling the reserve shows in this set (``shared_guess``):
where setups are done with the like reserve it cancels, where one goes to failure and the other does not it
leaves their difference in doubt.

All unknowns have normal priors (``Prior``). Given the variance of the errors the posterior is normal and
exact: the joint normal distribution is conditioned on one set after another (``Belief.learn``). How much sets
scatter differs between lifters, so it is worked out for each of SCATTERS (multiples of the published
variance) and the answers are weighed by how likely they make the sets: a mixture of a few normal
distributions, exact too. Where sets scatter more than 99 % of logs would even at the largest of them, all are
raised to what was seen.

Which sets count: sets with pain are left out (pain ends a set for a reason other than strength), though they
keep their place in the order of the session. A set that did not touch where planned was a set of another,
unknown setup: it counts with SETUP_SPREAD squared added to its variance.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.trials.gauss import Belief, mixed
from shortlever.trials.log import Candidate, TrialLog
from shortlever.trials.repmax import (
    DAY_SHARE,
    RETEST_CV,
    estimate_1rm,
    relative_error,
    shared_guess,
    total_reps,
)

SETUP_SPREAD = 0.05  # see Prior
TYPICAL_REPS, TYPICAL_RESERVE = 5, 2.0  # of a set nobody has done yet
# Multiples of the published variance of a set, and how likely each is before the first one: SDs of 1.0, 1.6,
# 2.5, 3.7 and 5.3 % for sets of five with two left. Lifters who are steadier than published ones gain by it;
# the weights lie high, so that few sets that happen to agree do not decide (common practice, no source).
SCATTERS = ((0.0625, 0.03), (0.16, 0.07), (0.4, 0.15), (0.9, 0.35), (1.8, 0.40))


@dataclass(frozen=True)
class Prior:
    """What is believed before the first set, on the scale of logarithms (0.01 is about 1 %).

    * base: N(ln 80 kg, 0.5): 95 % between 30 and 210 kg; it holds next to any two sets. Common practice, no
      source.
    * setup: index_slope x (ln index - its mean over the candidates) + own part. The index is what the lift
      believes of the load (``Candidate``), the model's error in it. index_slope N(1, 1): taken at its word on
      average and doubted by its own size (one chance in six that it points the wrong way). Own part N(0, 0.05
      / sqrt 2), so that two setups of equal index differ by 5 % (one SD): published differences between
      setups of one lifter run from nothing to about 4 % (arched against flat, +4.2 kg with 95 % 0.0 to 8.4:
      Bartolomei 2024, JSCR 38:1200; none: García-Ramos 2021, Sports Biomech 20:261; abstracts read).
    * fatigue for each further set of a session: N(-1.5 %, 2 %), half a rep and up to two reps more. A narrow
      one took what order did for what setups do. Common practice, no source.
    * trend per week: N(0, 0.7 %), about 3 % in a month either way. Common practice, no source.
    * bias: N(0, 1), in SD of the lifter's own bias in telling the reserve (see ``repmax``).
    * day: N(0, 3.0 %), the day's share of the published retest variation (see ``repmax``).
    """

    base_mean: float = math.log(80.0)
    base_sd: float = 0.5
    index_slope_mean: float = 1.0
    index_slope_sd: float = 1.0
    own_sd: float = SETUP_SPREAD / math.sqrt(2)
    fatigue_mean: float = -0.015
    fatigue_sd: float = 0.020
    trend_sd_per_week: float = 0.007
    day_sd: float = RETEST_CV * math.sqrt(DAY_SHARE)


PRIOR = Prior()


@dataclass(frozen=True)
class Observation:
    """One set that counts: setup (place among the candidates), order in its session, days since the first
    session, session, guess (weight of the lifter's bias), ln of the estimated one-rep max (ln kg), and the
    published variance of its error."""

    number: int
    setup: int
    order: int
    day: int
    session: int
    guess: float
    value: float
    noise: float


@dataclass(frozen=True)
class Fit:
    """The posterior. Unknowns in the order of ``names``: base, setups, fatigue, trend, bias, one day each
    session.

    ``parts`` is the mixture over the scatter, weight and belief; ``belief`` the normal distribution of the
    same mean and covariance; ``before`` what was believed before the first set. ``surprises`` are how far
    each set fell from what those before it said, in SD at the likeliest of SCATTERS. ``noise_scale`` is the
    mean scatter, a multiple of the published variance, ``raised`` whether it is beyond the largest of
    SCATTERS; ``scatters`` those of ``parts``; ``usual_noise`` the published variance, ``usual_guess`` the
    guess of a set to come.
    """

    keys: tuple[str, ...]
    dates: tuple[str, ...]
    observations: tuple[Observation, ...]
    parts: tuple[tuple[float, Belief], ...]
    belief: Belief
    before: Belief
    surprises: tuple[float, ...]
    noise_scale: float
    raised: bool
    scatters: tuple[float, ...]
    usual_noise: float
    usual_guess: float

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the unknowns."""
        days = tuple(f"day {date}" for date in self.dates)
        return ("base", *(f"setup {key}" for key in self.keys), "fatigue", "trend", "bias", *days)

    @property
    def setups(self) -> Belief:
        """The belief about the setups alone, in the order of ``keys``."""
        return self.belief.keeping(range(1, len(self.keys) + 1))

    def counted(self, setup: int) -> int:
        """How many sets of a setup count."""
        return sum(o.setup == setup for o in self.observations)


def design(setups: int, setup: int, order: int, day: int, session: int, guess: float) -> dict[int, float]:
    """The row of one set: weight of each unknown, by its place."""
    row = {0: 1.0, 1 + setup: 1.0, first_day(setups) + session: 1.0}
    for place, weight in enumerate((float(order), day / 7, guess), start=setups + 1):
        if weight:
            row[place] = weight
    return row


def first_day(setups: int) -> int:
    """The place of the first session's day effect among the unknowns."""
    return setups + 4


def prior_belief(candidates: tuple[Candidate, ...], sessions: int, prior: Prior = PRIOR) -> Belief:
    """The belief before the first set."""
    logs = [math.log(c.index) for c in candidates]
    middle = sum(logs) / len(logs) if logs else 0.0
    lean = [x - middle for x in logs]
    n = len(candidates)
    size = first_day(n) + sessions
    covariance = [[0.0] * size for _ in range(size)]
    covariance[0][0] = prior.base_sd**2
    for i in range(n):
        for j in range(n):
            covariance[1 + i][1 + j] = prior.index_slope_sd**2 * lean[i] * lean[j]
        covariance[1 + i][1 + i] += prior.own_sd**2
    covariance[n + 1][n + 1] = prior.fatigue_sd**2
    covariance[n + 2][n + 2] = prior.trend_sd_per_week**2
    covariance[n + 3][n + 3] = 1.0
    for k in range(first_day(n), size):
        covariance[k][k] = prior.day_sd**2
    setups = [prior.index_slope_mean * x for x in lean]
    mean = (prior.base_mean, *setups, prior.fatigue_mean, 0.0, 0.0, *([0.0] * sessions))
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
            s.reps, s.reps_in_reserve, log.formula, reference_reps=reference, within_trial=True
        )
        found.append(
            Observation(
                number=s.number,
                setup=place[s.candidate],
                order=order,
                day=s.day - first,
                session=session[s.date],
                guess=shared_guess(s.reps, s.reps_in_reserve, log.formula),
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
    before = prior_belief(log.candidates, len(log.dates), prior)
    largest = SCATTERS[-1][0]
    at_largest = _learned(before, seen, largest, len(log.candidates))[1]
    raised = _scatter(at_largest)
    found = []
    for scatter, weight in SCATTERS:
        belief, surprises, likely = _learned(before, seen, scatter * raised, len(log.candidates))
        found.append((math.log(weight) + likely, scatter * raised, belief, surprises))
    most = max(likely for likely, *_ in found)
    weights = [math.exp(likely - most) for likely, *_ in found]
    parts = tuple((w / sum(weights), belief) for w, (_, _, belief, _) in zip(weights, found, strict=True))
    scale = sum(w * scatter for (w, _), (_, scatter, _, _) in zip(parts, found, strict=True))
    sets = [(o.noise, o.guess) for o in seen] or [_typical(log.formula)]
    return Fit(
        keys=tuple(c.key for c in log.candidates),
        dates=log.dates,
        observations=seen,
        parts=parts,
        belief=mixed(parts),
        before=before,
        surprises=tuple(at_largest if raised > 1 else max(found, key=lambda one: one[0])[3]),
        noise_scale=scale,
        raised=raised > 1,
        scatters=tuple(scatter for _, scatter, _, _ in found),
        usual_noise=_middle([noise for noise, _ in sets]),
        usual_guess=_middle([guess for _, guess in sets]),
    )


def _typical(formula: str) -> tuple[float, float]:
    """Variance of the error and guess of a set nobody has done yet."""
    reps, reserve = TYPICAL_REPS, TYPICAL_RESERVE
    error = relative_error(reps, reserve, formula, reference_reps=reps + reserve, within_trial=True)
    return error**2, shared_guess(reps, reserve, formula)


def _learned(
    before: Belief, seen: tuple[Observation, ...], scatter: float, setups: int
) -> tuple[Belief, list[float], float]:
    """The belief after the sets, the surprise of each, and ln of how likely they were."""
    belief, surprises, likely = before, [], 0.0
    for o in seen:
        row = design(setups, o.setup, o.order, o.day, o.session, o.guess)
        belief, surprise, sd = belief.learn(row, o.value, o.noise * scatter)
        surprises.append(surprise)
        likely -= math.log(sd) + surprise * surprise / 2
    return belief, surprises, likely


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
