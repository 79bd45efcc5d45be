"""A fair order of sets: linear drift cancels exactly, and nobody is favoured by place or neighbour."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import pairwise

import pytest

from shortlever import InputError
from shortlever.trials import fair_order

NAMES = "ABCD"


@pytest.mark.parametrize("n", [2, 3, 4])
@pytest.mark.parametrize("blocks", [1, 2, 3])
@pytest.mark.parametrize("session", range(5))
def test_linear_drift_cancels_exactly(n: int, blocks: int, session: int) -> None:
    """In fractions: any drift a + b x place adds the same to every candidate's mean."""
    order = [key for block in range(blocks) for key in fair_order(NAMES[:n], session + block)]
    assert Counter(order) == Counter(NAMES[:n] * (2 * blocks))
    for a, b in ((Fraction(0), Fraction(1)), (Fraction(7, 3), Fraction(-5, 11))):
        drift = {
            name: sum(a + b * place for place, key in enumerate(order) if key == name) / (2 * blocks)
            for name in NAMES[:n]
        }
        assert len(set(drift.values())) == 1


@pytest.mark.parametrize("n", [2, 3, 4])
def test_places_and_neighbours_are_shared(n: int) -> None:
    """Over as many sessions as candidates everyone stands in each place, and follows each other one, equally
    often."""
    orders = [fair_order(NAMES[:n], session) for session in range(n)]
    for place in range(2 * n):
        assert {order[place] for order in orders} == set(NAMES[:n])
    follows = Counter(pair for order in orders for pair in pairwise(order))
    assert len({count for (a, b), count in follows.items() if a != b}) == 1
    assert len([pair for pair in follows if pair[0] != pair[1]]) == n * (n - 1)


def test_start_alternates() -> None:
    assert [fair_order("AB", s)[0] for s in range(4)] == ["A", "B", "A", "B"]


@pytest.mark.parametrize(
    "names",
    [
        ["A"],
        list("ABCDE"),
        ["A", "A"],
        [],
    ],
)
def test_refused(names: list[str]) -> None:
    with pytest.raises(InputError) as refused:
        fair_order(names)
    assert refused.value.message and refused.value.remedy
