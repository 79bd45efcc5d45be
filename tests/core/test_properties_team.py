"""What must hold for every team sheet, searched for by Hypothesis."""

from __future__ import annotations

import csv
import io
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shortlever import InputError, team
from shortlever.csvtext import STARTS_A_FORMULA
from shortlever.team.sheet import MAX_COLUMNS, lines_of

HURRIED: dict[str, Any] = {
    "deadline": None,
    "derandomize": True,
    "suppress_health_check": [HealthCheck.too_slow],
}
cells = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12)
HEADER = ["Lifter", "Arm length (cm)", "Shoulder breadth (cm)", "Comment"]


@settings(max_examples=300, **HURRIED)
@given(st.lists(st.lists(cells, min_size=1, max_size=5), max_size=6), st.sampled_from(",;\t"))
def test_what_python_writes_is_read_back(table: list[list[str]], delimiter: str) -> None:
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=delimiter, quoting=csv.QUOTE_ALL, lineterminator="\r\n").writerows(table)
    assert [list(line.cells) for line in lines_of(out.getvalue(), delimiter)] == table


@settings(max_examples=200, **HURRIED)
@given(st.lists(st.tuples(cells, cells), min_size=1, max_size=5), st.sampled_from(",;\t"))
def test_what_goes_out_comes_in_again(people: list[tuple[str, str]], delimiter: str) -> None:
    """Unknown columns and names survive a round trip, but for the apostrophe before a formula."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=delimiter, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writerow(HEADER)
    for name, comment in people:
        writer.writerow([name, "62", "39", comment])
    sheet = team.read_sheet(out.getvalue())
    results = {
        row.number: {"grip": "70.5", "why": comment}
        for row, (_, comment) in zip(sheet.rows, people, strict=True)
    }
    written = team.write_sheet(sheet, results)
    again = team.read_sheet(written)
    assert again.delimiter == delimiter
    assert [[*line.cells[:4]] for line in again.lines[1:]] == [
        [team.harmless(name), "62", "39", team.harmless(comment)] for name, comment in people
    ]
    assert team.write_sheet(again, {}).splitlines()[0] == "\ufeff" + delimiter.join(HEADER)


@settings(max_examples=500, **HURRIED)
@given(st.text(st.sampled_from("=+-@\t\r\n,;\"' 1a＝"), max_size=12))
def test_no_cell_starts_a_formula_however_it_is_made(text: str) -> None:
    once = team.harmless(text)
    assert team.harmless(once) == once
    assert once == text or "'" in once
    if once.startswith(STARTS_A_FORMULA):
        assert once == "-" or float(once.replace(",", ".").rstrip(" %\u00a0")) is not None


@settings(max_examples=300, **HURRIED)
@given(st.binary(max_size=300) | st.text(max_size=200).map(str.encode))
def test_no_bytes_crash_the_reader(data: bytes) -> None:
    try:
        sheet = team.read_sheet(data)
    except InputError as wrong:
        assert wrong.message and wrong.remedy
    else:
        assert len(sheet.columns) <= MAX_COLUMNS
        assert sheet.errors or sheet.rows


@settings(max_examples=200, **HURRIED)
@given(st.lists(st.text(st.sampled_from('ab,;"\n\r '), max_size=30), max_size=8))
def test_good_rows_come_through_whatever_stands_between(noise: list[str]) -> None:
    """Rows before the first odd one are read as they are, and every row is there."""
    text = "Lifter,Arm length,Shoulder breadth\nMara,62,39\n" + "\n".join(noise)
    sheet = team.read_sheet(text)
    assert sheet.rows[0].name == "Mara" and sheet.rows[0].errors == ()
    for row in sheet.rows:
        result = team.check_row(row)
        assert row.number == 2 or result[1]
