"""Seeded draws that are the same on every processor.

numpy's own multivariate normal goes through a decomposition whose signs depend on the processor; a Cholesky
factor is unique.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from shortlever.linear import cholesky


def normal(
    rng: np.random.Generator,
    mean: Sequence[float] | np.ndarray,
    covariance: Sequence[Sequence[float]] | np.ndarray,
    *rows: int,
) -> np.ndarray:
    """One draw, or as many rows, from the normal distribution of this mean and covariance."""
    lower = np.array(cholesky(np.asarray(covariance).tolist()))
    return np.asarray(mean) + rng.standard_normal((*rows, len(lower))) @ lower.T
