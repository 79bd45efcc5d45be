"""Team sheets: spreadsheets' files are read, the unclear is told, bad rows stop nothing, formulas stay text.

Sources: RFC 4180 (October 2005), section 2, whose examples are the first table; Python's csv module, as an
independent writer of dialects; OWASP, "CSV Injection", and ASVS 5.0, 1.2.10, for what starts a formula.
"""

from __future__ import annotations

import base64
import csv
import io
import itertools
import json
from pathlib import Path
from typing import Any

import pytest

from shortlever import InputError, cli, team, view
from shortlever.lifts import LIFTS, UNNAMED
from shortlever.person.tape import MEASURES
from shortlever.say import Said, Voice
from shortlever.team import command
from shortlever.team.columns import OF_ANY, headers_of, match, read_header
from shortlever.team.rows import Sheet
from shortlever.team.sheet import MAX_ROWS, decode, lines_of
from shortlever.units import read_quantity

LIFT = LIFTS[UNNAMED]
HEADERS = headers_of(LIFT)
PLAIN = "Lifter,Arm length (cm),Shoulder breadth (cm)\n"


def only_row(text: str, **more: Any) -> team.Row:
    sheet = team.read_sheet(text, **more)
    assert [str(e) for e in sheet.errors] == []
    (row,) = sheet.rows
    return row


def fitted(sheet: Sheet) -> dict[int, dict[str, str]]:
    return {one.number: one.cells for one in map(team.fit_row, sheet.rows)}


# ---- the text


@pytest.mark.parametrize(
    ("text", "cells"),
    [
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [("aaa", "bbb", "ccc"), ("zzz", "yyy", "xxx")]),  # 1
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx", [("aaa", "bbb", "ccc"), ("zzz", "yyy", "xxx")]),  # 2
        ('"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [("aaa", "bbb", "ccc"), ("zzz", "yyy", "xxx")]),  # 5
        ('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [("aaa", "b\r\nbb", "ccc"), ("zzz", "yyy", "xxx")]),  # 6
        ('"aaa","b""bb","ccc"', [("aaa", 'b"bb', "ccc")]),  # 7
    ],
)
def test_examples_of_rfc_4180(text: str, cells: list[tuple[str, ...]]) -> None:
    assert [line.cells for line in lines_of(text, ",")] == cells


HARD = ["Feld, Mara", 'says "hi"', " blanks ", "", "naïve – 5′10″", "a;b\tc", "two%slines"]


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("quoting", [csv.QUOTE_MINIMAL, csv.QUOTE_ALL, csv.QUOTE_NONNUMERIC])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_dialects_of_python_s_own_writer(delimiter: str, quoting: Any, end: str, codec: str) -> None:
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=delimiter, quoting=quoting, lineterminator=end)
    writer.writerow(["Lifter", "Arm length (cm)", "Shoulder breadth (cm)"])
    names = [name.replace("%s", end) for name in HARD]
    for i, name in enumerate(names):
        writer.writerow([name, 60 + i, "39"])
    sheet = team.read_sheet(out.getvalue().encode(codec))
    assert sheet.delimiter == delimiter
    assert [line.cells[0] for line in sheet.lines[1:]] == names
    assert [row.request["fields"]["arm_length"] for row in sheet.rows] == [
        str(60 + i) for i in range(len(HARD))
    ]


@pytest.mark.parametrize("first", ["sep=;\r\n", '"sep=;"\r\n', "SEP=;\n"])
def test_line_that_names_the_delimiter(first: str) -> None:
    row = only_row(first + "Lifter;Arm length;Shoulder breadth\nA, B;66,5;41")
    assert (row.number, row.name) == (2, "A, B")


def test_tab_named_as_delimiter() -> None:
    assert only_row("sep=\t\nLifter\tArm length\tShoulder breadth\nMara\t62\t39").name == "Mara"


def test_windows_letters_are_read_and_told() -> None:
    sheet = team.read_sheet(PLAIN.encode() + "Jörg,62,39".encode("cp1252"))
    assert sheet.rows[0].name == "Jörg"
    assert any("Windows-1252" in note for note in map(str, sheet.notes))


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"PK\x03\x04rest", "not_csv"),
        (b"\xd0\xcf\x11\xe0rest", "not_csv"),
        (b"%PDF-1.7", "not_csv"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "not_csv"),
        (b"a\x81\0\0", "not_text"),
        (b"\xff\xfea", "not_text"),
        (b"x" * 1_000_001, "too_large"),
        (b"", "empty"),
        (b"\n\n  \n,,\n", "empty"),
        (("a\n" * (MAX_ROWS + 1)).encode(), "too_many_rows"),
        (b"," * 300, "too_many_columns"),
    ],
    ids=lambda v: str(v)[:20],
)
def test_what_is_no_sheet_is_refused_in_words(data: bytes, code: str) -> None:
    with pytest.raises(InputError) as refused:
        team.read_sheet(data)
    assert refused.value.code == code
    assert refused.value.message.endswith(".") and refused.value.remedy.endswith(".")


def test_blank_lines_and_empty_columns_leave_the_spreadsheets_row_numbers() -> None:
    sheet = team.read_sheet(f"\n{PLAIN.strip()},,\n\nA,62,39,,\n,,,,\nB,63,39,,\n")
    assert [(row.number, row.name) for row in sheet.rows] == [(4, "A"), (6, "B")]
    assert len(sheet.columns) == 3


def test_a_cell_of_several_lines_counts_as_one_row() -> None:
    sheet = team.read_sheet(f'{PLAIN}"A\nof\nB",62,39\nC,63,39\n')
    assert [row.number for row in sheet.rows] == [2, 3]


@pytest.mark.parametrize(
    "bad", ['"A,62,39', 'A,"62"x,39', 'A,62,"39'], ids=["opens", "in the middle", "at the end"]
)
@pytest.mark.parametrize("place", [0, 1, 2])
def test_a_damaged_row_stops_no_other(bad: str, place: int) -> None:
    good = ["B,63,39", "C,64,40"]
    good.insert(place, bad)
    sheet = team.read_sheet(PLAIN + "\n".join(good))
    broken = [row for row in sheet.rows if row.errors]
    assert [row.number for row in broken] == [place + 2]
    assert broken[0].errors[0]["code"] == "damaged"
    assert [row.name for row in sheet.rows if not row.errors] == ["B", "C"]


def test_a_quotation_mark_that_swallows_many_rows_is_given_back() -> None:
    rows = [f"L{i},62,39" for i in range(40)]
    rows[3], rows[37] = '"L3,62,39', 'L37,62,39"'
    sheet = team.read_sheet(PLAIN + "\n".join(rows))
    assert [row.number for row in sheet.rows if row.errors] == [5]
    assert len(sheet.rows) == 40


# ---- the header


@pytest.mark.parametrize(
    ("header", "key", "unit"),
    [
        ("Arm length (cm)", "arm_length", "cm"),
        ("arm_length_in", "arm_length", "in"),
        ("ArmLength", "arm_length", ""),
        ("ARM LENGTH [mm]", "arm_length", "mm"),
        ("arm-length, m", "arm_length", "m"),
        ("Arm length in cm", "arm_length", "cm"),
        ("Length of the arm (inches)", "arm_length", "in"),
        ('Arm (")', "arm_length", "in"),
        ("Shoulder breadth [mm]", "shoulder_breadth", "mm"),
        ("Biacromial breadth", "shoulder_breadth", ""),
        ("shoulder-width (feet)", "shoulder_breadth", "ft"),
        ("Body mass lb", "body_mass", "lb"),
        ("Bodyweight (kg)", "body_mass", "kg"),
        ("Weight (pounds)", "body_mass", "lb"),
        ("Chest height, flat (cm)", "chest_flat", "cm"),
        ("Chest (cm) arched", "chest_arched", "cm"),
        ("Height", "stature", ""),
        ("Wingspan {in}", "span", "in"),
        ("Present grip (cm)", "current_grip", "cm"),
        ("Touch point", "current_touch", ""),
        ("L arm length", "left.arm_length", ""),
        ("Upper arm right (cm)", "right.upper_arm", "cm"),
        ("Lifter", "name", ""),
        ("Athlete’s name", "name", ""),
        ("Sex", "sex", ""),
        ("Rulebook", "rules", ""),
        ("Ring marks", "bar", ""),
        ("Comfort", "comfort", ""),
        ("Ｂｅｎｃｈ height（cm）", "bench_height", "cm"),
    ],
)
def test_headers_are_matched_generously(header: str, key: str, unit: str) -> None:
    column = match(header, HEADERS)
    assert (column.key, column.unit, column.state) == (key, unit, "used")


@pytest.mark.parametrize("key", sorted(set(MEASURES) & set(HEADERS.measures)))
def test_every_tape_number_goes_by_its_own_label_and_key(key: str) -> None:
    label, unit = str(HEADERS.labels[key]), "kg" if MEASURES[key].kind == "mass" else "cm"
    for header in (label, key, f"{label} ({unit})"):
        assert match(header, HEADERS).key == key


def test_no_name_means_two_columns() -> None:
    said = {key: names for key, (_, names) in OF_ANY.items()}
    said |= {key: m.names for key, m in HEADERS.measures.items()}
    said |= {one.key: one.names for one in LIFT.choices}
    names = [(" ".join(sorted(name.split())), key) for key, all_ in said.items() for name in all_.split("|")]
    for (name, key), (other, other_key) in itertools.combinations(names, 2):
        assert name != other or key == other_key


@pytest.mark.parametrize(
    ("header", "options"),
    [
        ("Shoulders", ("shoulder_breadth", "shoulder_height", "joint_width", "comfort")),
        ("chest (cm)", ("chest_flat", "chest_arched")),
        ("Reach", ("arm_length", "span")),
        ("Arm length (kg)", ("arm_length",)),
        ("Body weight (cm)", ("body_mass",)),
    ],
)
def test_unclear_headers_are_named_and_not_used(header: str, options: tuple[str, ...]) -> None:
    sheet = team.read_sheet(f"Lifter,Arm length (cm),Shoulder breadth (cm),{header}\nA,62,39,25")
    column = sheet.columns[3]
    assert (column.state, column.key, column.options) in [("unclear", "", options)]
    assert any(header in note for note in map(str, sheet.notes))
    assert sheet.rows[0].request["fields"] == {"arm_length": "62", "shoulder_breadth": "39"}


def test_two_columns_of_the_same_are_both_named_and_neither_used() -> None:
    sheet = team.read_sheet("Lifter,Arm length (cm),Shoulder breadth,Grip,Present grip\nA,62,39,60,70")
    assert [c.state for c in sheet.columns[3:]] == ["twice", "twice"]
    assert "current_grip" not in sheet.rows[0].request["fields"]
    assert sum("“Grip” and “Present grip”" in note for note in map(str, sheet.notes)) == 1


def test_unknown_columns_are_named_and_carried_through() -> None:
    sheet = team.read_sheet("Lifter,Arm,Shoulder width,Locker,Chest girth,\nA,62,39,17,110,x")
    assert any("Locker" in note for note in map(str, sheet.notes))
    assert any("Chest girth" in note for note in map(str, sheet.notes))
    assert any("Column 6 has no name" in note for note in map(str, sheet.notes))
    out = list(csv.reader(io.StringIO(team.write_sheet(sheet, {}).removeprefix("\ufeff"))))
    assert out == [
        ["Lifter", "Arm", "Shoulder width", "Locker", "Chest girth", ""],
        ["A", "62", "39", "17", "110", "x"],
    ]


def test_a_missing_column_is_an_error_that_says_what_stands_there() -> None:
    sheet = team.read_sheet("Lifter;Arm length;Shoulders\nA;62;39")
    (wrong,) = sheet.errors
    assert (wrong.field, wrong.code) == ("shoulder_breadth", "no_column")
    assert "“Shoulders” could be" in wrong.message and "Shoulder breadth (cm)" in wrong.remedy
    assert sheet.rows == ()


def test_a_header_can_be_settled_by_hand() -> None:
    row = only_row(
        "Who,A,B (in)\nMara,62,15.5", assign={"A": "arm_length", "B (in)": "shoulder_breadth"}, unit="cm"
    )
    assert row.request["fields"] == {"arm_length": "62", "shoulder_breadth": "15.5 in"}
    columns = read_header(["Grip", "Arm"], HEADERS, {"Grip": "", "Arm": "nonsense"})
    assert [c.key for c in columns] == ["", "arm_length"]


def test_a_header_below_a_title_and_above_units() -> None:
    sheet = team.read_sheet(
        "Spring block\n\nLifter,Arm length,Shoulder breadth,Weight\n,mm,cm,lb\nA,620,39,165"
    )
    (row,) = sheet.rows
    assert row.request["fields"] == {"arm_length": "620 mm", "shoulder_breadth": "39", "body_mass": "165 lb"}
    assert (row.number, sheet.lines[sheet.header].number) == (5, 3)


def test_a_header_without_a_unit_whose_numbers_fit_another_is_told() -> None:
    sheet = team.read_sheet("Lifter,Arm length,Shoulder breadth\nA,24.5,39\nB,26,40")
    assert any("“Arm length”" in note and "fit with the unit “in”" in note for note in map(str, sheet.notes))


# ---- the rows


@pytest.mark.parametrize(
    ("header", "cell", "unit", "said"),
    [
        ("Arm length (in)", "26 1/4", "cm", "26 1/4 in"),
        ("Arm length (cm)", "26 1/4 in", "cm", "26 1/4 in"),
        ("Arm length", "66,5", "cm", "66,5"),
        ("Arm length (cm)", "66.5", "in", "66.5 cm"),
        ("Arm length (mm)", "665", "cm", "665 mm"),
        ("Arm length (ft)", "2.2", "cm", "2.2 ft"),
        ("Arm length", "2 ft 2 in", "cm", "2 ft 2 in"),
    ],
)
def test_units_come_from_cell_header_and_sheet_in_this_order(
    header: str, cell: str, unit: str, said: str
) -> None:
    row = only_row(f"Lifter;{header};Shoulder breadth (cm)\nA;{cell};41", unit=unit)
    assert row.request["fields"]["arm_length"] == said
    assert team.fit_row(row).ok


def test_a_unit_column_is_for_its_row() -> None:
    sheet = team.read_sheet(
        "Lifter,Arm length,Shoulder breadth,Weight,Unit\nA,66,41,90,cm\nB,26,16,200,inches\nC,66,41,90,ell"
    )
    assert sheet.rows[1].request["fields"] == {
        "arm_length": "26 in",
        "shoulder_breadth": "16 in",
        "body_mass": "200 lb",
    }
    assert sheet.rows[2].errors[0]["field"] == "unit" and "ell" in str(sheet.rows[2].errors[0]["message"])


def test_the_headers_settle_the_unit_of_the_results() -> None:
    assert team.read_sheet("Lifter,Arm length (in),Shoulder breadth (in)\nA,26,16").unit == "in"
    assert team.read_sheet("Lifter,Arm length,Shoulder breadth\nA,66,41").unit == "cm"
    assert team.read_sheet("Lifter,Arm length (in),Shoulder breadth (in)\nA,26,16", "cm").unit == "cm"


def test_choices_are_read_in_words() -> None:
    row = only_row(
        "Lifter,Arm,Shoulder width,Sex,Rules,Ring marks,Comfort,Preference\n"
        'A,66,41,F,Training,91 cm,"careful, past trouble",25 %\n'
    )
    choices = {key: value for key, value in row.request.items() if key not in ("unit", "fields")}
    assert choices == {
        "sex": "female",
        "rules": "none",
        "bar": "training",
        "comfort": "careful",
        "preference": 0.25,
    }


@pytest.mark.parametrize(
    ("cells", "field", "code"),
    [
        ("A,6.1,39,,,,", "arm_length", "out_of_range"),
        ("A,sixty,39,,,,", "arm_length", "not_a_number"),
        ("A,62,,,,,", "shoulder_breadth", "missing"),
        ("A,62,n/a,,,,", "shoulder_breadth", "missing"),
        ("A,62,39,maybe,,,", "sex", "not_a_choice"),
        ("A,62,39,,ours,,", "rules", "not_a_choice"),
        ("A,62,39,,,7,", "preference", "out_of_range"),
        ("A,62,39,,,,99", "thumb_length", "out_of_range"),
        ("A,66,5,39,5,m,ipf,0.5", "", "too_many_cells"),
    ],
)
def test_what_is_wrong_with_a_row_names_field_given_and_remedy(cells: str, field: str, code: str) -> None:
    header = "Lifter,Arm length,Shoulder breadth,Sex,Rules,Preference,Thumb\n"
    sheet = team.read_sheet(f"{header}Z,63,40,m,ipf,0.5,\n{cells}\nY,64,41,,,,\n")
    results = [team.fit_row(row) for row in sheet.rows]
    assert [one.ok for one in results] == [True, False, True]
    wrong = results[1].errors[0]
    assert (results[1].number, wrong["field"], wrong["code"]) == (3, field, code)
    assert wrong["remedy"] and str(wrong["message"]) in str(results[1].cells["problem"])
    if wrong["given"]:
        assert str(wrong["given"]) in str(wrong["message"])


def test_a_lifter_without_a_name_is_called_by_its_row() -> None:
    assert only_row("Arm,Shoulder width\n62,39").plain()["name"] == Said("sheet_row", {"number": 2})
    assert only_row("First name,Surname,Arm,Shoulder width\nMara,Feld,62,39").name == "Mara Feld"


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_the_setup_is_the_one_the_fit_screen_shows(unit: str) -> None:
    sheet = team.read_sheet(team.example_sheet(unit))
    assert sheet.unit == unit and len(sheet.rows) == 4
    for row in sheet.rows:
        cells = Voice(unit=unit).all(dict(team.fit_row(row).cells))
        screen = json.loads(view.answer(json.dumps(row.request)))
        for n in [*screen["headline"], *screen["measures"]]:
            cell, shown = (read_quantity(text, {"": 1.0}, "") for text in (cells[n["key"]], n["value"]))
            assert cell == pytest.approx(shown, abs=1 / 16 if unit == "in" else 1e-9)
        assert cells["why"] == " ".join(reason["message"] for reason in screen["reasons"])
        gain = screen["gain"]
        assert cells["gain"] == (f"{gain['decision']} {gain['text']}" if gain else "")
        assert cells["ring"] == screen["marks"][0]["text"]


def test_single_sides_and_thumbs_count() -> None:
    both = only_row("Lifter,Arm,Shoulder width,Left arm length,Thumb\nA,66,41,64.5,6.5")
    one = only_row("Lifter,Arm,Shoulder width\nA,66,41")
    assert team.fit_row(both).ok
    assert team.fit_row(both).cells["range_of_motion"] != team.fit_row(one).cells["range_of_motion"]


# ---- the sheet that goes out


def test_the_result_keeps_the_dialect_and_goes_in_again() -> None:
    text = "Notiz;Lifter;Arm length (cm);Shoulder breadth (cm)\r\nα;Mara;62,5;39\r\nβ;Nemo;;39\r\n"
    sheet = team.read_sheet(text)
    out = team.write_sheet(sheet, fitted(sheet))
    assert out.startswith("\ufeffNotiz;Lifter;Arm length (cm);Shoulder breadth (cm);Setup: grip")
    assert out.endswith("\r\n") and out.count("\r\n") == 3
    again = team.read_sheet(out.encode())
    assert (again.encoding, again.delimiter, again.decimal) == ("UTF-8", ";", ",")
    assert [row.request for row in again.rows] == [row.request for row in sheet.rows]
    assert team.write_sheet(again, fitted(again)) == out
    grip = out.split("\r\n")[1].split(";")[4]
    assert float(grip.replace(",", ".")) == float(fitted(sheet)[2]["grip"])


def test_what_a_result_rests_on_is_a_column_and_sheets_from_before_it_come_in() -> None:
    text = "Lifter,Arm length (cm),Shoulder breadth (cm),Chest arched (cm),Rulebook,Comfort\r\n"
    sheet = team.read_sheet(text + "Mara,62.5,39,,,\r\nJona,66,41,29,training,careful\r\n")
    out = team.write_sheet(sheet, fitted(sheet))
    header, mara, jona = list(csv.reader(io.StringIO(out.removeprefix("\ufeff"))))[:3]
    at = header.index("Setup: based on")
    assert mara[at] == "81 cm, elbow depth; rings 81 cm; usual shoulders; flat; 2 taped"
    assert jona[at] == "none (training); rings 81 cm; careful shoulders; arched; 3 taped"
    before = [[cell for i, cell in enumerate(row) if i != at] for row in (header, mara, jona)]
    older = io.StringIO(newline="")
    csv.writer(older).writerows(before)
    again = team.read_sheet(older.getvalue())
    assert not again.errors and [c.state for c in again.columns].count("replaced") == len(header) - 7
    assert team.write_sheet(again, fitted(again)) == out


def test_every_length_of_the_result_has_its_unit_in_the_header() -> None:
    for unit in ("cm", "in"):
        sheet = team.read_sheet(team.example_sheet(unit))
        header = next(csv.reader(io.StringIO(team.write_sheet(sheet, fitted(sheet)))))
        for result in LIFT.results:
            if result.length:
                assert f"{result.header} ({unit})" in header


# OWASP, "CSV Injection": equals, plus, minus, at, tab (0x09), CR (0x0D), LF (0x0A), full-width forms;
# the commands are made up.
STARTS = ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠", "\0"]


@pytest.mark.parametrize("start", STARTS, ids=ascii)
@pytest.mark.parametrize("rest", ["1+1", 'cmd|"/c x"!A1', "SUM(A1:A2)", "HYPERLINK(0)"])
def test_no_cell_starts_a_formula(start: str, rest: str) -> None:
    assert team.harmless(start + rest) == f"'{start}{rest}"
    assert team.harmless(f"  {start}{rest}").startswith("'")


@pytest.mark.parametrize("number", ["-5", "+3", "-66,5", "-66.5", "-1.5E-3", "-5 %", "-", "0", "12"])
def test_numbers_stay_numbers(number: str) -> None:
    assert team.harmless(number) == number


@pytest.mark.parametrize("quoted", [True, False])  # a cell with quotation marks is put into others
@pytest.mark.parametrize("other", [",", ";", "\t"])
def test_no_formula_for_a_reader_with_another_delimiter_either(other: str, quoted: bool) -> None:
    evil = f'x{other}=1+1{other}"=2+2{other} =3+3{other} " =4+4'
    evil = evil if quoted else evil.replace('"', "")
    sheet = team.read_sheet(
        f"{PLAIN.strip()},@Note\n" + ",".join(['"' + evil.replace('"', '""') + '"', "62", "39", "=3"])
    )
    out = team.write_sheet(sheet, fitted(sheet)).removeprefix("\ufeff")
    for delimiter in (",", ";", "\t"):
        for cells in csv.reader(io.StringIO(out, newline=""), delimiter=delimiter):
            for cell in cells:
                assert not cell.lstrip('" ').startswith(tuple(STARTS)), cell


def test_names_and_headers_are_neutralised_too() -> None:
    sheet = team.read_sheet("=Lifter(),Arm,Shoulder width,Lifter\n1,62,39,=cmd()")
    out = team.write_sheet(sheet, fitted(sheet)).splitlines()
    assert out[0].startswith("\ufeff'=Lifter(),") and ",'=cmd()," in out[1]


# ---- the questions of the page


def ask(want: str, **more: Any) -> dict[str, Any]:
    answered = json.loads(view.answer(json.dumps({"want": f"team/{want}", **more})))
    assert {"ok", "errors", "warnings"} <= answered.keys()
    return answered


def test_the_page_reads_fits_and_writes() -> None:
    text = ask("example", unit="cm")["text"] + "Nemo,6.2,39\n"
    read = ask("read", text=text)
    assert read["ok"] and len(read["rows"]) == 5
    (problem,) = read["problems"]
    assert (problem["row"], problem["column"], problem["given"]) == (6, "Arm length (cm)", "6.2")
    assert read["rows"][0]["understood"]["arm_length"] == "62.0 cm"
    got = ask("fit", rows=read["rows"][:3])["results"]
    assert [one["ok"] for one in got] == [True, True, True]
    fragment = got[0]["fragment"]
    opened = json.loads(view.answer(json.dumps({"want": "open", "fragment": fragment})))["request"]
    assert opened["fields"] == read["rows"][0]["request"]["fields"]
    written = ask("write", text=text, results={str(one["row"]): one["cells"] for one in got})
    sheet = team.read_sheet(text)
    assert written["csv"] == team.write_sheet(sheet, {one["row"]: one["cells"] for one in got})
    assert written["headers"]["grip"] == "Setup: grip between the forefingers (cm)"


def test_a_file_arrives_as_its_bytes() -> None:
    data = team.example_sheet().encode("utf-16")
    assert ask("read", base64=base64.b64encode(data).decode())["how"].endswith("UTF-16")
    assert ask("read", base64="no base64!")["errors"][0]["code"] == "damaged"


def test_what_the_page_may_get_wrong_is_an_error_in_words() -> None:
    for want, more in (
        ("read", {}),
        ("read", {"text": 5}),
        ("read", {"text": PLAIN, "unit": "ell"}),
        ("read", {"text": PLAIN, "assign": []}),
        ("fit", {}),
        ("fit", {"rows": [{}] * 21}),
        ("fit", {"rows": [{}]}),
        ("write", {"text": "a"}),
        ("nothing", {}),
    ):
        answered = ask(want, **more)
        assert not answered["ok"]
        assert all(e["message"] and e["remedy"] for e in answered["errors"]) and answered["errors"]


def test_a_missing_column_still_shows_the_columns() -> None:
    read = ask("read", text="Who,A,B\nMara,62,39")
    assert not read["ok"] and [c["header"] for c in read["columns"]] == ["Who", "A", "B"]
    assert {k["key"] for k in read["keys"]} >= {"arm_length", "shoulder_breadth"}


# ---- the command


def run(capsys: pytest.CaptureFixture[str], *arguments: object) -> tuple[int, str]:
    status = cli.main(["team", *map(str, arguments)])
    captured = capsys.readouterr()
    assert captured.out == ""
    return status, captured.err


@pytest.fixture
def sheet_file(tmp_path: Path) -> Path:
    file = tmp_path / "in.csv"
    file.write_text(team.example_sheet() + "Nemo,6.2,39\n", encoding="utf-8")
    return file


def test_command_writes_the_sheet(sheet_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = sheet_file.with_name("out.csv")
    status, said = run(capsys, sheet_file, out)
    assert status == 0
    assert "4 setups; no setup for row 6: see the last column" in said and "clinician" in said
    sheet = team.read_sheet(sheet_file.read_bytes())
    assert out.read_bytes().decode() == team.write_sheet(sheet, fitted(sheet))
    assert sorted(p.name for p in sheet_file.parent.iterdir()) == ["in.csv", "out.csv"]
    assert "\r" not in said  # no progress bar where nobody watches


def test_command_takes_the_unit(sheet_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = sheet_file.with_name("out.csv")
    assert run(capsys, sheet_file, out, "--unit", "in")[0] == 0
    assert "forefingers (in)" in out.read_text("utf-8")


def test_command_never_writes_over_the_sheet_that_comes_in(
    sheet_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = sheet_file.read_bytes()
    link = sheet_file.with_name("same.csv")
    link.symlink_to(sheet_file)
    for out in (sheet_file, link, sheet_file.parent / "." / "in.csv"):
        status, said = run(capsys, sheet_file, out, "--force")
        assert status == 2 and said.count("\n") == 1 and "being read" in said
    assert sheet_file.read_bytes() == before


def test_command_replaces_only_when_told(sheet_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = sheet_file.with_name("out.csv")
    out.write_text("mine")
    status, said = run(capsys, sheet_file, out)
    assert status == 2 and "--force" in said and out.read_text() == "mine"
    assert run(capsys, sheet_file, out, "--force")[0] == 0
    assert out.read_text("utf-8").startswith("\ufeffLifter")


def test_command_leaves_nothing_behind_when_stopped(
    sheet_file: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(row: team.Row) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(command, "fit_row", stop)
    status, said = run(capsys, sheet_file, sheet_file.with_name("out.csv"))
    assert status == 130 and "nothing was written" in said
    assert [p.name for p in sheet_file.parent.iterdir()] == ["in.csv"]


def test_command_leaves_nothing_behind_when_the_disk_is_full(
    sheet_file: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(source: str, target: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(command.os, "replace", full)
    status, said = run(capsys, sheet_file, sheet_file.with_name("out.csv"))
    assert status == 2 and "No space left" in said
    assert [p.name for p in sheet_file.parent.iterdir()] == ["in.csv"]


@pytest.mark.parametrize(
    ("given", "wanted"),
    [
        ("none.csv", "out.csv"),
        (".", "out.csv"),
        ("in.csv", "no/such/out.csv"),
        ("in.csv", "."),
        ("empty.csv", "out.csv"),
        ("zip.csv", "out.csv"),
        ("nocolumn.csv", "out.csv"),
    ],
)
def test_command_refuses_in_one_line(
    given: str, wanted: str, sheet_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = sheet_file.parent
    (folder / "empty.csv").write_text("")
    (folder / "zip.csv").write_bytes(b"PK\x03\x04")
    (folder / "nocolumn.csv").write_text("Lifter,Shoe\nA,44\n")
    before = sorted(p.name for p in folder.iterdir())
    status, said = run(capsys, folder / given, folder / wanted)
    assert status == 2 and said.count("\n") == 1 and said.startswith("shortlever: ")
    assert sorted(p.name for p in folder.iterdir()) == before


@pytest.mark.sweep
def test_many_rows_keep_their_order() -> None:
    lines = "".join(f"L{i},{60 + i / 10},39\n" for i in range(command.WORTH_SHARING + 5))
    rows = team.read_sheet(PLAIN + lines).rows
    assert [one.number for one in command.fit_all(rows)] == [row.number for row in rows]


def test_decode_says_which_encoding() -> None:
    assert decode("ä".encode())[1] == "UTF-8"
    assert HEADERS.measure("left.upper_arm") is MEASURES["upper_arm"]
