"""Reduce the ANSUR II people to the means and covariances that the core conditions on.

Source: ANSUR II public data set, 2012 US Army Anthropometric Survey (Gordon et al. 2014, NATICK/TR-15/007);
US Government work, public domain. `ansur2.csv` holds 4,082 men and 1,986 women, mm, weight in tenths of a kg.

Run `python tests/authorities/reduce_ansur.py` to write core/shortlever/person/population_data.py again.
"""

from __future__ import annotations

import csv
import pprint
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

HERE = Path(__file__).parent
OUT = HERE.parents[1] / "core" / "shortlever" / "person" / "population_data.py"

ORDER = (
    "stature",
    "span",
    "shoulder_breadth",
    "upper_arm",
    "forearm_to_grip",
    "body_mass",
    "chest_depth",
    "chest_drop",
    "hand_breadth",
    "hand_length",
    "acromion_height",
    "neck_height",
    "hip_height",
    "knee_height",
    "ankle_height",
    "foot_length",
    "hip_breadth",
    "sitting_height",
    "crotch_height",
    "knee_height_sitting",
    "thigh_clearance",
)


def people(sex: str) -> NDArray[np.float64]:
    """All people of one sex ("male", "female"), one row each, columns as ORDER, m and kg."""
    with open(HERE / "ansur2.csv", newline="") as file:
        rows = [r for r in csv.DictReader(file) if r["sex"] == sex[0].upper()]

    def column(name: str) -> NDArray[np.float64]:
        return np.array([float(r[name]) for r in rows]) / 1000

    # forearm-centre-of-grip is measured from behind the bent elbow; taking forearm-hand length away and hand
    # length back leaves the distance from the wrist crease to the middle of the grip
    wrist_to_grip = column("handlength") - column("forearmhandlength") + column("forearmcenterofgriplength")
    return np.column_stack(
        [
            column("stature"),
            column("span"),
            column("biacromialbreadth"),
            column("acromionradialelength"),
            column("radialestylionlength") + wrist_to_grip,
            column("weightkg") * 100,
            column("chestdepth"),
            column("acromialheight") - column("chestheight"),
            column("handbreadth"),
            column("handlength"),
            column("acromialheight"),
            column("cervicaleheight"),
            column("trochanterionheight"),
            column("lateralfemoralepicondyleheight"),
            column("lateralmalleolusheight"),
            column("footlength"),
            column("hipbreadth"),
            column("sittingheight"),
            column("crotchheight"),
            column("kneeheightsitting"),
            column("thighclearance"),
        ]
    )


def rounded(values: NDArray[np.float64]) -> Any:
    """Seven digits are more than the survey has."""
    if values.ndim == 1:
        return [float(f"{v:.7g}") for v in values]
    return [[float(f"{v:.7g}") for v in row] for row in values]


def reduced(sex: str) -> tuple[int, list[float], list[list[float]]]:
    """Count, means and covariances of one sex, as written to the core."""
    data = people(sex)
    return len(data), rounded(data.mean(axis=0)), rounded(np.cov(data, rowvar=False))


def main() -> None:
    tables = {sex: reduced(sex) for sex in ("male", "female")}
    text = '"""Means and covariances of 6,068 people (m, kg).\n\n'
    text += "ANSUR II, 2012 US Army Anthropometric Survey (Gordon et al. 2014, NATICK/TR-15/007), "
    text += "public domain.\n"
    text += 'Written by tests/authorities/reduce_ansur.py; not edited by hand.\n"""\n\n'
    text += f"# fmt: off\nORDER = {pprint.pformat(ORDER, width=100)}\n"
    for i, name in enumerate(("COUNT", "MEAN", "LOWER")):
        kind = ("int", "list[float]", "list[list[float]]")[i]
        values = {sex: tables[sex][i] for sex in tables}
        if name == "LOWER":  # a covariance is symmetric: its rows as far as the diagonal
            values = {sex: [row[: j + 1] for j, row in enumerate(rows)] for sex, rows in values.items()}
        body = pprint.pformat(values, width=108, compact=True, sort_dicts=False)
        text += f"\n{name}: dict[str, {kind}] = (\n{body}\n)\n"
    text += "\nCOVARIANCE: dict[str, list[list[float]]] = {\n"
    text += "    sex: [[rows[max(i, j)][min(i, j)] for j in range(len(ORDER))] for i in range(len(ORDER))]\n"
    text += "    for sex, rows in LOWER.items()\n}\n"
    OUT.write_text(text)


if __name__ == "__main__":
    main()
