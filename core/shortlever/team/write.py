"""The team sheet that goes out: every column that came in, and the setups beside them.

UTF-8 with its mark, CRLF, the delimiter and the decimal mark of the sheet that came in, so that the same
spreadsheet opens it, and runs none of its cells.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence

from shortlever.csvtext import harmless
from shortlever.fitting.request import EXTRA
from shortlever.person.tape import MEASURES
from shortlever.team.fit import RESULTS
from shortlever.team.rows import Sheet
from shortlever.units import LENGTH_UNITS, POUND_KG


def write_sheet(sheet: Sheet, results: Mapping[int, Mapping[str, str]]) -> str:
    """The text of the sheet that goes out. ``results``: the cells of each row by its number.

    Rows without a result keep their cells; columns of an earlier result are left out.
    """
    keep = [i for i, column in enumerate(sheet.columns) if column.state != "replaced"]
    seen = [key for key, *_ in RESULTS if any(cells.get(key) for cells in results.values())]
    table: list[list[str]] = []
    for at, line in enumerate(sheet.lines):
        if at < sheet.header:
            table.append(list(line.cells[: len(sheet.columns)]))
            continue
        cells = [*line.cells, *[""] * (len(sheet.columns) - len(line.cells))]
        row = [cells[i] for i in keep]
        if at == sheet.header:
            row += [result_header(key, sheet.unit) for key in seen]
        else:
            got = results.get(line.number, {})
            row += [_number(got.get(key, ""), sheet.decimal) for key in seen]
            over = line.cells[len(sheet.columns) :]  # what is too much or damaged is carried along at the end
            row += over if any(over) else ()
        table.append(row)
    while table and not any(table[-1]):
        table.pop()
    return _text(table, sheet.delimiter)


def result_header(key: str, unit: str) -> str:
    """The header of a result, with its unit."""
    header, length = next((header, length) for k, header, length in RESULTS if k == key)
    return f"{header} ({unit})" if length else header


def _number(text: str, decimal: str) -> str:
    return text.replace(".", decimal) if re.fullmatch(r"-?\d+\.\d+", text) else text


def _text(table: Sequence[Sequence[str]], delimiter: str) -> str:
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=delimiter, lineterminator="\r\n")
    for row in table:
        writer.writerow([harmless(cell) for cell in row])
    return "\ufeff" + out.getvalue()


# Invented lifters of the invented gym Kalkwerk: centimetres and kilograms.
INVENTED_COLUMNS = (
    "arm_length",
    "shoulder_breadth",
    "chest_flat",
    "chest_arched",
    "body_mass",
    "current_grip",
    "current_touch",
)
INVENTED: tuple[tuple[str, tuple[float | None, ...], str], ...] = (
    ("Mara Feld", (62, 39, 24, 29, 75, 65, 19), "female"),
    ("Jonas Brede", (66.5, 41.5, 25, 28.5, 93, 70, 16.5), "male"),
    ("Edda Quell", (55.5, 35.5, 20.5, 27, 57, None, None), "female"),
    ("Tomas Halden", (72, 43, 26.5, None, 105, 76, None), "male"),
)


def example_sheet(unit: str = "cm") -> str:
    """A sheet of invented lifters in cm or in, to try it with and to write one's own over.

    >>> example_sheet().splitlines()[1]
    'Mara Feld (invented),62,39,24,29,75,65,19,female'
    """
    sizes = {
        "length": (unit, LENGTH_UNITS[unit] * 100, 0.25 if unit == "in" else 0.5),
        "mass": ("lb", POUND_KG, 1.0) if unit == "in" else ("kg", 1.0, 1.0),
    }
    measures = [(MEASURES | EXTRA)[key] for key in INVENTED_COLUMNS]
    table = [["Lifter", *(f"{m.label} ({sizes[m.kind][0]})" for m in measures), "Sex"]]
    for name, numbers, sex in INVENTED:
        cells = []
        for m, number in zip(measures, numbers, strict=True):
            _, size, step = sizes[m.kind]
            cells.append("" if number is None else f"{round(number / size / step) * step:g}")
        table.append([f"{name} (invented)", *cells, sex])
    return _text(table, ",").removeprefix("\ufeff")
