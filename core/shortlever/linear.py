"""The little linear algebra that several parts need; matrices are lists of rows."""

from __future__ import annotations

import math
from collections.abc import Sequence


def cholesky(matrix: Sequence[Sequence[float]]) -> list[list[float]]:
    """Lower triangle L with L Lᵀ = ``matrix``, which is symmetric and at least positive semidefinite.

    A direction without variance gives a zero column.
    """
    lower: list[list[float]] = []
    for i, row in enumerate(matrix):
        line: list[float] = []
        for j in range(i):
            rest = row[j] - sum(a * b for a, b in zip(line, lower[j], strict=False))
            line.append(rest / lower[j][j] if lower[j][j] > 0 else 0.0)
        line.append(math.sqrt(max(row[i] - sum(a * a for a in line), 0.0)))
        lower.append(line)
    return lower


def solve_row(lower: Sequence[Sequence[float]], row: Sequence[float]) -> list[float]:
    """The g with g L = ``row`` for a lower triangle L; 0 along directions without variance."""
    found = [0.0] * len(row)
    for j in reversed(range(len(row))):
        rest = row[j] - sum(found[i] * lower[i][j] for i in range(j + 1, len(row)))
        found[j] = rest / lower[j][j] if lower[j][j] > 0 else 0.0
    return found
