"""The bar's speed over one press: by a finer method, by its own equation, and what it must do."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from itertools import pairwise

import pytest

from shortlever import Body, Tape
from shortlever.errors import InfeasibleError
from shortlever.lifts.bench import speed
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.rep import Rep
from shortlever.lifts.bench.speed import FREE_SPEED_M_S, HEAVIEST_SPEED_M_S, bar_speeds, held_share


def a_rep(grip_m: float = 0.56, touch_m: float = 0.131) -> Rep:
    return Press(Body.from_tape(Tape(sex="male"))).rep(grip_m, touch_m)


def even(rep: Rep, effort: float = 0.2) -> Rep:
    """The same press with one effort at every height."""
    poses = [(replace(a, effort=effort), replace(b, effort=effort)) for a, b in rep.poses]
    return replace(rep, poses=poses)


def test_the_curve_is_the_published_one() -> None:
    assert held_share(0.0) == 1.0
    assert held_share(HEAVIEST_SPEED_M_S) * 1.1233 == pytest.approx(1.0)
    assert HEAVIEST_SPEED_M_S == pytest.approx(0.16, abs=0.04), "the abstract's own number"
    assert held_share(0.5) * 112.33 == pytest.approx(112.33 - 36.7505 + 2.10815)
    assert held_share(FREE_SPEED_M_S - 1e-9) == pytest.approx(0.0, abs=1e-8) and held_share(3.0) == 0.0


def test_mean_speed_is_the_heaviest_load_s() -> None:
    got = bar_speeds(a_rep())
    seconds = sum(2 * got.stroke_m / (len(got.speeds_m_s) - 1) / (a + b) for a, b in pairwise(got.speeds_m_s))
    assert got.stroke_m / seconds == pytest.approx(HEAVIEST_SPEED_M_S, rel=2e-3)


def test_even_effort_gives_the_speed_at_which_the_curve_holds_the_load() -> None:
    """Where effort is the same all the way the bar comes to one speed, and does not lose it again."""
    got = bar_speeds(even(a_rep()))
    assert got.first_peak is None and got.slowest is None
    assert all(b >= a - 1e-12 for a, b in pairwise(got.speeds_m_s))
    tail = got.speeds_m_s[-8:]
    assert max(tail) - min(tail) < 0.01
    assert math.isclose(tail[-1], HEAVIEST_SPEED_M_S, rel_tol=0.25)


def test_scale_of_effort_is_of_no_matter() -> None:
    rep = a_rep()
    doubled = [(replace(a, effort=2 * a.effort), replace(b, effort=2 * b.effort)) for a, b in rep.poses]
    assert bar_speeds(replace(rep, poses=doubled)).speeds_m_s == pytest.approx(bar_speeds(rep).speeds_m_s)


def test_finer_steps_find_the_same_places(monkeypatch: pytest.MonkeyPatch) -> None:
    for grip in (0.40, 0.56):
        rough = bar_speeds(a_rep(grip))
        with monkeypatch.context() as finer:
            finer.setattr(speed, "STEPS", 24)
            finer.setattr(speed, "HALVINGS", 40)
            fine = bar_speeds(a_rep(grip))
        for name in ("first_peak", "slowest"):
            (height, quick), (exact, truly) = getattr(rough, name), getattr(fine, name)
            assert height == pytest.approx(exact, abs=0.004) and quick == pytest.approx(truly, abs=0.004)


def test_slowest_is_above_the_first_peak_and_the_hardest_height() -> None:
    rep = a_rep()
    got = bar_speeds(rep)
    assert got.first_peak is not None and got.slowest is not None
    assert got.first_peak[0] < rep.hardest()[1] < got.slowest[0]
    assert got.first_peak[1] > got.slowest[1] > 0


def test_dots_at_equal_times_are_close_where_the_bar_is_slow() -> None:
    got = bar_speeds(a_rep())
    dots = got.beats(0.1)
    assert got.slowest is not None and got.first_peak is not None
    seconds = got.stroke_m / HEAVIEST_SPEED_M_S
    assert len(dots) == pytest.approx(seconds / 0.1, abs=1)
    gaps = {(a + b) / 2: b - a for a, b in pairwise(dots)}
    assert min(gaps, key=gaps.__getitem__) == pytest.approx(got.slowest[0], abs=0.012)
    assert all(0 < dot < got.stroke_m for dot in dots)


@pytest.mark.sweep
def test_every_press_has_a_speed() -> None:
    """Bodies short and long, grips and touches far outside of what is suggested."""
    seen = 0
    for arm, breadth, chest in itertools.product((50.0, 65.0, 85.0), (32.0, 40.0, 48.0), (0.16, 0.24, 0.32)):
        body = Body.from_tape(Tape(arm_length=arm / 100, shoulder_breadth=breadth / 100, chest_flat=chest))
        press = Press(body)
        for grip, touch in itertools.product((0.2, 0.35, 0.5, 0.65, 0.81, 0.95), (0.0, 0.05, 0.12, 0.2)):
            try:
                got = bar_speeds(press.rep(grip, touch))
            except InfeasibleError:
                continue
            seen += 1
            assert all(0 < v < FREE_SPEED_M_S * 3 for v in got.speeds_m_s[1:])
            assert all(0 < height < got.stroke_m for height in got.beats(0.2))
    assert seen > 400
