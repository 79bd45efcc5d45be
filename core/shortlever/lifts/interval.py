"""How sure a suggestion is, in numbers: intervals, and the tape number worth taking next."""

from __future__ import annotations

from dataclasses import dataclass

from shortlever.say import Text


@dataclass(frozen=True)
class Interval:
    """A 90 % interval of one suggested number, in its unit."""

    low: float
    high: float


@dataclass(frozen=True)
class NextMeasure:
    """The tape number worth taking next: ``narrows`` is the share of the spread (0 to 1) it would remove."""

    key: str
    label: Text
    how: Text
    narrows: float


@dataclass(frozen=True)
class Spread:
    """90 % intervals of the suggested numbers and the most useful next tape number (None if none helps).

    The intervals hold what the tape leaves open, not the error of the model itself.
    """

    intervals: dict[str, Interval]
    next_measurement: NextMeasure | None
