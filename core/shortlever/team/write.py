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
from shortlever.lifts import LIFTS, UNNAMED, AnyLift
from shortlever.lifts.lift import Result
from shortlever.say import ENGLISH, Language, Said, Text, Voice
from shortlever.team.fit import results_of
from shortlever.team.rows import Sheet
from shortlever.units import DEGREE, LENGTH_UNITS, POUND_KG


def write_sheet(sheet: Sheet, results: Mapping[int, Mapping[str, Text]], language: Language = ENGLISH) -> str:
    """The text of the sheet that goes out. ``results``: the cells of each row by its number.

    Rows without a result keep their cells; columns of an earlier result are left out.
    """
    voice = Voice(language, sheet.unit)
    keep = [i for i, column in enumerate(sheet.columns) if column.state != "replaced"]
    seen = [one for one in results_of(sheet.lift) if any(cells.get(one.key) for cells in results.values())]
    table: list[list[str]] = []
    for at, line in enumerate(sheet.lines):
        if at < sheet.header:
            table.append(list(line.cells[: len(sheet.columns)]))
            continue
        cells = [*line.cells, *[""] * (len(sheet.columns) - len(line.cells))]
        row = [cells[i] for i in keep]
        if at == sheet.header:
            row += [voice.say(result_header(one, sheet.unit)) for one in seen]
        else:
            got = results.get(line.number, {})
            row += [_number(voice.say(got.get(one.key, "")), sheet.decimal) for one in seen]
            over = line.cells[len(sheet.columns) :]  # what is too much or damaged is carried along at the end
            row += over if any(over) else ()
        table.append(row)
    while table and not any(table[-1]):
        table.pop()
    return _text(table, sheet.delimiter)


def result_header(result: Result, unit: str) -> Text:
    """The header of a result, with its unit."""
    return _in_unit(result.header, unit) if result.length else result.header


def columns_shown(lift: AnyLift, unit: str) -> list[dict[str, Text]]:
    """The results that the team screen's table shows: key, and label with its unit."""
    shown = [one for one in lift.results if one.brief]
    return [
        {"key": one.key, "label": _in_unit(one.brief, unit) if one.length else one.brief} for one in shown
    ]


def _in_unit(label: Text, unit: str) -> Said:
    return Said("sheet_header_in_unit", {"label": label, "unit": unit})


def _number(text: str, decimal: str) -> str:
    return text.replace(".", decimal) if re.fullmatch(r"-?\d+\.\d+", text) else text


def _text(table: Sequence[Sequence[str]], delimiter: str) -> str:
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=delimiter, lineterminator="\r\n")
    for row in table:
        writer.writerow([harmless(cell) for cell in row])
    return "\ufeff" + out.getvalue()


def example_sheet(unit: str = "cm", lift: AnyLift = LIFTS[UNNAMED], language: Language = ENGLISH) -> str:
    """A sheet of a lift's invented lifters in cm or in, to try it with and to write one's own over.

    >>> example_sheet().splitlines()[1]
    'Mara Feld (invented),62,39,24,29,75,65,19,female'
    """
    sizes = {
        "length": (unit, LENGTH_UNITS[unit] * 100, 0.25 if unit == "in" else 0.5),
        "mass": ("lb", POUND_KG, 1.0) if unit == "in" else ("kg", 1.0, 1.0),
        "angle": (DEGREE, 1.0, 1.0),
    }
    keys = dict.fromkeys(key for _, numbers, _ in lift.invented for key in numbers)
    measures = [m for key in keys if (m := lift.measure_of(key))]
    heads = [Said("sheet_header_in_unit", {"label": m.label, "unit": sizes[m.kind][0]}) for m in measures]
    table: list[list[str]] = [Voice(language).all([Said("sheet_lifter"), *heads, Said("sheet_sex")])]
    for name, numbers, sex in lift.invented:
        cells = []
        for m in measures:
            _, size, step = sizes[m.kind]
            number = numbers.get(m.key)
            cells.append("" if number is None else f"{round(number / size / step) * step:g}")
        table.append([Voice(language).say(Said("sheet_invented", {"name": name})), *cells, sex])
    return _text(table, ",").removeprefix("\ufeff")
