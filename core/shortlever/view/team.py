"""The team sheet's questions: read a sheet, fit some of its rows, write the sheet that goes out.

- ``{"want": "team/read", "text" or "base64", "unit": "cm", "in" or null, "assign": {header: key}}``:
  how it was read;
- ``{"want": "team/fit", "rows": [{"row", "name", "request"}]}``: the setups of a few rows;
- ``{"want": "team/write", as for read, "results": {row: cells}}``: the CSV text;
- ``{"want": "team/example", "unit"}``: a sheet of invented lifters.

Nothing is remembered between questions.
"""

from __future__ import annotations

import base64
import binascii
from collections.abc import Mapping
from typing import Any

from shortlever.errors import InputError
from shortlever.fitting.request import lift_of
from shortlever.say import InUnit, Made, Said
from shortlever.team import columns, fit, rows, write
from shortlever.team.sheet import decode
from shortlever.view.doors import Doors
from shortlever.view.link import to_fragment

MAX_ROWS_AT_ONCE = 20


def _sheet(request: Mapping[str, Any]) -> rows.Sheet:
    data: bytes | str = str(request.get("text", ""))
    if request.get("base64"):
        try:
            data = base64.b64decode(str(request["base64"]), validate=True)
        except (binascii.Error, ValueError):
            said, remedy = Said("sheet_not_whole"), Said("sheet_not_whole_remedy")
            raise InputError("sheet", "damaged", "", said, remedy) from None
    assign = request.get("assign")
    unit = request.get("unit")
    assigned = assign if isinstance(assign, Mapping) else None
    return rows.read_sheet(data, unit and str(unit), assigned, lift_of(request))


def _read(request: Mapping[str, Any]) -> dict[str, Any]:
    sheet = _sheet(request)
    headers = columns.headers_of(sheet.lift)
    header = {column.key: column.header for column in sheet.columns if column.key}
    read: list[dict[str, Any]] = []
    problems: list[dict[str, Any]] = []
    for row in sheet.rows:
        understood, errors = fit.check_row(row)
        read.append({**row.plain(), "errors": list(errors), "understood": understood})
        problems += [
            {"row": row.number, "name": row.name, "column": header.get(str(e["field"]), ""), **e}
            for e in errors
        ]
    text = {"text": decode(base64.b64decode(request["base64"]))[0]} if request.get("base64") else {}
    shown = {
        **text,
        "ok": not sheet.errors,
        "errors": [wrong.told() for wrong in sheet.errors],
        "unit": sheet.unit,
        "how": rows.how_read(sheet),
        "notes": list(sheet.notes),
        "columns": [_column(column, sheet.unit, headers) for column in sheet.columns],
        "shown": write.columns_shown(sheet.lift, sheet.unit),
        "keys": [{"key": key, "label": label} for key, label in headers.labels.items()],
        "rows": read,
        "problems": problems,
    }
    return {name: InUnit(sheet.unit, part) for name, part in shown.items()}


def _column(column: columns.Column, unit: str, headers: columns.Headers) -> dict[str, Any]:
    m = headers.measure(column.key)
    assumed = "" if m is None else m.unit(unit)
    return {
        "header": column.header,
        "key": column.key,
        "label": headers.labels.get(column.key, ""),
        "unit": column.unit or assumed,
        "unit_in_header": bool(column.unit),
        "state": column.state,
        "message": column.message,
    }


def _fit(request: Mapping[str, Any]) -> dict[str, Any]:
    """Setups of a few rows, each with the fragment that opens it on the fit screen."""
    asked = request.get("rows")
    if not isinstance(asked, list) or len(asked) > MAX_ROWS_AT_ONCE:
        remedy = Said("rows_too_many_remedy", {"most": MAX_ROWS_AT_ONCE})
        raise InputError("rows", "too_many", "", Said("rows_too_many"), remedy)
    results = []
    for one in asked:
        row = rows.Row(int(one["row"]), str(one["name"]), dict(one["request"]))
        fitted = fit.fit_row(row)
        shown = {**fitted.plain(), "fragment": to_fragment(row.request) if fitted.ok else ""}
        results.append(InUnit(row.request["unit"], shown))
    return {"results": results}


def _write(request: Mapping[str, Any]) -> dict[str, Any]:
    sheet = _sheet(request)
    results = request.get("results")
    cells = {int(row): got for row, got in results.items()} if isinstance(results, Mapping) else {}
    if sheet.errors:
        raise sheet.errors[0]
    heads = {one.key: write.result_header(one, sheet.unit) for one in fit.results_of(sheet.lift)}
    return {"csv": Made(lambda voice: write.write_sheet(sheet, cells, voice.language)), "headers": heads}


def _example(request: Mapping[str, Any]) -> dict[str, Any]:
    unit, lift = "in" if request.get("unit") == "in" else "cm", lift_of(request)
    return {"text": Made(lambda voice: write.example_sheet(unit, lift, voice.language))}


DOORS: Doors = {"team/read": _read, "team/fit": _fit, "team/write": _write, "team/example": _example}
