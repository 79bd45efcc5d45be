"""Team sheets: a CSV of tape numbers in, a CSV of setups out.

>>> from shortlever import team
>>> sheet = team.read_sheet("Lifter,Arm length (cm),Shoulder breadth (cm)\\nMara Feld,62,39\\nNemo,6.2,39")
>>> results = [team.fit_row(row) for row in sheet.rows]
>>> results[0].cells["grip"], results[1].errors[0]["given"]
('74.0', '6.2')
>>> out = team.write_sheet(sheet, {result.number: result.cells for result in results})
"""

from shortlever.csvtext import harmless
from shortlever.team.columns import Column
from shortlever.team.fit import Fitted, check_row, fit_row
from shortlever.team.rows import Row, Sheet, read_sheet
from shortlever.team.write import example_sheet, write_sheet

__all__ = [
    "Column",
    "Fitted",
    "Row",
    "Sheet",
    "check_row",
    "example_sheet",
    "fit_row",
    "harmless",
    "read_sheet",
    "write_sheet",
]
