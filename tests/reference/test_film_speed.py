"""Hundreds of chance worlds: the 90 % intervals of bar speed and pauses hold the truth 9 times in 10.

The worlds are those of ``test_film_cover``; presses from quick to grinding, with and without a slow stretch,
24 to 60 pictures a second, followed to 0.1 to 0.8 px.
"""

from __future__ import annotations

import random
from collections import Counter, defaultdict
from dataclasses import dataclass, replace

import pytest

from shortlever.film.speed import NAMES
from shortlever.lifts.film import Number
from tests.core.film_world import Noise, measured, request_of, times_of, true_speeds
from tests.reference.test_film_cover import chance_world

WORLDS = 200
LEAST, MOST = 0.86, 0.97  # 0.96 and what 200 worlds scatter by


@dataclass
class Tally:
    """Of each figure: whether its interval held the truth, its error and half its width, world by world."""

    rows: dict[str, list[tuple[bool, float, float]]]
    kinds: Counter[tuple[bool, bool]]  # slow stretch in truth, and as said

    def add(self, key: str, found: Number, true: float) -> None:
        self.rows[key].append((found.low <= true <= found.high, found.value - true, found.margin))


@pytest.fixture(scope="module")
def tally() -> Tally:
    rng, found = random.Random(1), Tally(defaultdict(list), Counter())
    for _ in range(WORLDS):
        world, _, _ = chance_world(rng)
        press_s, stall, pause_s = rng.uniform(0.8, 2.4), rng.uniform(0.0, 0.9), rng.uniform(0.0, 1.2)
        motion = replace(world.motion, press_s=press_s, stall=stall, pause_s=pause_s)
        noise = Noise(rng.uniform(0.1, 0.8), rng.uniform(0.4, 1.2), 1.0, 0.0, 1.0)
        times = times_of(motion, rng.choice((24, 30, 60)), rng, rng.choice((0.0, 0.6)))
        request = request_of(replace(world, motion=motion), times, noise, rng)
        rep, true = measured(request, worlds=100).reps[0], true_speeds(motion)
        assert rep.speed is not None and rep.pause is not None
        found.kinds["slowest" in true, rep.speed.slow is not None] += 1
        found.add("mean", rep.speed.mean, true["mean"][0])
        found.add("pause", rep.pause, pause_s)
        found.add("quickest speed", rep.speed.quickest.speed, true["quickest"][0])
        for name, one in zip(NAMES, rep.speed.slow or (), strict=bool(rep.speed.slow)):
            if name in true:
                found.add(f"{name} speed", one.speed, true[name][0])
                found.add(f"{name} height", one.up, true[name][1])
    for key, rows in found.rows.items():
        held, rms = (
            sum(h for h, _, _ in rows) / len(rows),
            (sum(e * e for _, e, _ in rows) / len(rows)) ** 0.5,
        )
        wide = sum(w for *_, w in rows) / len(rows)
        print(f"{key:16} {len(rows):4} held {held:.3f} RMS error {rms:.4f} half {wide:.4f}")
    print(found.kinds)
    return found


@pytest.mark.slow
def test_the_error_bars_are_honest(tally: Tally) -> None:
    held = {key: sum(h for h, _, _ in rows) / len(rows) for key, rows in tally.rows.items()}
    assert len(held) == 3 + 2 * len(NAMES)
    assert all(LEAST <= share <= MOST for share in held.values()), held


@pytest.mark.slow
def test_pauses_are_true_to_a_twentieth_of_a_second(tally: Tally) -> None:
    errors = [e for _, e, _ in tally.rows["pause"]]
    assert (sum(e * e for e in errors) / len(errors)) ** 0.5 < 0.05


@pytest.mark.slow
def test_a_slow_stretch_is_said_where_there_is_one(tally: Tally) -> None:
    assert tally.kinds[True, False] + tally.kinds[False, True] <= 0.05 * WORLDS, tally.kinds
