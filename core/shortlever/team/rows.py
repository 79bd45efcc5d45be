"""A team sheet read: its columns, and every lifter's row as the request that the fit screen would make."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shortlever.errors import InputError, Told
from shortlever.fitting.request import UNITS as SHEET_UNITS
from shortlever.lifts import LIFTS, UNNAMED, AnyLift
from shortlever.lifts.form import Choice
from shortlever.person.measure import range_of, read
from shortlever.say import Said, Text, in_row
from shortlever.team.columns import UNITS, Column, Headers, headers_of, short, used
from shortlever.team.layout import decimal_mark, find_header, unit_row, with_unit, without_empty_ends
from shortlever.team.sheet import DELIMITERS, NAMES, Line, check_size, declared, decode, lines_of
from shortlever.units import LENGTH_UNITS

NOTHING = frozenset(("-", "–", "—", "?", "/", ".", "n/a", "na", "none", "null", "#n/a", "nan"))
UNIT_MEANS = {unit: unit for unit in SHEET_UNITS} | {
    word: unit for word, unit in UNITS.items() if unit in SHEET_UNITS
}


@dataclass(frozen=True)
class Row:
    """One lifter: the row's number in the spreadsheet, a name to call it by, the request, its errors."""

    number: int
    name: Text
    request: dict[str, Any]
    errors: tuple[Told, ...] = ()

    def plain(self) -> dict[str, Any]:
        """The row as an object that can travel as JSON."""
        return {"row": self.number, "name": self.name, "request": self.request, "errors": list(self.errors)}


@dataclass(frozen=True)
class Sheet:
    """A team sheet as it was understood. ``errors`` stop the whole sheet, then there are no ``rows``.

    ``lift``: whose sheet it is. ``lines``: every row of the file; ``header``: the index of the header among
    them; ``delimiter``, ``encoding`` and ``decimal`` are those of the file; ``unit`` ("cm" or "in"): of bare
    numbers and results.
    """

    lift: AnyLift
    lines: tuple[Line, ...]
    header: int
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    delimiter: str
    encoding: str
    decimal: str
    unit: str
    errors: tuple[InputError, ...] = ()
    notes: tuple[Text, ...] = ()


def read_sheet(
    data: bytes | str,
    unit: str | None = None,
    assign: Mapping[str, str] | None = None,
    lift: AnyLift = LIFTS[UNNAMED],
) -> Sheet:
    """Read a team sheet from the bytes of a file, or from a text.

    ``unit`` ("cm" or "in") is for numbers without one, and for the results; None takes the unit that most
    headers name, else cm. ``assign`` settles what a header means: {header: key}, "" for nothing. Raises
    InputError where there is no text; a header that lacks a needed column is told in ``errors``.

    >>> sheet = read_sheet("Lifter;Arm length (cm);Shoulder breadth (cm)\\nMara Feld;62,5;39")
    >>> sheet.delimiter, sheet.decimal, sheet.rows[0].name, sheet.rows[0].request["fields"]["arm_length"]
    (';', ',', 'Mara Feld', '62,5')
    """
    if unit is not None and unit not in SHEET_UNITS:
        raise InputError(
            "unit", "not_a_choice", unit[:24], Said("unit_not_a_choice"), Said("unit_not_a_choice_remedy")
        )
    headers = headers_of(lift)
    text, encoding = (data, "") if isinstance(data, str) else decode(data)
    check_size(len(text))
    text, said = declared(text)
    best: tuple[tuple[int, int], str, list[Line], int, list[Column]] | None = None
    for delimiter in (said,) if said else DELIMITERS:
        lines = lines_of(text, delimiter)
        at, columns = find_header(lines, headers, assign)
        score = (used(columns), len(columns))
        if best is None or score > best[0]:
            best = score, delimiter, lines, at, columns
    assert best is not None
    _, delimiter, lines, at, columns = best
    if not re.search(r"\w", text):
        raise InputError("sheet", "empty", "", Said("sheet_empty"), Said("sheet_empty_remedy"))
    columns, first = unit_row(lines, at, columns, headers)
    body = [line for line in lines[first:] if not line.blank]
    if unit is None:
        named = [c.unit for c in columns if c.state == "used" and c.unit in LENGTH_UNITS]
        unit = "in" if 2 * sum(u in ("in", "ft") for u in named) > len(named) else "cm"
    columns = without_empty_ends(columns, body)
    errors = _header_errors(lines[at], columns, lift, unit)
    notes: list[Text] = list(dict.fromkeys(c.message for c in columns if c.message and c.state != "replaced"))
    silent = [
        Said("quoted", {"text": short(c.header)}) for c in columns if c.state == "carried" and not c.message
    ]
    if silent:
        notes.append(Said("sheet_not_read", {"headers": silent}))
    if encoding == "Windows-1252":
        notes.append(Said("sheet_windows"))
    above = [line.number for line in lines[:at] if not line.blank]
    if above:
        notes.append(Said("sheet_header_below", {"row": lines[at].number}))
    if not body and not errors:
        errors.append(InputError("sheet", "no_rows", "", Said("sheet_no_rows"), Said("sheet_no_rows_remedy")))
    rows = [] if errors else [_row(line, columns, unit, lift) for line in body]
    notes += _other_unit(columns, body, unit, headers)
    return Sheet(
        lift,
        tuple(lines),
        at,
        tuple(columns),
        tuple(rows),
        delimiter,
        encoding,
        decimal_mark(columns, body, delimiter, headers),
        unit,
        tuple(errors),
        tuple(notes),
    )


def _header_errors(line: Line, columns: Sequence[Column], lift: AnyLift, unit: str) -> list[InputError]:
    errors = []
    for m in (one.measure for one in lift.required):
        key = m.key
        if any(c.key == key for c in columns):
            continue
        maybe = [c.message for c in columns if key in c.options]
        header = "; ".join(" ".join(c.header.split()) for c in columns if c.header.strip())
        header = header if len(header) <= 160 else header[:158] + "…"
        why = maybe[0] if maybe else Said("column_header_says", {"row": line.number, "header": header})
        said = Said("column_missing", {"label": m.label, "why": why})
        remedy = Said("column_missing_remedy", {"label": m.label, "unit": unit, "how": m.how})
        errors.append(InputError(key, "no_column", header[:24], said, remedy))
    return errors


def _row(line: Line, columns: Sequence[Column], unit: str, lift: AnyLift) -> Row:
    """A row as a request; what cannot be used is in its errors, with the column's header."""
    cells = [*line.cells, *[""] * (len(columns) - len(line.cells))]
    texts = {
        c.key: cell.strip()
        for c, cell in zip(columns, cells, strict=False)
        if c.state == "used" and cell.strip().casefold() not in NOTHING and cell.strip()
    }
    name = texts.get("name") or " ".join(t for t in (texts.get("first_name"), texts.get("last_name")) if t)
    errors: list[Told] = []
    if line.damage:
        said = Said("row_damaged", {"why": line.damage})
        errors.append(_error("", "damaged", "", said, Said("row_damaged_remedy")))
    elif any(cell.strip() for cell in line.cells[len(columns) :]):
        said = Said("row_too_many_cells", {"cells": len(line.cells), "columns": len(columns)})
        errors.append(_error("", "too_many_cells", "", said, Said("row_too_many_cells_remedy")))
    request: dict[str, Any] = {"unit": unit, "fields": {}}
    if lift.key != UNNAMED:
        request["lift"] = lift.key
    headers = headers_of(lift)
    own = _meant(texts.get("unit", unit), UNIT_MEANS)
    if own not in SHEET_UNITS:
        said = Said("row_unit", {"unit": own[:24]})
        errors.append(_error("unit", "not_a_choice", own, said, Said("row_unit_remedy")))
    for column in columns:
        text = texts.get(column.key)
        if text is None or column.state != "used":
            continue
        choice = lift.choice_of(column.key)
        if headers.measure(column.key):
            request["fields"][column.key] = with_unit(text, column, own, unit, headers)
        elif choice:
            request[column.key] = _meant(text, choice.means, choice)
        elif column.key == "preference":
            share = _share(text)
            if share is None:
                said = Said("row_preference", {"given": text[:24]})
                errors.append(_error("preference", "out_of_range", text, said, Said("row_preference_remedy")))
            else:
                request["preference"] = share
    return Row(line.number, name[:80] or Said("sheet_row", {"number": line.number}), request, tuple(errors))


def _meant(text: str, means: Mapping[str, str], choice: Choice | None = None) -> str:
    """A word of a cell as what it means, or as it stands."""
    plain = " ".join(re.sub(r"[,()]", " ", text.casefold()).split())
    return means.get(plain, plain if choice and plain in choice.options else text)


def _share(text: str) -> float | None:
    found = re.fullmatch(r"(\d{1,3}(?:[.,]\d{1,4})?)\s*(%?)", text)
    value = float(found[1].replace(",", ".")) / (100 if found[2] else 1) if found else 2.0
    return value if value <= 1 else None


def _other_unit(columns: Sequence[Column], body: Sequence[Line], unit: str, headers: Headers) -> list[Text]:
    """Columns without a unit whose every number is out of range, and in range in one other unit."""
    notes: list[Text] = []
    for i, column in enumerate(columns):
        m = headers.measure(column.key)
        if m is None or m.kind == "angle" or column.unit or column.state != "used":
            continue
        cells = [line.cells[i].strip() for line in body if i < len(line.cells) and line.cells[i].strip()]

        def fits(other: str, cells: list[str] = cells, key: str = column.key, m: Any = m) -> int:
            count = 0
            for cell in cells:
                try:
                    read(m, cell, other)
                except InputError:
                    continue
                count += 1
            return count

        if len(cells) < 2 or fits(unit):
            continue
        others = ("cm", "in") if m.kind == "mass" else ("cm", "in", "mm", "m")
        good = [other for other in others if other != unit and fits(other) == len(cells)]
        if len(good) == 1:
            of_column = {"header": column.header, "allowed": range_of(m), "unit": m.unit(good[0])}
            notes.append(Said("column_other_unit", of_column))
    return notes


def _error(field: str, code: str, given: str, message: Text, remedy: Text) -> Told:
    return {"field": field, "code": code, "given": given[:24], "message": message, "remedy": remedy}


def how_read(sheet: Sheet) -> Text:
    """In words, how the file was read."""
    by = Said(f"sheet_by_{NAMES[sheet.delimiter]}")
    mark = Said(f"sheet_decimal_{'comma' if sheet.decimal == ',' else 'point'}")
    return in_row([by, mark, *([sheet.encoding] if sheet.encoding else [])], "comma")
