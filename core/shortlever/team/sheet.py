"""From the bytes of a CSV file, as spreadsheets save them, to rows of cells.

RFC 4180 is the ground; beyond it: semicolons and tabs, a ``sep=;`` line, byte-order marks, UTF-16,
Windows-1252, any line end, blank lines, and single damaged rows that leave the others readable.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from encodings import (  # noqa: F401  (named, so that the browser's library holds them)
    cp1252,
    utf_8_sig,
    utf_16,
    utf_16_be,
    utf_16_le,
)

from shortlever.errors import InputError
from shortlever.say import Said, Text

MAX_BYTES, MAX_ROWS, MAX_COLUMNS = 1_000_000, 4_000, 200  # all of it fits into one question of the page
MAX_LINES_IN_CELL = 20  # a cell with more has swallowed the rows after a forgotten quotation mark
DELIMITERS = (",", ";", "\t")
NAMES = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar", ":": "colon"}
NO_TEXT = {
    b"PK\x03\x04": Said("sheet_is_zip"),
    b"\xd0\xcf\x11\xe0": Said("sheet_is_old"),
    b"%PDF": Said("sheet_is_pdf"),
    b"\x89PNG": Said("sheet_is_picture"),
    b"\xff\xd8\xff": Said("sheet_is_picture"),
    b"GIF8": Said("sheet_is_picture"),
}


@dataclass(frozen=True)
class Line:
    """One row of the sheet: its number as a spreadsheet counts (blank rows too), its cells, its damage."""

    number: int
    cells: tuple[str, ...]
    damage: Text = ""

    @property
    def blank(self) -> bool:
        """Whether there is nothing in it."""
        return not self.damage and not any(cell.strip() for cell in self.cells)


def decode(data: bytes) -> tuple[str, str]:
    """The text of a file and the name of its encoding; raises InputError for what is no text.

    >>> decode("Höhe".encode("utf-16"))
    ('Höhe', 'UTF-16')
    """
    check_size(len(data))
    for magic, kind in NO_TEXT.items():
        if data.startswith(magic):
            raise _bad("not_csv", kind, Said("sheet_not_csv_remedy"))
    tries = [("utf-8-sig", "UTF-8"), ("cp1252", "Windows-1252")]
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        tries = [("utf-16", "UTF-16")]
    elif b"\0" in data[:400]:  # UTF-16 without its mark: every second byte of plain Latin text is zero
        tries = [("utf-16-le" if data[1:2] == b"\0" else "utf-16-be", "UTF-16")]
    for codec, name in tries:
        try:
            text = data.decode(codec)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text, name
    raise _bad("not_text", Said("sheet_not_text"), Said("sheet_not_text_remedy"))


def check_size(count: int) -> None:
    """Refuse a file of more than MAX_BYTES bytes, or a text of more characters."""
    if count > MAX_BYTES:
        sizes = {"size": count / 1e6, "most": MAX_BYTES / 1e6}
        raise _bad("too_large", Said("sheet_too_large", sizes), Said("sheet_too_large_remedy"))


def declared(text: str) -> tuple[str, str | None]:
    """The text without the line ``sep=;`` that some spreadsheets put first, and the delimiter it names.

    >>> declared("sep=;\\r\\nName;Arm")
    ('Name;Arm', ';')
    """
    first, _, rest = text.lstrip("\ufeff").partition("\n")
    said = first.strip('\r" ')
    if (said[:4].lower() == "sep=" and said[4:5] in NAMES) or said.lower() == "sep=":
        return rest, said[4:5] or "\t"  # a tab may have been stripped
    return text.lstrip("\ufeff"), None


def lines_of(text: str, delimiter: str) -> list[Line]:
    """Every row of a text. A row whose quotation marks do not close is marked as damaged and left behind.

    >>> [line.cells for line in lines_of('Name,Arm\\n"Feld, Mara",62\\n', ",")]
    [('Name', 'Arm'), ('Feld, Mara', '62')]
    >>> [str(line.damage) for line in lines_of('a,"b\\nc,d', ",")]
    ['a quotation mark opens and never closes', '']
    """
    raw = list(io.StringIO(text, newline=""))
    found: list[Line] = []
    at = 0
    while at < len(raw):
        start = at
        reader = csv.reader(_from(raw, at), delimiter=delimiter, strict=True)
        damage: Text = ""
        try:
            for cells in reader:
                if max((cell.count("\n") for cell in cells), default=0) > MAX_LINES_IN_CELL:
                    damage = Said("quote_over_lines", {"most": MAX_LINES_IN_CELL})
                    break
                at = start + reader.line_num
                found.append(Line(len(found) + 1, tuple(cells)))
                _check_table(found)
        except csv.Error as wrong:
            closed = "end of data" not in str(wrong)
            damage = Said("quote_in_the_middle" if closed else "quote_never_closes")
        if damage:
            found.append(Line(len(found) + 1, tuple(raw[at].rstrip("\r\n").split(delimiter)), damage))
            _check_table(found)
            at += 1
    return found


def _from(raw: list[str], at: int) -> Iterator[str]:
    for i in range(at, len(raw)):
        yield raw[i]


def _check_table(found: list[Line]) -> None:
    if len(found) > MAX_ROWS:
        most = {"most": MAX_ROWS}
        raise _bad("too_many_rows", Said("sheet_too_many_rows", most), Said("sheet_too_many_rows_remedy"))
    if len(found[-1].cells) > MAX_COLUMNS:
        row = {"row": len(found), "cells": len(found[-1].cells), "most": MAX_COLUMNS}
        said = Said("sheet_too_many_columns", row)
        raise _bad("too_many_columns", said, Said("sheet_too_many_columns_remedy"))


def _bad(code: str, message: Text, remedy: Text) -> InputError:
    return InputError("sheet", code, "", message, remedy)
