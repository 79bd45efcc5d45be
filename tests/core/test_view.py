"""The one view-model: what a screen sends, and everything it shows, as JSON."""

from __future__ import annotations

import json
import math
import random
import re
import sys
import zlib
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree

import pytest

from shortlever import Body, InputError, Setup, Tape, assess, view
from shortlever.lifts import LIFTS
from shortlever.lifts.bench.press import Press
from shortlever.person.tape import MEASURES
from shortlever.units import LENGTH_UNITS, read_quantity
from shortlever.view.link import to_fragment

SVG = "{http://www.w3.org/2000/svg}"
TENTH_OF_A_CM = 0.001  # m, the last digit shown in cm
EIGHTH_OF_AN_INCH = 0.003175  # m, the last step shown in inches
GOOD = {"arm_length": "62", "shoulder_breadth": "39"}
FULL = {**GOOD, "chest_flat": "24", "chest_arched": "29", "current_grip": "60", "current_touch": "20"}


def asked(fields: Any, unit: Any = "cm", **more: Any) -> dict[str, Any]:
    """The answer to one request, checked for what every answer must hold."""
    return checked(view.answer(json.dumps({"unit": unit, "fields": fields, **more})))


def no_constant(name: str) -> Any:
    raise AssertionError(f"{name} in JSON")


def checked(text: str) -> dict[str, Any]:
    got = json.loads(text, parse_constant=no_constant)
    assert {"ok", "errors", "warnings", "reading"} <= set(got)
    assert got["ok"] == (not got["errors"])
    for error in got["errors"]:
        assert set(error) == {"field", "code", "given", "message", "remedy"}
        assert all(isinstance(value, str) for value in error.values())
        assert error["message"] and error["remedy"]
        assert len(error["given"]) <= 24 and len(error["message"]) < 200
        assert "Traceback" not in error["message"] and "Error" not in error["message"].replace("Error)", "")
    for warning in got["warnings"]:
        assert {"code", "field", "message"} == set(warning)
    assert all(isinstance(text, str) for text in got["reading"].values())
    return got


def metres(text: str) -> float:
    """'74.5 cm' or '29 1/4 in' in m."""
    return read_quantity(text, LENGTH_UNITS, "")


def by_key(rows: list[dict[str, str]]) -> dict[str, str]:
    return {row["key"]: f"{row['value']} {row['unit']}" for row in rows}


def test_shape_of_a_result() -> None:
    got = asked(FULL)
    assert got["ok"]
    assert [row["key"] for row in got["headline"]] == ["grip", "touch", "tuck"]
    assert all({"key", "label", "value", "unit", "note"} <= set(row) for row in got["headline"])
    assert [row["key"] for row in got["measures"]] == ["moment_arm", "range_of_motion"]
    assert isinstance(got["gain"]["text"], str)
    assert got["reasons"] and all(set(r) == {"code", "message"} for r in got["reasons"])
    assert {"svg", "title", "text", "table"} <= set(got["figure"])
    assert all(len(row) == 2 and all(isinstance(c, str) for c in row) for row in got["figure"]["table"])
    assert got["example"] is False


def test_the_example_says_so_and_nothing_else_does() -> None:
    assert checked(view.answer(json.dumps(view.example_request())))["example"] is True
    assert asked(GOOD, preference=0.2)["example"] is False
    assert asked({"arm_length": "63", "shoulder_breadth": "39"})["example"] is False


def test_form_lists_fields_with_ranges_and_examples_that_work() -> None:
    fields = view.form()
    keys = [field["key"] for field in fields]
    assert keys[:2] == ["arm_length", "shoulder_breadth"]
    assert [field["key"] for field in fields if field["required"]] == keys[:2]
    assert len(set(keys)) == len(keys)
    for field in fields:
        assert {"label", "hint", "unit_kind", "group", "step_cm", "step_in", "example_cm"} <= set(field)
        assert field["low_cm"] <= field["example_cm"] <= field["high_cm"]
        if field["key"] in MEASURES and field["unit_kind"] == "length":
            assert field["low_cm"] == pytest.approx(100 * MEASURES[field["key"]].low)
    assert asked({field["key"]: str(field["example_cm"]) for field in fields})["ok"]


def test_a_stepper_begins_where_the_model_takes_the_number_to_be() -> None:
    """The middle of men and women: the means of ANSUR II (Gordon et al. 2014), stature 1.756 and 1.629 m."""
    empty = {sex: asked({}, sex=sex)["begin"]["stature"] for sex in ("male", "female")}
    assert [(one["value"], one["from"]) for one in empty.values()] == [(175.62, "middle"), (162.85, "middle")]
    got = asked(GOOD)
    begin, given = got["begin"], got["numbers"]
    assert given == {"arm_length": 62.0, "shoulder_breadth": 39.0}
    assert set(begin) == {field["key"] for field in view.form()} - set(GOOD)
    body = Body.from_tape(Tape(arm_length=0.62, shoulder_breadth=0.39))
    for key, value in (
        ("chest_flat", body.chest_flat_m),
        ("chest_arched", body.chest_arched_m),
        ("shoulder_height", body.shoulder_height_m),
        ("joint_width", 2 * body.half_shoulder_m),
        ("hand_breadth", body.hand_breadth_m),
        ("stature", body.stature_m),
    ):
        assert begin[key]["from"] == "estimate" and begin[key]["value"] == pytest.approx(
            100 * value, abs=0.01
        )
    grip = by_key(got["headline"])["grip"]
    assert begin["current_grip"] == {
        "value": pytest.approx(100 * metres(grip), abs=0.01),
        "from": "suggestion",
    }
    assert begin["bench_height"] == {"value": 43.5, "from": "common"}
    wrong = asked({"arm_length": "6.1", "stature": "5 ft 8 in"}, "in")
    assert wrong["numbers"] == {"stature": 172.72} and "stature" not in wrong["begin"]


@pytest.mark.parametrize("lift", LIFTS)
def test_a_stepper_begins_at_a_number_that_is_allowed(lift: str) -> None:
    """In every lift, whoever it is: what is estimated may be taken, and the answer is hardly another."""
    for few in ({}, {"stature": "200"}, {"arm_length": "48", "body_mass": "44"}):
        mine = {one["key"] for one in view.form(lift)}
        typed = {key: text for key, text in few.items() if key in mine}
        begin = asked(typed, lift=lift)["begin"]
        assert set(begin) == mine - set(typed)
        full = asked(typed | {key: str(one["value"]) for key, one in begin.items()}, lift=lift)
        assert full["ok"], full["errors"]
        assert not [w for w in full["warnings"] if w["field"] in MEASURES], full["warnings"]


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_numbers_are_the_core_s_own(unit: str) -> None:
    """What is shown is the assessment of the shown, settable setup."""
    fields = GOOD if unit == "cm" else {"arm_length": "24.4094", "shoulder_breadth": "15.3543"}
    got = asked(fields, unit)
    shown = by_key(got["headline"])
    body = Body.from_tape(Tape(arm_length=0.62, shoulder_breadth=0.39))
    press = Press(body, load_kg=body.body_mass_kg)
    touch = press.chest.y_at_tape_m(metres(shown["touch"]))
    truth = assess(body, Setup(metres(shown["grip"]), touch, press.load_kg))
    tolerance = TENTH_OF_A_CM if unit == "cm" else EIGHTH_OF_AN_INCH
    measures = by_key(got["measures"])
    assert metres(measures["moment_arm"]) == pytest.approx(truth.moment_arm_m, abs=0.6 * tolerance)
    assert metres(measures["range_of_motion"]) == pytest.approx(truth.range_of_motion_m, abs=0.6 * tolerance)
    assert float(shown["tuck"].split()[0]) == pytest.approx(truth.tuck_deg, abs=0.6)


def test_shown_numbers_can_be_set() -> None:
    """Half centimetres and quarter inches."""
    for unit, step in (("cm", 0.5), ("in", 0.25)):
        got = asked({"arm_length": "62 cm", "shoulder_breadth": "39 cm"}, unit)
        for row in got["headline"][:2]:
            number = metres(f"{row['value']} {unit}") / LENGTH_UNITS[unit] / step
            assert number == pytest.approx(round(number), abs=1e-6)
            assert row["unit"] == unit


@pytest.mark.parametrize("arm", ["50", "58", "66", "74", "85"])
def test_inches_and_centimetres_agree(arm: str) -> None:
    """The same lifter in both: within one settable step of each (0.5 cm, 1/4 in) and its effect."""
    cm = asked({"arm_length": f"{arm} cm", "shoulder_breadth": "39 cm", "chest_arched": "28 cm"}, "cm")
    inch = asked({"arm_length": f"{arm} cm", "shoulder_breadth": "39 cm", "chest_arched": "28 cm"}, "in")
    for key in ("grip", "touch"):
        a, b = (metres(by_key(got["headline"])[key]) for got in (cm, inch))
        assert a == pytest.approx(b, abs=0.0075)
    for key in ("moment_arm", "range_of_motion"):
        a, b = (metres(by_key(got["measures"])[key]) for got in (cm, inch))
        assert a == pytest.approx(b, abs=0.0075)


def test_bare_numbers_are_read_in_the_form_s_unit() -> None:
    a = asked({"arm_length": "24.4", "shoulder_breadth": "15.4"}, "in")
    b = asked({"arm_length": "24.4 in", "shoulder_breadth": "15.4 in"}, "in")
    assert a == b
    assert a["reading"]["arm_length"] == "24 3/8 in" and a["numbers"]["arm_length"] == 61.976
    c = asked({"arm_length": "24.4 in", "shoulder_breadth": "15.4 in"}, "cm")
    assert c["reading"]["arm_length"].endswith(" cm")
    assert metres(c["reading"]["arm_length"]) == pytest.approx(24.4 * 0.0254, abs=0.0006)


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("61", "61.0 cm"),
        ("61,5", "61.5 cm"),
        ("61 cm", "61.0 cm"),
        ("24 1/2 in", "62.2 cm"),
        ("0,61 m", "61.0 cm"),
    ],
)
def test_unambiguous_texts_are_accepted_and_said_back(typed: str, read: str) -> None:
    got = asked({**GOOD, "arm_length": typed})
    assert got["ok"]
    assert got["reading"]["arm_length"] == read


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("", "missing"),
        ("   ", "missing"),
        ("words", "not_a_number"),
        ("1,5", "out_of_range"),
        ("6.1", "out_of_range"),
        ("610", "out_of_range"),
        ("-61", "out_of_range"),
        ("0", "out_of_range"),
        ("44.9", "out_of_range"),
        ("90.1", "out_of_range"),
        ("inf", "not_a_number"),
        ("nan", "not_a_number"),
        ("1e3", "not_a_number"),
        ("61 62", "not_a_number"),
        ("61 kg", "not_a_number"),
        ("9" * 100_000, "not_a_number"),
        ("\x00\u202e61", "not_a_number"),
        ("<script>alert(1)</script>", "not_a_number"),
    ],
    ids=lambda v: repr(v)[:16],
)
@pytest.mark.parametrize("unit", ["cm", "in"])
def test_bad_input_names_field_value_range_and_remedy(typed: str, code: str, unit: str) -> None:
    if unit == "in" and code == "out_of_range":
        typed += " cm"
    got = asked({**GOOD, "arm_length": typed, "shoulder_breadth": "39 cm"}, unit)
    assert not got["ok"]
    (error,) = got["errors"]
    assert error["field"] == "arm_length"
    assert error["code"] == code
    assert error["message"].startswith("Arm length")
    told = f"{error['message']} {error['remedy']}"
    assert ("45 to 90 cm" if unit == "cm" else "17 3/4 to 35 3/8 in") in told
    if code != "missing":
        assert error["given"] and (error["given"] in typed or error["given"].endswith("…"))
        assert error["given"] in error["message"]
    assert error["remedy"].endswith(".")
    assert "shoulder_breadth" in got["reading"]  # what could be read is still said back


def test_every_bad_field_is_named_at_once() -> None:
    keys = [field["key"] for field in view.form()]
    got = asked(dict.fromkeys(keys, "words"))
    assert [error["field"] for error in got["errors"]] == keys


def test_a_bad_optional_field_is_named_too() -> None:
    got = asked({**GOOD, "chest_arched": "6"})
    assert [error["field"] for error in got["errors"]] == ["chest_arched"]
    assert "13 to 60 cm" in got["errors"][0]["message"]


def test_empty_optional_fields_and_unknown_ones_change_nothing() -> None:
    plain = asked(GOOD)
    padded = asked({**GOOD, "chest_flat": "", "current_grip": "  ", "bogus": "61"})
    assert {**plain, "example": None} == {**padded, "example": None}


@pytest.mark.parametrize("unit", ["m", "", None, 1, [], {}, "CM", ["cm"]], ids=repr)
def test_an_unknown_unit_is_an_error(unit: Any) -> None:
    (error,) = asked(GOOD, unit)["errors"]
    assert error["field"] == "unit"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "null",
        "[]",
        "1",
        '"x"',
        "{",
        "{}",
        "NaN",
        '{"unit":"cm"}',
        '{"unit":"cm","fields":null}',
        '{"unit":"cm","fields":[1,2]}',
        '{"unit":"cm","fields":"arm_length"}',
        '{"unit":"cm","fields":{"arm_length":61,"shoulder_breadth":40}}',
        '{"unit":"cm","fields":{"arm_length":null,"shoulder_breadth":{}}}',
        '{"unit":"cm","fields":{"arm_length":"\\ud800","shoulder_breadth":"40"}}',
        "[" * 100_000,
        '{"a":' * 5_000,
        "9" * 10_000,
        "\x00",
    ],
    ids=lambda v: v[:24],
)
def test_garbage_is_answered_never_raised(text: str) -> None:
    got = checked(view.answer(text))
    assert not got["ok"]
    text_again = json.dumps(got)
    assert len(text_again) < 5000


@pytest.mark.parametrize("key", ["rules", "bar", "comfort", "sex"])
@pytest.mark.parametrize("value", ["bogus", 5, None, [], {}, True], ids=repr)
def test_unknown_choices_are_named(key: str, value: Any) -> None:
    got = asked(GOOD, **{key: value})
    assert [error["field"] for error in got["errors"]] == [key]


@pytest.mark.parametrize("more", [{"preference": p} for p in ("x", None, 7, -1, [], 10**400)], ids=str)
def test_an_odd_preference_does_not_stop_a_result(more: dict[str, Any]) -> None:
    assert asked(GOOD, **more)["ok"]


@pytest.mark.parametrize(
    "choice",
    [
        {"grip_m": 0.7, "touch_m": 0.12},
        {"grip_m": 99, "touch_m": -99},
        {"grip_m": 10**400, "touch_m": 0.1},
        {"grip_m": "wide"},
        {},
        [],
        "x",
        5,
    ],
    ids=lambda v: str(v)[:24],
)
def test_a_picked_choice_is_pulled_inside_or_ignored(choice: Any) -> None:
    got = asked(GOOD, choice=choice)
    assert got["ok"]
    assert 0.3 < metres(by_key(got["headline"])["grip"]) <= 0.81


def test_random_garbage_never_raises_and_never_holds_nan() -> None:
    rng = random.Random(1)
    alphabet = "0123456789.,-+ '\"½/eEcmin ftx\x00\n€🙂" + "6" * 20
    for _ in range(300):
        fields = {
            key: "".join(rng.choice(alphabet) for _ in range(rng.randrange(0, 7)))
            for key in ("arm_length", "shoulder_breadth", "chest_flat", "current_grip")
        }
        asked(fields, rng.choice(["cm", "in"]))


@pytest.mark.sweep
def test_random_good_numbers_give_a_result_or_a_named_reason() -> None:
    rng = random.Random(2)
    for _ in range(12):
        fields = {
            key: f"{rng.uniform(MEASURES[key].low, MEASURES[key].high):.4f} m"
            for key in ("arm_length", "shoulder_breadth", "chest_flat", "chest_arched")
        }
        fields["current_grip"] = f"{rng.uniform(0.25, 1.1):.4f} m"
        fields["current_touch"] = f"{rng.uniform(0.02, 0.4):.4f} m"
        got = asked(fields)
        assert got["ok"] or [error["code"] for error in got["errors"]] == ["infeasible"]


def test_present_setup_gains_and_warnings() -> None:
    for grip, way in (("60", "shorter"), ("80", "longer")):
        gained = asked(FULL | {"current_grip": grip})
        present, suggested = (one["stroke_m"] for one in gained["trial"])
        share = round(100 * abs(suggested / present - 1))
        assert f"range of motion {share} % {way}" in gained["gain"]["text"]
    assert asked(GOOD)["gain"] is None
    far = asked({"arm_length": "46", "shoulder_breadth": "28", "current_grip": "110"})
    assert far["ok"]
    assert far["gain"] is None
    assert "present_out_of_reach" in [warning["code"] for warning in far["warnings"]]


def test_warnings_of_the_tape_and_of_lying_flat() -> None:
    assert "no_arch" in [w["code"] for w in asked(GOOD)["warnings"]]
    odd = asked({**GOOD, "chest_flat": "30", "chest_arched": "24"})["warnings"]
    assert [(w["code"], w["field"]) for w in odd if w["code"] == "arch_below_flat"] == [
        ("arch_below_flat", "chest_arched")
    ]


def parts(svg: str) -> ElementTree.Element:
    root = ElementTree.fromstring(svg)
    assert root.tag == SVG + "svg"
    return root


def of_class(root: ElementTree.Element, kind: str, tag: str) -> list[ElementTree.Element]:
    return [e for e in root.iter(SVG + tag) if e.get("class") == kind]


def points(element: ElementTree.Element) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in (p.split(",") for p in element.attrib["points"].split())]


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_svg_is_xml_without_styles_or_scripts(unit: str) -> None:
    got = asked(FULL if unit == "cm" else {k: f"{v} cm" for k, v in FULL.items()}, unit)
    svg = got["figure"]["svg"]
    root = parts(svg)
    _, _, width, height = (float(v) for v in root.attrib["viewBox"].split())
    assert 1.3 < width / height < 1.8
    assert root.get("role") == "img"
    ids = {e.get("id") for e in root.iter()}
    assert set(root.attrib["aria-labelledby"].split()) <= ids
    for element in root.iter():
        assert element.tag.removeprefix(SVG) in {
            *("svg", "title", "desc", "g", "line", "polyline", "polygon", "circle", "rect", "text", "path")
        }
        assert not {"style", "onload", "href", "fill", "stroke"} & set(element.attrib)
        if element.tag not in (SVG + "svg", SVG + "title", SVG + "desc"):
            assert (element.get("class") or "").startswith("fig-")
    labels = [e.text or "" for e in root.iter(SVG + "text")]
    shown = by_key(got["measures"])
    assert any(shown["moment_arm"] in label for label in labels)
    assert any(shown["range_of_motion"] in label for label in labels)
    assert root.findtext(SVG + "desc") == got["figure"]["text"]


def test_svg_escapes_nothing_typed_into_it() -> None:
    got = asked({**GOOD, "chest_flat": "<b>&amp;"})
    assert not got["ok"]
    assert "svg" not in json.dumps(got)


@pytest.mark.parametrize("fields", [GOOD, FULL, {"arm_length": "74", "shoulder_breadth": "46"}], ids=len)
def test_drawn_joints_are_to_scale_with_the_pose(fields: dict[str, str]) -> None:
    """Drawn lengths over metres are one number: moment arm, stroke, upper arm and forearm from the side."""
    got = asked(fields)
    root = parts(got["figure"]["svg"])
    tape = {k: metres(v) for k, v in got["reading"].items() if k in MEASURES}
    body = Body.from_tape(Tape(**tape))
    press = Press(body, load_kg=body.body_mass_kg)
    shown = by_key(got["headline"])
    rep = press.rep(metres(shown["grip"]), press.chest.y_at_tape_m(metres(shown["touch"])))
    pose = rep.poses[0][0]
    (arm,) = of_class(root, "fig-arm", "polyline")
    shoulder, elbow, hand = points(arm)
    (dimension,) = of_class(root, "fig-arm-line", "line")
    stroke = max(
        abs(float(e.attrib["y2"]) - float(e.attrib["y1"])) for e in of_class(root, "fig-stroke", "line")
    )
    per_m = stroke / rep.range_of_motion_m
    half_a_dot = 0.11  # drawing units: coordinates are rounded to 0.1
    arm_drawn = abs(float(dimension.attrib["x2"]) - float(dimension.attrib["x1"]))
    assert arm_drawn == pytest.approx(per_m * rep.path_m[0], abs=2 * half_a_dot)
    for drawn, joint in ((elbow, pose.elbow), (hand, pose.hand)):
        assert drawn[0] - shoulder[0] == pytest.approx(per_m * joint[1], abs=2 * half_a_dot)
        assert shoulder[1] - drawn[1] == pytest.approx(per_m * joint[2], abs=2 * half_a_dot)
    assert float(dimension.attrib["x2"]) == pytest.approx(hand[0], abs=half_a_dot)
    path = points(of_class(root, "fig-path", "polyline")[0])
    assert len(path) == len(rep.path_m)
    assert path[0] == pytest.approx(hand, abs=half_a_dot)
    assert path[-1][0] == pytest.approx(shoulder[0], abs=half_a_dot)


WIDEST_FONT = 12.4  # units a letter of a label of 19: the widest usual face is bold


def extents(element: ElementTree.Element) -> tuple[list[float], list[float]]:
    """The x and the y that a drawn shape reaches, its line's width left out."""
    got = element.attrib
    if element.tag == SVG + "circle":
        x, y, r = (float(got[name]) for name in ("cx", "cy", "r"))
        return [x - r, x + r], [y - r, y + r]
    if element.tag == SVG + "rect":
        x, y, w, h = (float(got[name]) for name in ("x", "y", "width", "height"))
        return [x, x + w], [y, y + h]
    if element.tag == SVG + "line":
        return [float(got[n]) for n in ("x1", "x2")], [float(got[n]) for n in ("y1", "y2")]
    if element.tag == SVG + "text":
        long = WIDEST_FONT * len(element.text or "")
        left = float(got["x"]) - {"start": 0, "middle": 0.5, "end": 1}[got["text-anchor"]] * long
        return [left, left + long], [float(got["y"]) - 16, float(got["y"])]
    numbers = [float(n) for n in re.findall(r"-?[0-9.]+", got.get("points") or got["d"])]
    if element.tag == SVG + "path" and "A" in got["d"]:
        numbers = [*numbers[:2], *numbers[-2:]]
    return numbers[::2], numbers[1::2]


@pytest.mark.parametrize("arms", ["45", "62", "75", "90"])
@pytest.mark.parametrize("present", [{}, {"current_grip": "45", "current_touch": "24"}], ids=["", "present"])
def test_nothing_leaves_the_picture_and_no_label_lies_on_another(arms: str, present: dict[str, str]) -> None:
    """In all views, at every height of the bar, whatever the face of the letters."""
    got = asked({"arm_length": arms, "shoulder_breadth": "40", **present})
    assert got["ok"]
    for view_ in got["figure"]["views"]:
        root = parts(view_["svg"])
        _, _, width, height = (float(v) for v in root.attrib["viewBox"].split())
        assert bool(present) == bool(of_class(root, "fig-ghost", "polyline"))
        shapes = [e for e in root.iter() if (e.get("class") or "").startswith("fig-")]
        for shape in shapes:
            across, down = extents(shape)
            assert -1 <= min(across) and max(across) <= width + 1, (view_["key"], shape.attrib)
            assert -1 <= min(down) and max(down) <= height + 1, (view_["key"], shape.attrib)
        labels = [extents(shape) for shape in shapes if shape.tag == SVG + "text"]
        for i, (x, y) in enumerate(labels):
            for other_x, other_y in labels[:i]:
                apart = max(max(x), max(other_x)) - min(min(x), min(other_x)) >= sum(
                    max(side) - min(side) for side in (x, other_x)
                )
                assert apart or not (min(y) < max(other_y) and min(other_y) < max(y)), view_["key"]
        plate = next((float(e.attrib["r"]) for e in shapes if e.get("class") == "fig-plate"), 0.0)
        for row in view_["rows"]:
            x, y = row["bar"]
            assert plate <= x <= width - plate and plate <= y <= height - plate, view_["key"]


def test_the_tape_on_the_breastbone_is_as_long_as_the_touch() -> None:
    got = asked(FULL)
    root = parts(got["figure"]["svg"])
    tape = of_class(root, "fig-tape", "polyline")[0]
    along = sum(math.dist(a, b) for a, b in pairwise(points(tape)))
    stroke = max(
        abs(float(e.attrib["y2"]) - float(e.attrib["y1"])) for e in of_class(root, "fig-stroke", "line")
    )
    shown = by_key(got["headline"]) | by_key(got["measures"])
    drawn = along / stroke * metres(shown["range_of_motion"])
    assert drawn == pytest.approx(metres(shown["touch"]), abs=0.006)


def test_a_ghost_is_drawn_only_for_a_present_setup() -> None:
    assert of_class(parts(asked(FULL)["figure"]["svg"]), "fig-ghost", "polyline")
    assert not of_class(parts(asked(GOOD)["figure"]["svg"]), "fig-ghost", "polyline")


def test_the_text_equivalent_holds_the_shown_numbers() -> None:
    got = asked(FULL)
    text = got["figure"]["text"]
    for shown in by_key(got["measures"]).values():
        assert shown in text
    assert all(row["value"] in text for row in got["headline"])
    table = dict(got["figure"]["table"])
    assert by_key(got["measures"])["moment_arm"] in table.values()
    assert by_key(got["measures"])["range_of_motion"] in table.values()


def opened(body: str) -> dict[str, Any]:
    """The answer to a link with a check number that fits: a person may have made it so."""
    fragment = f"{body}&k={zlib.crc32(body.encode()):08x}"
    return checked(view.answer(json.dumps({"want": "open", "fragment": fragment})))


def test_a_link_with_one_letter_changed_does_not_open() -> None:
    good = asked(GOOD, want="link")["fragment"]
    assert checked(view.answer(json.dumps({"want": "open", "fragment": good})))["ok"]
    for place in range(good.index("a="), len(good)):
        other = "7" if good[place] != "7" else "8"
        bad = good[:place] + other + good[place + 1 :]
        assert not checked(view.answer(json.dumps({"want": "open", "fragment": bad})))["ok"], bad


@pytest.mark.parametrize(
    ("dial", "opens"), [("0", True), ("0.733", True), ("1", True), ("1.01", False), ("5", False)]
)
def test_a_link_opens_only_with_its_dial_in_range(dial: str, opens: bool) -> None:
    found = opened(f"v=1&u=cm&a=61&b=40&q={dial}")
    assert found["ok"] is opens
    if not opens:
        assert "0 to 1" in found["errors"][0]["message"] and found["errors"][0]["remedy"]


def test_a_link_names_its_lift_and_one_of_version_1_is_a_bench_press() -> None:
    request = {"unit": "cm", "fields": {"arm_length": "61", "shoulder_breadth": "40"}, "preference": 0.25}
    body = "v=2&l=bench&u=cm&a=61&b=40&q=0.25"
    made = asked(request["fields"], want="link", preference=0.25)["fragment"]
    assert made == f"{body}&k=347fcc6e"
    for version in (body, "v=1&u=cm&a=61&b=40&q=0.25"):
        assert opened(version)["request"] == request | {"lift": "bench"}
    whose = "v=3&I=kept-earlier&l=bench&u=cm&a=61&b=40&q=0.25"
    assert opened(whose)["request"] == request | {"lift": "bench", "who": "kept-earlier"}
    assert to_fragment(request, "kept-earlier") == f"{whose}&k={zlib.crc32(whose.encode()):08x}"
    assert to_fragment(request, "<id>") == made, "no id is no id"
    for wrong in ("v=3&I=%3Cb%3E&l=bench&u=cm&a=61&b=40", "v=2&I=kept&l=bench&u=cm&a=61&b=40"):
        assert not opened(wrong)["ok"]


@pytest.mark.parametrize("body", ["v=2&l=curl&u=cm&a=61&b=40", "v=2&u=cm&a=61&b=40", "v=4&l=bench&u=cm"])
def test_a_link_of_a_lift_or_version_unknown_here_says_so(body: str) -> None:
    [wrong] = opened(body)["errors"]
    assert wrong["code"] == "newer" and "Update" in wrong["remedy"]


def test_a_request_of_an_unknown_lift_is_refused_with_words() -> None:
    [wrong] = asked(GOOD, lift="curl")["errors"]
    assert wrong["field"] == "lift" and "curl" in wrong["message"] and "bench" in wrong["remedy"]


def test_intervals_are_answered_on_demand() -> None:
    got = asked(GOOD, want="doubt")
    assert got["ok"]
    main = by_key(asked(GOOD)["headline"])
    low, high = (float(v) for v in re.findall(r"[\d.]+", got["intervals"]["touch"])[:2])
    assert low < float(main["touch"].split()[0]) < high + 0.5
    assert got["next"] is None or got["next"]["key"] in MEASURES
    assert "grip 3.5 cm" in got["off"], "what the range does not hold stands beside it"
    in_cm = {key: f"{value} cm" for key, value in GOOD.items()}
    assert "grip 1 3/8 in" in asked(in_cm, want="doubt", unit="in")["off"]


def test_the_same_request_gets_the_same_answer() -> None:
    text = json.dumps({"unit": "cm", "fields": FULL})
    first = view.answer(text)
    asked(GOOD)
    assert view.answer(text) == first


def test_errors_are_plain_objects() -> None:
    error = InputError("f", "c", "g", "m", "r")
    assert json.loads(json.dumps(error.plain())) == {
        "field": "f", "code": "c", "given": "g", "message": "m", "remedy": "r",
    }  # fmt: skip
    assert math.isfinite(len(str(error)))


def test_bar_speed_is_drawn_said_and_in_the_table() -> None:
    """A narrow careful setup meets a slow stretch; a wide one does not in the model, and the text says so."""
    narrow = asked(GOOD, comfort="careful")
    text, table = narrow["figure"]["text"], dict(narrow["figure"]["table"])
    root = parts(narrow["figure"]["svg"])
    assert len(of_class(root, "fig-beat", "circle")) > 5 and len(of_class(root, "fig-slowest", "circle")) == 1
    slow = re.fullmatch(r"([\d.]+) cm up, 0\.\d\d m/s", table["Bar slowest, heaviest load"])
    assert slow and f"slowest {slow[1]} cm up, at the circle" in text
    wide = asked(GOOD, preference=0)
    assert not of_class(parts(wide["figure"]["svg"]), "fig-slowest", "circle")
    assert "most lifters have" in wide["figure"]["text"]
    assert "no slow stretch in the model" in dict(wide["figure"]["table"])["Bar slowest, heaviest load"]


@pytest.mark.parametrize(
    ("where", "request_"),
    [
        ("read_request", {"unit": "cm", "fields": {**GOOD, "arm_length": "61.37"}}),
        ("from_fragment", {"want": "open", "fragment": "v=61.37&Zebulon"}),
        ("FAMILIES", {"want": "team/sheet", "text": "Zebulon;61.37"}),
        ("FAMILIES", {"want": "sets/trial", "Zebulon": {"61.37": 1}}),
    ],
)
def test_a_fault_tells_where_it_is_and_nothing_typed(
    monkeypatch: pytest.MonkeyPatch, where: str, request_: dict[str, Any]
) -> None:
    def broken(request: Any) -> Any:
        raise KeyError(str(request))

    families = {"team": broken, "sets": broken}
    fault = families if where == "FAMILIES" else broken
    monkeypatch.setattr(sys.modules["shortlever.view.answer"], where, fault)
    text = view.answer(json.dumps(request_))
    assert "61.37" not in text and "Zebulon" not in text
    (error,) = checked(text)["errors"]
    assert error["code"] == "internal"
    report = json.loads(text)["report"]
    assert report["kind"] == "KeyError"
    assert [place.partition(":")[0] for place in report["where"]] == [
        "shortlever.view.answer.answer",
        "shortlever.view.answer.respond",
        f"{__name__}.{test_a_fault_tells_where_it_is_and_nothing_typed.__name__}.<locals>.broken",
    ]


def test_an_answer_that_is_no_json_is_a_fault_too(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys.modules["shortlever.view.answer"], "respond", lambda request: {"ok": math.nan})
    (error,) = checked(view.answer("{}"))["errors"]
    assert error["code"] == "internal"


def test_a_report_of_deep_calls_is_their_inner_end(monkeypatch: pytest.MonkeyPatch) -> None:
    def deep(request: Any, left: int = 50) -> Any:
        if left == 0:
            request[left]
        return deep(request, left - 1)

    monkeypatch.setattr(sys.modules["shortlever.view.answer"], "respond", deep)
    where = json.loads(view.answer("{}"))["report"]["where"]
    assert len(where) == 20
    assert all("deep" in place for place in where)
