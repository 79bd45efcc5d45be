"""The verdict: calm where nothing is known, sure where it is plain, and what to do next. Invented lifters."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from shortlever import InputError
from shortlever.lifts.bench import worth
from shortlever.trials import (
    Candidate,
    Report,
    SetRecord,
    TrialLog,
    add_candidate,
    add_set,
    delete_set,
    fair_order,
    implied_preference,
    judge,
    with_formula,
    with_terms,
)
from shortlever.trials import preference as dial
from shortlever.trials.gauss import Belief, chances_best, cholesky, quantile, worth_of_look
from shortlever.trials.model import PRIOR, SETUP_SPREAD, fit, observations

NOW = Candidate("now", "Now", 5.0, 0.36, 0.11, present=True)
WIDE = Candidate("wide", "Wide", 5.0, 0.34, 0.14)
THIRD = Candidate("third", "Third", 5.0, 0.35, 0.12)
DAYS = [f"2031-05-{day:02d}" for day in range(1, 29, 3)]


def trial(*setups: Candidate, sessions: int = 1, load: dict[str, float] | None = None) -> TrialLog:
    """A log of fair sessions of sets of five with two in reserve, each setup at its own load (kg)."""
    log = TrialLog()
    for setup in setups:
        log = add_candidate(log, setup)
    for session, date in enumerate(DAYS[:sessions]):
        for key in fair_order([c.key for c in log.on_list], session):
            log = add_set(log, SetRecord(key, date, (load or {}).get(key, 100.0), 5, 2))
    return log


def test_nothing_known() -> None:
    for setups in ((), (NOW,)):
        report = judge(trial(*setups, sessions=0))
        assert report.verdict == "nothing to compare"
        assert report.next is None and report.ahead is None and report.preference is None


def test_before_the_first_set() -> None:
    """No kilograms and no chance before the sets that carry them; who leads, where somebody does."""
    report = judge(trial(NOW, WIDE, sessions=0))
    assert report.verdict == "cannot tell yet" and report.leans is None
    assert report.next is not None and report.next.reason.code == "trial_next_none"
    lean = judge(trial(NOW, replace(WIDE, index=5.05), sessions=0))
    assert lean.leans == "wide"
    assert judge(trial(replace(NOW, index=5.05), WIDE, sessions=0)).leans == "now"
    log = trial(NOW, WIDE, sessions=0)
    for key in ("now", "wide", "now"):
        log = add_set(log, SetRecord(key, DAYS[0], 100.0, 5, 2))
    for told in (report, lean, judge(log)):
        for s in told.standings:
            assert s.chance_best is s.gain_kg is s.gain_percent is None or s.key == "now"
    assert report.one_rep_max_kg is None and judge(log).one_rep_max_kg is not None
    carried = judge(add_set(log, SetRecord("wide", DAYS[0], 100.0, 5, 2)))
    assert carried.leans is None and None not in [s.chance_best for s in carried.standings]


def test_index_leans_the_start_but_never_decides() -> None:
    log = trial(NOW, replace(WIDE, index=500.0), sessions=0)
    setups = fit(log).setups
    chance = chances_best(setups.mean, setups.covariance)[1]
    assert 0.8 < chance < 0.85  # one chance in six that the index points the wrong way
    assert judge(log).verdict == "cannot tell yet"


def test_equal_sets_tell_nothing() -> None:
    report = judge(trial(NOW, WIDE))
    assert report.verdict == "cannot tell yet" and report.best is None
    assert report.standings[0].chance_best == pytest.approx(0.5)
    assert report.standings[1].gain_percent.low < 0 < report.standings[1].gain_percent.high
    assert report.odd_set is None and report.cautions == ()


def test_sets_that_stay_equal_are_too_close_to_matter() -> None:
    report = judge(trial(NOW, WIDE, sessions=3))
    assert report.verdict == "too close to matter" and report.finished
    assert set(report.alike) == {"now", "wide"} and report.best is None
    assert report.next is report.ahead is report.preference is None
    assert report.standings[1].against == "too close"
    strict = judge(with_terms(trial(NOW, WIDE, sessions=3), 1.0, 12))
    assert strict.verdict == "cannot tell yet", "a smaller margin takes more sets"


def scattered(sessions: int, percent: float, difference: float = 0.0) -> TrialLog:
    """Two setups whose sets scatter as much either way, one of them stronger (percent)."""
    log = trial(NOW, WIDE, sessions=sessions)
    ups = [1, -1, -1, 1, -1, 1, 1, -1, 1, 1, -1, -1]
    sets = []
    for place, record in enumerate(log.sets):
        off = percent * ups[place % len(ups)] + (difference if record.candidate == "wide" else 0.0)
        sets.append(replace(record, load_kg=record.load_kg * math.exp(off / 100)))
    return replace(log, sets=tuple(sets))


def test_less_is_asked_of_the_sets_at_their_agreed_end() -> None:
    log = scattered(6, 4.0, 5.0)
    report = judge(log)
    assert (report.verdict, report.best, report.standings[1].against) == ("decided", "wide", "better")
    assert report.why.values["times"] == 4.0
    assert judge(with_terms(log, 2.0, 18)).verdict == "cannot tell yet"


def test_a_trial_ends_when_its_sets_are_used_up_and_may_go_on() -> None:
    log = scattered(6, 4.0)
    report = judge(log)
    assert report.verdict == "sets used up" and report.finished and report.most_left == 0
    assert set(report.alike) == {"now", "wide"} and report.next is report.ahead is None
    more = judge(with_terms(log, 2.0, 18))
    assert more.verdict == "cannot tell yet" and more.most_left == 12 and more.ahead.most == 12
    assert 0 < more.ahead.sets <= 12 and 0 <= more.ahead.chance_settled <= 1


def test_a_worse_setup_is_told_to_be_worse() -> None:
    report = judge(trial(NOW, WIDE, sessions=3, load={"wide": 92.0}))
    assert (report.verdict, report.best) == ("decided", "now")
    assert [s.against for s in report.standings] == ["open", "worse"]


def test_of_three_the_two_best_may_be_alike() -> None:
    log = trial(NOW, WIDE, THIRD, sessions=4, load={"third": 80.0})
    report = judge(log)
    assert report.verdict == "too close to matter" and set(report.alike) == {"now", "wide"}


def test_an_unfair_order_is_noticed_as_soon_as_it_shows() -> None:
    def codes(order: str, *more: str) -> list[str]:
        log = trial(NOW, WIDE, sessions=0)
        for date, keys in zip(DAYS, (order, *more), strict=False):
            for key in keys:
                log = add_set(log, SetRecord({"A": "now", "B": "wide"}[key], date, 100.0, 5, 2))
        return [c.code for c in judge(log).cautions]

    for fair in ("A", "AB", "ABB", "ABBA", "ABBAB", "ABBABAAB"):
        assert codes(fair) == []
    assert codes("ABBA", "BAAB") == codes("ABBA", "B") == []
    for unfair in ("AA", "AAB", "AABB"):
        assert codes(unfair) == ["trial_order"]
    assert codes("AABB", "AABB") == ["trial_order"]
    assert codes("AABB", "BBAA") == [], "made up for"


def test_unequal_effort_is_noticed_as_soon_as_it_shows() -> None:
    def codes(**reserve: float) -> list[str]:
        log = trial(NOW, WIDE, sessions=0)
        for key, left in reserve.items():
            log = add_set(log, SetRecord(key, DAYS[0], 100.0, 5, left))
        return [c.code for c in judge(log).cautions]

    assert codes(now=2, wide=2) == codes(now=1, wide=2) == codes(now=0, wide=0) == codes(now=0) == []
    assert codes(now=0, wide=2) == codes(now=0, wide=1) == codes(now=1, wide=4) == ["trial_effort"]


def test_reserve_told_alike_cancels_and_told_otherwise_is_in_doubt() -> None:
    """A bias in telling it leaves a setup to failure and one short of it in doubt, however many sets."""

    def width(now: float, wide: float) -> float:
        log = trial(NOW, WIDE, sessions=9)
        sets = [replace(s, reps_in_reserve=now if s.candidate == "now" else wide) for s in log.sets]
        return fit(replace(log, sets=tuple(sets))).belief.contrast({2: 1.0, 1: -1.0})[1]

    assert width(2, 2) == pytest.approx(width(0, 0), rel=0.2)
    assert width(0, 2) > 0.02 > 3 * width(2, 2)


def test_terms_are_checked() -> None:
    log = trial(NOW, WIDE)
    for margin, each, field in (
        (1.5, 12, "margin_percent"),
        (True, 12, "margin_percent"),
        ("2", 12, "margin_percent"),
        (2.0, 11, "sets_each"),
        (2.0, 12.5, "sets_each"),
        (2.0, 501, "sets_each"),
    ):
        with pytest.raises(InputError) as refused:
            with_terms(log, margin, each)
        assert refused.value.field == field


def test_plain_difference_decides() -> None:
    report = judge(trial(NOW, WIDE, sessions=3, load={"wide": 110.0}))
    assert (report.verdict, report.best) == ("decided", "wide")
    assert report.next is None and report.ahead is None
    wide = report.standings[1]
    assert wide.chance_best >= 0.95 and wide.against == "better" and report.finished
    assert 0 < wide.gain_percent.low < wide.gain_percent.middle < 10 < wide.gain_percent.high
    assert wide.gain_kg.middle == pytest.approx(report.one_rep_max_kg.middle * wide.gain_percent.middle / 100)
    assert report.standings[0].gain_percent.middle == 0.0
    assert report.one_rep_max_kg.low < 125 < report.one_rep_max_kg.high
    assert (report.why.code, report.why.values) == ("trial_decided", {"name": "Wide", "times": 25.0})


@pytest.mark.sweep
def test_one_set_each_never_decides() -> None:
    log = trial(NOW, WIDE, sessions=0)
    for key, load in (("now", 60.0), ("wide", 140.0)):
        log = add_set(log, SetRecord(key, DAYS[0], load, 5, 2))
    report = judge(log)
    assert report.standings[1].chance_best is None and report.verdict == "cannot tell yet"
    assert (report.why.code, report.why.values["names"]) == ("trial_short", ("Now", "Wide"))


@pytest.mark.sweep
def test_scale_does_not_matter() -> None:
    """Half of all loads: the same chances and percents, half the kilograms (but for the wide prior of the
    base)."""
    report = judge(trial(NOW, WIDE, load={"wide": 104.0}))
    half = judge(trial(NOW, WIDE, load={"now": 50.0, "wide": 52.0}))
    a, b = report.standings[1], half.standings[1]
    assert a.chance_best == pytest.approx(b.chance_best, abs=2e-3)
    assert a.gain_percent.middle == pytest.approx(b.gain_percent.middle, abs=0.02)
    assert a.gain_kg.middle == pytest.approx(2 * b.gain_kg.middle, rel=0.02)


@pytest.mark.sweep
def test_order_of_candidates_does_not_matter() -> None:
    loads = {"wide": 103.0, "third": 99.0}
    one, other = trial(NOW, WIDE, THIRD, load=loads), None
    other = replace(one, candidates=(one.candidates[2], one.candidates[0], one.candidates[1]), steps=())
    chances = {s.key: s.chance_best for s in judge(one).standings}
    for standing in judge(other).standings:
        assert standing.chance_best == pytest.approx(chances[standing.key], abs=2e-4)


def test_missed_touch_counts_less_and_pain_not_at_all() -> None:
    log = trial(NOW, WIDE)
    missed = replace(log, sets=(replace(log.sets[0], touched=False), *log.sets[1:]))
    before, after = observations(log), observations(missed)
    assert after[0].noise == pytest.approx(before[0].noise + SETUP_SPREAD**2)
    hurt = replace(log, sets=(replace(log.sets[0], pain=True), *log.sets[1:]))
    left = observations(hurt)
    assert [o.number for o in left] == [2, 3, 4]
    assert [o.order for o in left] == [1, 2, 3], "a set with pain still tires"


def test_fatigue_day_and_trend_are_told_from_setups() -> None:
    """Sets of fair sessions that lose 3 % each, then days that gain 2 % each: the setups stay equal.

    Fatigue and trend show, drawn toward what is usual (the trend strongly, as a day may be just a good day).
    """
    log = trial(NOW, WIDE, sessions=4)
    tired = [replace(s, load_kg=100 * math.exp(-0.03 * (i % 4))) for i, s in enumerate(log.sets)]
    found = fit(replace(log, sets=tuple(tired)))
    gain, _ = found.belief.contrast({2: 1.0, 1: -1.0})
    assert abs(gain) < 1e-3
    assert found.belief.mean[found.names.index("fatigue")] < -0.015
    better_days = [replace(s, load_kg=100 * math.exp(0.02 * (i // 4))) for i, s in enumerate(log.sets)]
    found = fit(replace(log, sets=tuple(better_days)))
    assert abs(found.belief.contrast({2: 1.0, 1: -1.0})[0]) < 1e-3
    assert found.belief.mean[found.names.index("trend")] > 0.001


@pytest.mark.sweep
def test_slip_is_noticed_and_widens() -> None:
    log = trial(NOW, WIDE, sessions=2, load={"wide": 102.0})
    slip = replace(log, sets=(*log.sets[:5], replace(log.sets[5], load_kg=10.0), *log.sets[6:]))
    report = judge(slip)
    assert report.odd_set == 6
    assert report.noise_scale > 1.8 and "trial_scatter" in [c.code for c in report.cautions]
    plain = judge(log).standings[1].gain_percent
    wider = report.standings[1].gain_percent
    assert wider.high - wider.low > plain.high - plain.low


@pytest.mark.sweep
def test_sets_narrow_and_come_nearer() -> None:
    loads = {"wide": 102.0}
    reports = [judge(trial(NOW, WIDE, sessions=n, load=loads)) for n in (1, 3, 6)]
    widths = [r.standings[1].gain_percent.high - r.standings[1].gain_percent.low for r in reports]
    assert widths == sorted(widths, reverse=True)
    ahead = [r.ahead for r in reports if r.ahead is not None]
    assert ahead and all(1 <= a.sets <= a.most and a.sessions >= 1 for a in ahead)
    assert all(0 <= a.chance_settled <= 1 for a in ahead)


@pytest.mark.sweep
def test_same_log_same_answer() -> None:
    log = trial(NOW, WIDE, THIRD, load={"wide": 103.0})
    assert judge(log) == judge(log)


@pytest.mark.sweep
def test_next_prefers_the_setup_that_was_done_least() -> None:
    log = trial(NOW, WIDE, THIRD, sessions=2)
    for number in [s.number for s in log.sets if s.candidate == "third"][1:]:
        log = delete_set(log, number)
    report = judge(log, DAYS[5])
    assert report.next is not None and report.next.key == "third"
    assert report.next.reason.code == "trial_next_fewest" and report.next.worth_percent > 0


@pytest.mark.sweep
def test_next_leaves_out_a_hopeless_setup() -> None:
    report = judge(trial(NOW, WIDE, THIRD, load={"third": 80.0}))
    assert report.verdict == "cannot tell yet"
    assert report.next is not None and report.next.key != "third"


def test_a_fair_session_and_date_is_checked() -> None:
    log = trial(NOW, WIDE)
    assert [s.candidate for s in log.sets] == ["now", "wide", "wide", "now"]
    for given in (log, TrialLog()):
        with pytest.raises(InputError) as refused:
            judge(given, "soon")
    assert refused.value.field == "date"


def test_formula_changes_level_not_verdict() -> None:
    log = trial(NOW, WIDE, sessions=3, load={"wide": 110.0})
    levels = []
    for formula in ("epley", "brzycki", "lombardi"):
        report = judge(with_formula(log, formula))
        assert report.best == "wide"
        levels.append(report.one_rep_max_kg.middle)
    assert len({round(level, 1) for level in levels}) == 3


# --- the preference dial ---------------------------------------------------------------------------------


def test_dial_has_the_fit_screens_weight() -> None:
    assert dial.STROKE_WEIGHT == worth.STROKE_WEIGHT and dial.LEAST_ARM_M == worth.LEAST_ARM_M


def wish(p: float, setup: tuple[float, float]) -> float:
    return (1 - p) * worth.STROKE_WEIGHT * math.log(setup[0]) + p * math.log(setup[1])


@pytest.mark.parametrize("best", [0, 1, 2])
def test_dial_chooses_what_won(best: int) -> None:
    setups = [(0.36, 0.110), (0.34, 0.140), (0.348, 0.122)]
    chances = [0.02, 0.02, 0.02]
    chances[best] = 0.96
    p = implied_preference(setups, chances, best)
    assert p is not None and 0 <= p <= 1
    assert min(range(3), key=lambda i: wish(p, setups[i])) == best


def test_surer_verdict_moves_the_dial_further() -> None:
    pair = [(0.36, 0.11), (0.34, 0.14)]
    sure, less = implied_preference(pair, [0.999, 0.001], 0), implied_preference(pair, [0.95, 0.05], 0)
    assert sure > less > 0.5 > implied_preference(pair, [0.05, 0.95], 1)


@pytest.mark.parametrize(
    ("setups", "best"),
    [
        ([(0.36, 0.11), (0.34, 0.14)], None),  # not decided
        ([(0.36, 0.14), (0.34, 0.11)], 0),  # worse in both: the dial would choose it nowhere
        ([(0.36, 0.14), (0.34, 0.11)], 1),  # better in both: any dial chooses it
        ([(0.36, 0.11), (0.36, 0.11)], 0),  # alike
    ],
)
def test_dial_says_when_it_cannot_tell(setups: list[tuple[float, float]], best: int | None) -> None:
    assert implied_preference(setups, [0.97, 0.03], best) is None


@pytest.mark.sweep
def test_learned_preference_from_a_log() -> None:
    def learned(**loads: float) -> Report:
        return judge(trial(NOW, WIDE, sessions=3, load=loads))

    assert learned(wide=100.0).preference is None
    assert learned(wide=110.0).preference < 0.5 < learned(now=110.0).preference
    unknown = trial(NOW, replace(WIDE, stroke_m=None), sessions=3, load={"wide": 110.0})
    assert judge(unknown).preference is None


# --- normal distributions --------------------------------------------------------------------------------


def test_chances_of_equals() -> None:
    for n in (1, 2, 3, 4):
        unit = [[float(i == j) for j in range(n)] for i in range(n)]
        assert chances_best([0.0] * n, unit) == pytest.approx([1 / n] * n, abs=1e-5)


def test_orthant_of_three_in_closed_form() -> None:
    """Chance to be best of three with correlation r between the leads: 1/4 + asin(r) / (2 pi) (Sheppard
    1899)."""
    covariance = [[1.0, 0.0, 0.0], [0.0, 4.0, 0.0], [0.0, 0.0, 9.0]]
    for c, (own, a, b) in enumerate(((1, 4, 9), (4, 1, 9), (9, 1, 4))):
        r = own / math.sqrt((own + a) * (own + b))
        wanted = 0.25 + math.asin(r) / (2 * math.pi)
        assert chances_best([0.0] * 3, covariance)[c] == pytest.approx(wanted, abs=1e-5)


def test_learning_halves_a_variance() -> None:
    belief, surprise, sd = Belief((1.0,), ((2.0,),)).learn({0: 1.0}, 3.0, 2.0)
    assert belief.mean[0] == pytest.approx(2.0) and belief.covariance[0][0] == pytest.approx(1.0)
    assert surprise == pytest.approx(1.0) and sd == pytest.approx(2.0)


def test_worth_of_look_of_what_cannot_change() -> None:
    assert worth_of_look([0.0, 1.0], [0.5, 0.5]) == 0.0
    assert worth_of_look([0.0, 1.0, 5.0], [0.0, 0.0, 0.0]) == 0.0
    assert worth_of_look([0.0, 30.0], [0.0, 1.0]) == pytest.approx(0.0, abs=1e-12)


def test_cholesky_refuses_what_is_not_positive() -> None:
    with pytest.raises(ValueError, match="positive semidefinite"):
        cholesky([[1.0, 2.0], [2.0, 1.0]])


def test_quantile_of_the_threshold() -> None:
    assert quantile(0.5) == pytest.approx(0.0, abs=1e-9)
    assert quantile(0.95) == pytest.approx(1.6448536269514722, abs=1e-8)
    assert PRIOR.own_sd * math.sqrt(2) == pytest.approx(SETUP_SPREAD)
