"""Many lifters in rows, and the picture of one."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any
from xml.etree import ElementTree

import pytest

from shortlever import InputError, Setup, Tape, suggest
from shortlever.lifts import LIFTS
from shortlever.lifts.squat.library import suggest as suggest_squat
from shortlever.picture import Picture, picture
from shortlever.table import suggest_table

LONG: dict[str, Any] = {"name": "long arms", "arm_length": 0.72, "shoulder_breadth": "43 cm", "sex": "male"}
SHORT: dict[str, Any] = {
    "name": "short arms",
    "arm_length": "22 1/2 in",
    "shoulder_breadth": 0.36,
    "sex": None,
}
STANDING = {"arm_length": 0.72, "shoulder_breadth": 0.43, "stature": 1.8, "body_mass": 90.0, "sex": "male"}


def test_a_table_says_of_each_row_what_suggest_says() -> None:
    long, short = suggest_table([LONG, SHORT], preference=0.8)
    alone = suggest(Tape(arm_length=0.72, shoulder_breadth=0.43, sex="male"), preference=0.8)
    assert (long["name"], long["grip_m"], long["problem"]) == ("long arms", alone.setup.grip_m, "")
    assert long["tuck_deg"] == alone.measures.tuck_deg
    assert long["touch_tape_m"] == alone.marks.touch_tape_m
    assert short["name"] == "short arms" and short["grip_m"] < long["grip_m"]
    assert list(long) == [*LONG, *(key for key in short if key not in LONG)]


def test_a_row_that_cannot_be_used_says_why_and_stops_no_other() -> None:
    bare = {"arm_length": 66.5, "shoulder_breadth": 0.4}
    rows = suggest_table(
        [bare, LONG, {"name": "nobody"}, {"arm_length": float("nan"), "shoulder_breadth": ""}]
    )
    assert "0.665" in rows[0]["problem"] and "66.5 cm" in rows[0]["problem"]
    assert rows[1]["grip_m"] and not rows[1]["problem"]
    for row in rows[2:]:
        assert row["grip_m"] is None and row["problem"].startswith("Arm length")
    assert all({"grip_m", "touch_m", "problem"} <= set(row) for row in rows)


@pytest.mark.parametrize("lift", LIFTS)
def test_every_lift_takes_a_table(lift: str) -> None:
    (row,) = suggest_table([STANDING], lift)
    assert row["problem"] == "" and row["range_of_motion_m" if lift == "bench" else "stroke_m"] > 0.2


def test_options_go_to_the_lifts_own_suggest() -> None:
    (row,) = suggest_table([STANDING], "squat", bar_position="high")
    tape = Tape(**STANDING)
    assert row["stance_m"] == suggest_squat(tape, bar_position="high").setup.stance_m
    with pytest.raises(TypeError):
        suggest_table([STANDING], bar_position="high")


def test_what_is_no_table_is_refused() -> None:
    with pytest.raises(InputError, match="lift"):
        suggest_table([LONG], "snatch")
    with pytest.raises(TypeError, match="mapping"):
        suggest_table([0.72, 0.43])


@pytest.mark.parametrize("number", [Decimal("0.665"), Fraction(665, 1000)])
def test_numbers_of_other_libraries_are_numbers(number: Any) -> None:
    tape = Tape(arm_length=number, shoulder_breadth=0.416, left={"arm_length": number})
    assert tape == Tape(arm_length=0.665, shoulder_breadth=0.416, left={"arm_length": 0.665})
    assert type(tape.arm_length) is float and Setup(number, Decimal("0.12")) == Setup(0.665, 0.12)


def test_what_holds_several_numbers_is_none() -> None:
    class Several:
        def __float__(self) -> float:
            raise TypeError("several")

    with pytest.raises(InputError, match="not a number"):
        Tape(arm_length=Several())  # type: ignore[arg-type]


@pytest.mark.parametrize("lift", LIFTS)
def test_a_picture_stands_alone(lift: str) -> None:
    shown = picture(Tape(**STANDING), lift=lift)
    assert isinstance(shown, Picture)
    root = ElementTree.fromstring(shown._repr_svg_())
    assert root.get("class") == "shortlever" and ".fig-label" in str(root[0].text)
    drawn = {name for one in root.iter() for name in (one.get("class") or "").split()} - {"shortlever"}
    assert drawn and all(f".{name}" in str(root[0].text) for name in drawn)


def test_a_picture_shows_the_view_and_the_setup_asked_for() -> None:
    tape = Tape(**STANDING)
    assert picture(tape, view="above").svg != picture(tape).svg
    own = picture(tape, parts={"grip_m": 0.6, "touch_m": 0.12})
    assert "Grip 60.0 cm" in own.svg
    assert "23 1/2 in" in picture(tape, parts={"grip_m": 0.6, "touch_m": 0.12}, unit="in").svg
    with pytest.raises(InputError, match="side"):
        picture(tape, view="below")
    with pytest.raises(InputError, match="rules"):
        picture(tape, rules="none of them")
    with pytest.raises(TypeError, match="dept"):
        picture(tape, dept="rule")
