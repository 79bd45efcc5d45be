"""How a team sheet is laid out: its header, a row of units, empty ends, units of cells, the decimal mark."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from shortlever.team.columns import UNITS, Column, Headers, read_header, used
from shortlever.team.sheet import Line

HEADER_WITHIN = 10  # rows that are not blank, of which one must be the header
_OWN_UNIT = re.compile(r"[a-z°'\"″′”’]", re.IGNORECASE)


def find_header(
    lines: Sequence[Line], headers: Headers, assign: Mapping[str, str] | None
) -> tuple[int, list[Column]]:
    """Index and columns of the header: of the first rows the one with most columns that are read."""
    found: tuple[int, int, list[Column]] | None = None
    for i in [i for i, line in enumerate(lines) if not line.blank and not line.damage][:HEADER_WITHIN]:
        columns = read_header(lines[i].cells, headers, assign)
        if found is None or used(columns) > found[0]:
            found = used(columns), i, columns
    return (found[1], found[2]) if found else (0, [])


def unit_row(
    lines: Sequence[Line], at: int, columns: list[Column], headers: Headers
) -> tuple[list[Column], int]:
    """A row under the header that holds nothing but units gives them to its columns."""
    below = [i for i in range(at + 1, len(lines)) if not lines[i].blank][:1]
    if not below or lines[below[0]].damage:
        return columns, at + 1
    cells = [cell.strip(" ()[]").casefold() for cell in lines[below[0]].cells]
    if not any(cells) or any(cell and cell not in UNITS for cell in cells):
        return columns, at + 1
    named = [
        with_own_unit(column, UNITS.get(cell, ""), headers)
        for column, cell in zip(columns, [*cells, *[""] * len(columns)], strict=False)
    ]
    return named, below[0] + 1


def with_own_unit(column: Column, unit: str, headers: Headers) -> Column:
    """The column with a unit, where it has none yet and the unit is of its kind."""
    fits = unit and headers.fits(column.key, unit)
    return replace(column, unit=unit) if fits and not column.unit else column


def without_empty_ends(columns: list[Column], body: Sequence[Line]) -> list[Column]:
    """Without the columns at the right end that hold nothing in any row."""
    count = len(columns)
    while count and not columns[count - 1].header.strip():
        if any(len(line.cells) >= count and line.cells[count - 1].strip() for line in body):
            break
        count -= 1
    return columns[:count]


def with_unit(text: str, column: Column, own: str, unit: str, headers: Headers) -> str:
    """A cell with the unit of its header or row (``own``), unless it has one or it is the sheet's anyway.

    >>> from shortlever.lifts import LIFTS, UNNAMED
    >>> from shortlever.team.columns import headers_of
    >>> inches = Column("Arm (in)", "arm_length", "in", "used")
    >>> with_unit("26 1/4", inches, "cm", "cm", headers_of(LIFTS[UNNAMED]))
    '26 1/4 in'
    """
    m = headers.measure(column.key)
    bare, row = (m.unit(u) if m else u for u in (unit, own))
    meant = column.unit or row
    return text if meant == bare or _OWN_UNIT.search(text) else f"{text} {meant}"


def decimal_mark(columns: Sequence[Column], body: Sequence[Line], delimiter: str, headers: Headers) -> str:
    """The decimal mark of the sheet's numbers; where none has decimals, that of its delimiter."""
    numbers = [i for i, c in enumerate(columns) if c.state == "used" and headers.measure(c.key)]
    cells = [line.cells[i] for line in body for i in numbers if i < len(line.cells)]
    commas, points = (sum(1 for cell in cells if re.search(rf"\d{mark}\d", cell)) for mark in (",", r"\."))
    return "," if commas > points or (commas == points and delimiter == ";") else "."
