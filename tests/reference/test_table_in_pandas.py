"""Tables and numbers of the reference libraries go in and come out."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from shortlever import Setup, Tape
from shortlever.lifts.deadlift.setup import Setup as PullSetup
from shortlever.lifts.squat.measure import Setup as SquatSetup
from shortlever.table import suggest_table


def test_a_data_frame_goes_in_and_out() -> None:
    people = pd.DataFrame(
        {
            "name": ["long", "short", "nobody"],
            "arm_length": [0.72, 0.57, np.nan],
            "shoulder_breadth": pd.array([0.43, 0.36, pd.NA], dtype="Float64"),
            "sex": ["male", None, "female"],
        },
        index=[7, 3, 5],
    )
    found = suggest_table(people)
    assert isinstance(found, pd.DataFrame) and list(found.index) == [7, 3, 5]
    assert list(found["name"]) == ["long", "short", "nobody"]
    alone = suggest_table(people.to_dict("records"))
    assert found["grip_m"].iloc[:2].tolist() == [alone[0]["grip_m"], alone[1]["grip_m"]]
    assert found["grip_m"].dtype == float and np.isnan(found.loc[5, "grip_m"])
    assert found.loc[5, "problem"].startswith("Arm length") and found.loc[7, "problem"] == ""
    assert "grip_m" not in people, "what came in stays as it was"


@pytest.mark.parametrize("kind", [np.float32, np.float64, np.float16, np.asarray])
def test_numbers_of_numpy_are_numbers(kind: type) -> None:
    tape = Tape(arm_length=kind(0.665), shoulder_breadth=kind(0.416))
    assert type(tape.arm_length) is float
    assert tape.arm_length == pytest.approx(0.665, rel=1e-3)
    assert type(Setup(kind(0.7), kind(0.12), np.int64(100)).load_kg) is float
    assert type(SquatSetup(kind(0.5), kind(30.0)).stance_m) is float
    assert type(PullSetup("sumo", kind(0.8), kind(30.0), kind(0.45)).grip_m) is float
