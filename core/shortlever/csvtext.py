"""Cells of a CSV file that no spreadsheet runs as a formula.

OWASP, CSV Injection, and CWE-1236: an apostrophe in front of the cell. Plain numbers, negative ones too, stay
numbers.
"""

from __future__ import annotations

import re

# OWASP, CSV Injection: = + - @, tab, carriage return, line feed, full-width forms; ASVS 5.0, 1.2.10: NUL.
STARTS_A_FORMULA = tuple("=+-@\t\r\n\0＝＋－＠")
# a number, a share, and the dash that stands for nothing
_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?(?:[eE][+-]?\d+)?\s?%?|-")
# A spreadsheet that splits at another mark than ours must not find a formula inside a cell either.
_INNER = re.compile(r"([,;|\t\r\n][\" ]*)(?=[=+\-@＝＋－＠])")


def harmless(cell: str) -> str:
    """A cell that no spreadsheet runs.

    >>> harmless("=1+1"), harmless("-5"), harmless("Mara"), harmless("-5+cmd")
    ("'=1+1", '-5', 'Mara', "'-5+cmd")
    """
    if _NUMBER.fullmatch(cell):
        return cell
    cell = _INNER.sub(r"\1'", cell)
    return f"'{cell}" if cell.lstrip(" ").startswith(STARTS_A_FORMULA) else cell
