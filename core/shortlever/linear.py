"""The little linear algebra that several parts need; matrices are lists of rows."""

from __future__ import annotations

import math
from collections.abc import Sequence

ROUNDING = 1e-9  # of a diagonal element: what rounding may leave below zero


def cholesky(matrix: Sequence[Sequence[float]]) -> list[list[float]]:
    """Lower triangle L with L Lᵀ = ``matrix``, which is symmetric and at least positive semidefinite.

    A direction without variance gives a zero column. Raises ValueError for a matrix that has a negative one.

    >>> cholesky([[4.0, 2.0], [2.0, 5.0]])
    [[2.0, 0.0], [1.0, 2.0]]
    """
    lower: list[list[float]] = []
    for i, row in enumerate(matrix):
        line: list[float] = []
        for j in range(i):
            rest = row[j] - sum(a * b for a, b in zip(line, lower[j], strict=False))
            line.append(rest / lower[j][j] if lower[j][j] > 0 else 0.0)
        left = row[i] - sum(a * a for a in line)
        if left < -ROUNDING * abs(row[i]):
            raise ValueError("the matrix is not positive semidefinite")
        lower.append([*line, math.sqrt(max(left, 0.0)), *(0.0 for _ in matrix[i + 1 :])])
    return lower


def solve_row(lower: Sequence[Sequence[float]], row: Sequence[float]) -> list[float]:
    """The g with g L = ``row`` for a lower triangle L; 0 along directions without variance."""
    found = [0.0] * len(row)
    for j in reversed(range(len(row))):
        rest = row[j] - sum(found[i] * lower[i][j] for i in range(j + 1, len(row)))
        found[j] = rest / lower[j][j] if lower[j][j] > 0 else 0.0
    return found
