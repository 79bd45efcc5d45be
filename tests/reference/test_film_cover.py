"""Two hundred chance clips (tests/core/film_gym.py): each number that is shown lies in its interval about as
often as it says; and the intervals are not honest by being useless."""

from __future__ import annotations

import math

import pytest

from tests.core.film_gym import Row, report, share, tally

CLIPS, SEED = 200, 7
LEAST, MOST = 0.88, 0.96  # of intervals that say 90 %
KEYS = 20


@pytest.fixture(scope="module")
def found() -> dict[str, list[Row]]:
    rows = tally(CLIPS, SEED)
    print("\n" + report(rows))
    return rows


@pytest.mark.slow
def test_every_number_is_inside_its_interval_as_often_as_it_says(found: dict[str, list[Row]]) -> None:
    held = {key: share(rows) for key, rows in found.items()}
    assert len(held) == KEYS
    assert all(LEAST <= one <= MOST for one in held.values()), held


@pytest.mark.slow
def test_the_intervals_are_not_honest_by_being_useless(found: dict[str, list[Row]]) -> None:
    """On a stand, with the bar's end and the plates told: half widths, averaged."""

    def wide(key: str) -> float:
        rows = [
            row.wide
            for row in found[key]
            for asked in [row.clip.request]
            if not row.clip.in_hand and "bar_end" in asked["marks"] and asked["camera"]["plates"]
        ]
        return sum(rows) / len(rows)

    assert wide("touch") < 0.04
    assert wide("range_of_motion") < 0.009
    assert wide("mean speed") < 0.012


@pytest.mark.slow
def test_pauses_are_true_to_a_twentieth_of_a_second(found: dict[str, list[Row]]) -> None:
    errors = [row.error for row in found["pause"] if not row.clip.in_hand]
    assert math.sqrt(sum(e * e for e in errors) / len(errors)) < 0.05


@pytest.mark.slow
@pytest.mark.parametrize("key", ["range_of_motion", "path"])
def test_a_phone_in_a_hand_is_no_less_honest(found: dict[str, list[Row]], key: str) -> None:
    hand = [row for row in found[key] if row.clip.in_hand]
    assert len(hand) > 40
    assert share(hand) >= LEAST
