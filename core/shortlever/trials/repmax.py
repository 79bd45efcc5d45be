"""One-rep max from a set: six published formulas, reps in reserve, and how far off the estimate may be.

Reps in reserve are added to the reps done: five reps with two left count as seven. Loads in kg; errors are
standard deviations of the natural logarithm of the estimate (0.05 is about 5 %).

The error has three parts, added as variances:

* the test itself: the coefficient of variation of a repeated one-rep max, median 4.2 % over 32 studies (Grgic
  2020, Sports Med Open 6:31, abstract read). It is between days, so it holds what a good or bad day does and
  what one set does; the two are given equal variances here (no source);
* the guess of the reps in reserve: about 1 rep off at 0 to 5 in reserve, over 2 at 7 to 10 (Hackett 2017,
  JSCR 31:2162, abstract read), read as mean absolute errors of a normal distribution, taken through the slope
  of the formula. Half of its variance is taken to be the lifter's own bias, the same way off in every set (no
  source): sets tell nothing about that. A set to failure has none of it;
* the formula itself: six formulas disagree when sets of different length are compared, and the standard
  deviation over the six of that comparison is the error. It vanishes between sets of the same length.

Sanity check, not used in the numbers: in 70 subjects the measured press was 1.1307 x 5RM + 0.70 kg with
a standard error of 2.98 kg (Reynolds 2006, JSCR 20:584, abstract read), 2.6 % at 100 kg x 5. All six formulas
must lie within two of those errors, and the error claimed here must not be smaller.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from shortlever.errors import InputError
from shortlever.say import Said

LOAD_KG = (1.0, 600.0)
REPS = (1, 20)
RESERVE = (0.0, 10.0)
MOST_TOTAL_REPS = 20.0  # beyond it the formulas are up to a third apart (and one ends at 37)

RETEST_CV = 0.042
DAY_SHARE = 0.5  # of the retest variance (no source)
ABSOLUTE_TO_SD = math.sqrt(math.pi / 2)  # mean absolute error of a normal distribution to its SD
RESERVE_ERROR_NEAR, NEAR_RESERVE = 1.0, 5.0  # reps off, up to this many in reserve
RESERVE_ERROR_FAR, FAR_RESERVE = 2.0, 7.0  # reps off, from this many in reserve; between them a straight line
GUESS_SHARED = 0.5  # of the variance of the guess: the lifter's own bias (no source)


@dataclass(frozen=True)
class Formula:
    """A published formula: one-rep max divided by load for a set of ``reps`` to failure, and its slope.

    ``log_slope`` is the change of the logarithm of the factor for one more rep.
    """

    key: str
    label: str
    source: str
    factor: Callable[[float], float]
    log_slope: Callable[[float], float]


def _exponential(a: float, b: float, k: float) -> tuple[Callable[[float], float], Callable[[float], float]]:
    """100 / (a + b e^(-k r)) and its logarithmic slope."""

    def factor(reps: float) -> float:
        return 100 / (a + b * math.exp(-k * reps))

    def log_slope(reps: float) -> float:
        fall = b * math.exp(-k * reps)
        return k * fall / (a + fall)

    return factor, log_slope


# Sources from memory, formulas second-hand (they are quoted together in LeSuer 1997, JSCR 11:211, memory).
FORMULAS: dict[str, Formula] = {
    f.key: f
    for f in (
        Formula(
            "epley",
            "Epley",
            "Epley 1985, Poundage chart, Boyd Epley Workout",
            lambda r: 1 + r / 30,
            lambda r: 1 / (30 + r),
        ),
        Formula(
            "brzycki",
            "Brzycki",
            "Brzycki 1993, JOPERD 64(1):88",
            lambda r: 36 / (37 - r),
            lambda r: 1 / (37 - r),
        ),
        Formula(
            "lombardi",
            "Lombardi",
            "Lombardi 1989, Beginning Weight Training",
            lambda r: float(r**0.10),
            lambda r: 0.10 / r,
        ),
        Formula(
            "mayhew",
            "Mayhew",
            "Mayhew et al. 1992, J Appl Sport Sci Res 6:200",
            *_exponential(52.2, 41.9, 0.055),
        ),
        Formula(
            "oconner",
            "O'Conner",
            "O'Conner, Simmons and O'Shea 1989, Weight Training Today",
            lambda r: 1 + 0.025 * r,
            lambda r: 0.025 / (1 + 0.025 * r),
        ),
        Formula(
            "wathan",
            "Wathan",
            "Wathen 1994, in Baechle, Essentials of Strength Training and Conditioning",
            *_exponential(48.8, 53.8, 0.075),
        ),
    )
}
DEFAULT_FORMULA = "wathan"  # with Mayhew's the closest for the press (LeSuer 1997, memory)


def formula_named(key: str) -> Formula:
    """The formula of that key; raises InputError for an unknown one."""
    if not isinstance(key, str) or key not in FORMULAS:
        raise InputError(
            "formula",
            "not_a_choice",
            str(key)[:24],
            Said("formula_unknown", {"given": str(key)[:24]}),
            Said("do_choose_of", {"all": ", ".join(FORMULAS)}),
        )
    return FORMULAS[key]


def _number(field: str, given: object, low: float, high: float) -> float:
    """A number of a set inside its range; what it is called and what to do is told by its field."""
    if isinstance(given, bool) or not isinstance(given, int | float) or not low <= given <= high:
        is_number = isinstance(given, int | float) and not isinstance(given, bool)
        code = "out_of_range" if is_number else "not_a_number"
        values = {"label": Said(f"set_{field}"), "given": repr(given)[:24], "low": low, "high": high}
        raise InputError(
            field, code, repr(given)[:24], Said(f"set_{code}", values), Said(f"set_{field}_remedy")
        )
    return float(given)


def total_reps(reps: int, reps_in_reserve: float = 0.0) -> float:
    """Reps done plus reps in reserve, checked.

    Raises InputError for reps that are not a whole number from 1 to 20, for a reserve outside 0 to 10, and
    for more than 20 together.

    >>> total_reps(5, 2)
    7.0
    """
    done = _number("reps", reps, *REPS)
    if done != int(done):
        raise InputError(
            "reps",
            "not_whole",
            repr(reps)[:24],
            Said("set_not_whole", {"given": repr(reps)[:24]}),
            Said("set_not_whole_remedy"),
        )
    left = _number("reps_in_reserve", reps_in_reserve, *RESERVE)
    if done + left > MOST_TOTAL_REPS:
        raise InputError(
            "reps",
            "too_many",
            f"{reps} + {reps_in_reserve:g}",
            Said("set_too_many", {"reps": reps, "left": left, "most": MOST_TOTAL_REPS}),
            Said("set_too_many_remedy"),
        )
    return done + left


def factor(total: float, formula: str = DEFAULT_FORMULA) -> float:
    """One-rep max divided by load for ``total`` reps to failure; one rep is the load itself.

    The published curves do not all pass through 1 at one rep. From two reps on they are used as they are;
    between one and two (half a rep in reserve) a straight line joins the two (ours).
    """
    curve = formula_named(formula).factor
    if total >= 2:
        return curve(total)
    return 1 + (curve(2.0) - 1) * (total - 1)


def estimate_1rm(
    load_kg: float, reps: int, reps_in_reserve: float = 0.0, formula: str = DEFAULT_FORMULA
) -> float:
    """Estimated one-rep max, kg, from one set. ``formula`` is a key of FORMULAS.

    Raises InputError (field, value, range, remedy) for a load outside 1 to 600 kg and as ``total_reps`` does.

    >>> round(estimate_1rm(100, 5, formula="epley"), 2)
    116.67
    >>> estimate_1rm(100, 3, 2, "oconner") == estimate_1rm(100, 5, 0, "oconner")
    True
    >>> estimate_1rm(140, 1)
    140.0
    """
    load = _number("load_kg", load_kg, *LOAD_KG)
    return load * factor(total_reps(reps, reps_in_reserve), formula)


def reserve_sd(reps_in_reserve: float) -> float:
    """Standard deviation of a guess of the reps in reserve, reps.

    >>> round(reserve_sd(2), 2), round(reserve_sd(6), 2), round(reserve_sd(9), 2)
    (1.25, 1.88, 2.51)
    """
    share = (reps_in_reserve - NEAR_RESERVE) / (FAR_RESERVE - NEAR_RESERVE)
    share = min(max(share, 0.0), 1.0)
    return ABSOLUTE_TO_SD * (RESERVE_ERROR_NEAR + share * (RESERVE_ERROR_FAR - RESERVE_ERROR_NEAR))


def shared_guess(reps: int, reps_in_reserve: float = 0.0, formula: str = DEFAULT_FORMULA) -> float:
    """By how much the logarithm of the estimate is off for a lifter whose own bias in telling the reserve is
    one SD: half the variance of the guess, none of it in a set to failure.

    >>> shared_guess(5, 0), 0.02 < shared_guess(5, 2) < 0.03
    (0.0, True)
    """
    slope = formula_named(formula).log_slope(total_reps(reps, reps_in_reserve))
    return math.sqrt(GUESS_SHARED) * slope * reserve_sd(reps_in_reserve) * min(reps_in_reserve, 1.0)


def formula_spread(total: float, reference: float = 1.0) -> float:
    """How far the six formulas disagree when a set of ``total`` reps is compared with one of ``reference``.

    Standard deviation over the formulas of the logarithm of the ratio of their factors; 0 where both are
    equal.
    """
    if total == reference:
        return 0.0
    ratios = [math.log(factor(total, key) / factor(reference, key)) for key in FORMULAS]
    mean = sum(ratios) / len(ratios)
    return math.sqrt(sum((x - mean) ** 2 for x in ratios) / (len(ratios) - 1))


def relative_error(
    reps: int,
    reps_in_reserve: float = 0.0,
    formula: str = DEFAULT_FORMULA,
    *,
    reference_reps: float = 1.0,
    within_trial: bool = False,
) -> float:
    """Standard deviation of the logarithm of ``estimate_1rm`` (0.05 is about 5 %).

    ``reference_reps`` is the total of the sets it is compared with (1: a true single). ``within_trial``
    leaves out what the day does and the lifter's own bias in telling the reserve, for a model that holds
    them. The guess of the reserve weighs by the formula's slope there: with more reps Brzycki's grows, the
    others' fall. Raises InputError as ``total_reps``.

    >>> round(relative_error(5, 0, "epley"), 3)
    0.06
    >>> relative_error(5, 8) > relative_error(5, 1)
    True
    """
    total = total_reps(reps, reps_in_reserve)
    test = RETEST_CV**2 * ((1 - DAY_SHARE) if within_trial else 1.0)
    guess = formula_named(formula).log_slope(total) * reserve_sd(reps_in_reserve)
    own = guess**2 * ((1 - GUESS_SHARED) if within_trial else 1.0)
    return math.sqrt(test + own + formula_spread(total, reference_reps) ** 2)
