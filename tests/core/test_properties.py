"""What must hold for every lifter, searched for by Hypothesis over the whole allowed input space.

Hypothesis holds native code, so these run in CPython only.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st

from shortlever import (
    Assessment,
    Body,
    Comfort,
    Gear,
    InfeasibleError,
    InputError,
    Setup,
    Tape,
    assess,
    suggest,
    view,
)
from shortlever.lifts.bench.gear import BARS, RULEBOOKS
from shortlever.lifts.bench.limits import COMFORTS
from shortlever.lifts.bench.pose import Linkage
from shortlever.lifts.bench.press import Press
from shortlever.person.reading import read_tape
from shortlever.person.tape import MEASURES
from shortlever.person.together import PAIRS, SIDE_KEYS
from shortlever.units import LENGTH_UNITS, MASS_UNITS
from tests.core.by_hand import diagonal, scaled

HURRIED = {
    "deadline": None,
    "derandomize": True,
    "phases": [Phase.explicit, Phase.generate, Phase.shrink],
    "suppress_health_check": [HealthCheck.too_slow],
}
few, some = settings(max_examples=20, **HURRIED), settings(max_examples=50, **HURRIED)
TENTH_OF_A_MILLIMETRE = 1e-4


def within(key: str) -> st.SearchStrategy[float]:
    return st.floats(MEASURES[key].low, MEASURES[key].high)


@st.composite
def tapes(draw: st.DrawFn, sides: bool = True) -> Tape:
    """Any tape that is accepted: each number given or not, anywhere in its range."""
    numbers: dict[str, Any] = {k: v for k in MEASURES if (v := draw(st.none() | within(k))) is not None}
    numbers["sex"] = draw(st.sampled_from([None, "male", "female"]))
    if sides:
        for side in ("left", "right"):
            own = draw(st.dictionaries(st.sampled_from(SIDE_KEYS), st.floats(0.46, 0.7), max_size=1))
            numbers[side] = {k: min(v, MEASURES[k].high) for k, v in own.items()} or None
    try:
        return Tape(**numbers)
    except InputError as refused:
        assert refused.code == "contradiction"
        assume(False)
        raise


@st.composite
def lifters(draw: st.DrawFn) -> Body:
    """Lifters of plausible build, both arms alike: lengths that go together, from small to tall."""
    size = draw(st.floats(0.82, 1.18))
    flat = draw(st.floats(0.20, 0.32))
    return Body.from_tape(
        Tape(
            arm_length=size * draw(st.floats(0.62, 0.70)),
            shoulder_breadth=size * draw(st.floats(0.36, 0.42)),
            chest_flat=flat,
            chest_arched=flat + draw(st.floats(0.0, 0.08)),
        )
    )


gears = st.builds(
    lambda bar, rules: Gear(bar=BARS[bar], rules=RULEBOOKS[rules]),
    st.sampled_from(sorted(BARS)),
    st.sampled_from(sorted(RULEBOOKS)),
)
comforts = st.sampled_from([COMFORTS[name] for name in sorted(COMFORTS)])
dial = st.floats(0, 1)
grips = st.floats(0.45, 0.81)


def numbers_in(value: Any) -> Iterator[float]:
    """Every number held anywhere in a result."""
    if isinstance(value, int | float):
        yield float(value)
    elif is_dataclass(value):
        for field in fields(value):
            yield from numbers_in(getattr(value, field.name))
    elif isinstance(value, dict):
        for part in value.values():
            yield from numbers_in(part)
    elif isinstance(value, list | tuple):
        for part in value:
            yield from numbers_in(part)


def finite(value: Any) -> bool:
    return all(math.isfinite(number) for number in numbers_in(value))


# --- every input gives a result or a named reason


@some
@given(tape=tapes(), gear=gears, comfort=comforts, preference=dial)
def test_suggest_gives_a_result_or_a_named_reason(
    tape: Tape, gear: Gear, comfort: Comfort, preference: float
) -> None:
    try:
        found = suggest(tape, gear=gear, comfort=comfort, preference=preference)
    except InfeasibleError as none:
        assert none.reason
        return
    assert finite(found)
    assert 0.2 <= found.setup.grip_m <= gear.max_grip_m + 1e-9
    assert found.measures.range_of_motion_m > 0
    json.dumps(found.plain(), allow_nan=False)


@some
@given(
    tape=tapes(),
    grip=st.floats(0.2, 1.3),
    touch=st.floats(0, 0.5),
    load=st.floats(1, 600),
    sideways=st.none() | st.floats(-2, 2),
    comfort=comforts,
)
def test_assess_gives_a_result_or_a_named_reason(
    tape: Tape, grip: float, touch: float, load: float, sideways: float | None, comfort: Comfort
) -> None:
    try:
        got = assess(tape, Setup(grip, touch, load, sideways), comfort=comfort)
    except InfeasibleError as none:
        assert none.reason
        return
    assert finite(got)
    assert sum(got.work_share.values()) == pytest.approx(1.0, abs=1e-6)
    assert got.work_j > 0 and got.range_of_motion_m > 0 and got.limit_load_index > 0
    json.dumps(got.plain(), allow_nan=False)


@some
@given(
    data=st.dictionaries(st.sampled_from([*MEASURES, "sex", "left", "right", "bogus"]), st.from_type(object))
)
def test_read_tape_of_anything_is_a_tape_or_an_input_error(data: dict[str, Any]) -> None:
    try:
        read_tape(data)
    except InputError as refused:
        assert refused.field and refused.message and refused.remedy


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=30),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=12), inner, max_size=3),
    max_leaves=8,
)
field_keys = st.sampled_from([field["key"] for field in view.form()])
request_keys = st.sampled_from(
    ["unit", "fields", "rules", "bar", "comfort", "sex", "preference", "choice", "want"]
)


@some
@given(request=st.dictionaries(request_keys, json_values) | json_values)
def test_view_answers_any_json(request: Any) -> None:
    got = json.loads(view.answer(json.dumps(request)))
    assert got["ok"] == (not got["errors"])


@some
@given(
    typed=st.dictionaries(
        field_keys, st.text(max_size=12) | st.from_regex(r"[0-9]{1,3}[.,]?[0-9]{0,2} ?(cm|in)?")
    ),
    unit=st.sampled_from(["cm", "in"]),
)
def test_view_answers_any_typing_by_field(typed: dict[str, str], unit: str) -> None:
    text = view.answer(json.dumps({"unit": unit, "fields": typed}))
    got = json.loads(text, parse_constant=lambda name: pytest.fail(name))
    known = {field["key"] for field in view.form()}
    assert all(error["field"] in known and error["code"] != "internal" for error in got["errors"])
    assert got["ok"] == (not got["errors"])


# --- symmetry, scale, units


@few
@given(body=lifters(), shorter=st.floats(0.95, 0.995), grip=grips, extra=st.floats(0, 0.05))
def test_mirrored_lifter_presses_the_same(body: Body, shorter: float, grip: float, extra: float) -> None:
    left = replace(body.left, upper_m=body.left.upper_m * shorter, fore_m=body.left.fore_m * shorter)
    here, there = replace(body, left=left), replace(body, right=left, left=body.right)
    touch = Press(here).nearest_touch_m(grip) + extra
    assert Press(there).nearest_touch_m(grip) + extra == pytest.approx(touch, abs=1e-8)
    a, b = assess(here, Setup(grip, touch)), assess(there, Setup(grip, touch))
    same = ("range_of_motion_m", "mean_moment_arm_m", "limit_load_index", "lockout_height_m", "tuck_deg")
    for name in same:
        assert getattr(a, name) == pytest.approx(getattr(b, name), rel=1e-5), name
    for action, share in a.work_share.items():
        assert share == pytest.approx(b.work_share[action], abs=1e-4), action


@few
@given(body=lifters(), shorter=st.floats(0.97, 0.995), preference=dial)
def test_mirrored_lifter_gets_the_same_suggestion(body: Body, shorter: float, preference: float) -> None:
    left = replace(body.left, upper_m=body.left.upper_m * shorter, fore_m=body.left.fore_m * shorter)
    a = suggest(replace(body, left=left), preference=preference)
    b = suggest(replace(body, right=left, left=body.right), preference=preference)
    assert a.setup.grip_m == pytest.approx(b.setup.grip_m, abs=5 * TENTH_OF_A_MILLIMETRE)
    assert a.setup.touch_m == pytest.approx(b.setup.touch_m, abs=5 * TENTH_OF_A_MILLIMETRE)


def scaled_comfort(comfort: Comfort, factor: float) -> Comfort:
    """The same limits for a body ``factor`` times as long: what is per metre shrinks."""
    return replace(
        comfort,
        flare_per_depth=comfort.flare_per_depth / factor,
        lean_per_height=comfort.lean_per_height / factor,
    )


@few
@given(
    body=lifters(),
    factor=st.floats(0.5, 2.0),
    x=st.floats(0.02, 0.26),
    y=st.floats(0.0, 0.2),
    z=st.floats(0.08, 0.5),
    comfort=comforts,
)
def test_a_scaled_body_holds_the_scaled_bar_in_the_same_pose(
    body: Body, factor: float, x: float, y: float, z: float, comfort: Comfort
) -> None:
    arm = body.right
    assume(abs(arm.upper_m - arm.fore_m) + 0.01 < math.hypot(x, y, z) < arm.reach_m - 0.01)
    lean = math.radians(40)
    small, _, ok = Press(body, comfort=comfort).pose(x, y, z, lean, 0.1)
    press = Press(scaled(body, factor), comfort=scaled_comfort(comfort, factor))
    large, _, ok_large = press.pose(factor * x, factor * y, factor * z, lean, 0.1)
    assert ok == ok_large
    assert large.swivel == pytest.approx(small.swivel, abs=1e-4)
    for name in ("flexion", "adduction", "abduction", "extension", "effort"):
        assert getattr(large, name) == pytest.approx(factor * getattr(small, name), abs=1e-4 * factor), name


@few
@given(body=lifters(), factor=st.floats(0.7, 1.4), x=st.floats(0.05, 0.25), z=st.floats(0.1, 0.45))
def test_nearest_place_of_the_bar_scales(body: Body, factor: float, x: float, z: float) -> None:
    comfort, lean = COMFORTS["usual"], math.radians(30)
    small = Press(body, comfort=comfort).nearest_m(x, z, lean, [0.1, 0.1])
    large = Press(scaled(body, factor), comfort=scaled_comfort(comfort, factor)).nearest_m(
        factor * x, factor * z, lean, [0.1, 0.1]
    )
    assert max(large, 0.0) == pytest.approx(factor * max(small, 0.0), abs=1e-6)


@some
@given(data=st.data(), unit=st.sampled_from(["cm", "in", "mm", "m", "ft"]))
def test_a_tape_in_any_unit_is_the_same_tape(data: st.DataObject, unit: str) -> None:
    may_contradict = {"upper_arm", "forearm_to_grip", *(lower for _, lower, _, _ in PAIRS)}
    keys = [key for key in MEASURES if key not in may_contradict]
    plain = {key: data.draw(within(key), key) for key in keys}
    size, mass = LENGTH_UNITS[unit], MASS_UNITS["lb"]
    typed = {
        key: f"{value / mass:.10f} lb" if key == "body_mass" else f"{value / size:.10f} {unit}"
        for key, value in plain.items()
    }
    try:
        read = read_tape(typed)
    except InputError as refused:  # a value at an end of its range may be rounded out of it
        key = refused.field
        assert min(abs(plain[key] - MEASURES[key].low), abs(plain[key] - MEASURES[key].high)) < 1e-6
        return
    for key, value in plain.items():
        assert getattr(read, key) == pytest.approx(value, rel=1e-7)


@few
@given(arm=st.floats(0.5, 0.8), breadth=st.floats(0.32, 0.48))
def test_the_view_suggests_the_same_in_inches_and_centimetres(arm: float, breadth: float) -> None:
    """Typed in one unit or the other, shown in the same one: the same up to a step of what can be set."""
    cm = {"arm_length": f"{100 * arm:.7f} cm", "shoulder_breadth": f"{100 * breadth:.7f} cm"}
    inch = {"arm_length": f"{arm / 0.0254:.7f} in", "shoulder_breadth": f"{breadth / 0.0254:.7f} in"}
    a, b = (json.loads(view.answer(json.dumps({"unit": "cm", "fields": f}))) for f in (cm, inch))
    assert a["ok"] and b["ok"]
    for one, other in zip(a["headline"] + a["measures"], b["headline"] + b["measures"], strict=True):
        step = 1.0 if one["key"] == "tuck" else 0.5 if one["key"] in ("grip", "touch") else 0.3
        assert float(one["value"]) == pytest.approx(float(other["value"]), abs=step)
    assert a["reading"] == b["reading"]


# --- what the trade knows (common practice, no source)


@few
@given(body=lifters(), share=st.floats(0.90, 0.99), grip=grips)
def test_b14_shorter_arms_touch_closer_and_press_shorter(body: Body, share: float, grip: float) -> None:
    """B14: same flare limit, shorter arms: touch closer to the shoulder, shorter stroke; monotone."""

    def shorter(by: float) -> Body:
        arm = replace(body.right, upper_m=body.right.upper_m * by, fore_m=body.right.fore_m * by)
        return replace(body, right=arm, left=arm)

    def nearest(one: Body) -> float:
        return Press(one).nearest_touch_m(grip)

    def stroke(one: Body) -> float:
        return assess(one, Setup(grip, nearest(body))).range_of_motion_m

    assert nearest(shorter(share)) < nearest(body)
    assert stroke(shorter(share)) < stroke(body)


@few
@given(body=lifters(), narrow=st.floats(0.45, 0.78), wider=st.floats(0.005, 0.03))
def test_b10_a_wider_grip_locks_out_lower(body: Body, narrow: float, wider: float) -> None:
    press = Press(body)
    assume(press.side_m(narrow) >= 0)
    assert press.lockout_bar_m(narrow + wider) < press.lockout_bar_m(narrow)


@few
@given(body=lifters(), more=st.floats(0.005, 0.04), grip=grips, touch=st.floats(0.08, 0.16))
def test_more_arch_shortens_the_stroke_at_the_same_touch(
    body: Body, more: float, grip: float, touch: float
) -> None:
    arched = replace(body, chest_arched_m=body.chest_arched_m + more)
    flat_press, arched_press = Press(body), Press(arched)
    assert arched_press.chest_bar_m(touch) > flat_press.chest_bar_m(touch)
    less, plenty = (p.lockout_bar_m(grip) - p.chest_bar_m(touch) for p in (flat_press, arched_press))
    assert plenty < less


@few
@given(body=lifters(), grip=grips, extra=st.floats(0.0, 0.04))
def test_b15_curve_beats_the_straight_diagonal(body: Body, grip: float, extra: float) -> None:
    press = Press(body)
    touch = press.nearest_touch_m(grip) + extra
    assume(touch > 0.02)
    assert press.rep(grip, touch).mean_moment_arm_m < diagonal(press, grip, touch).mean_moment_arm_m


@few
@given(body=lifters(), grip=grips)
def test_b16_closest_touch_has_the_smaller_arm_and_the_longer_stroke(body: Body, grip: float) -> None:
    """Against the touch at the top of the chest; where the closest is past the top there is no conflict."""
    press = Press(body)
    near, high = press.nearest_touch_m(grip), press.chest.top_y_m
    assume(near < high - 0.005)
    close, top = assess(body, Setup(grip, near)), assess(body, Setup(grip, high))
    assert close.moment_arm_m < top.moment_arm_m
    assert close.mean_moment_arm_m < top.mean_moment_arm_m
    assert close.range_of_motion_m > top.range_of_motion_m


@few
@given(body=lifters(), grip=grips, extra=st.floats(0.0, 0.03))
def test_every_row_inside_the_comfort_limits_is_really_inside(body: Body, grip: float, extra: float) -> None:
    """Row by row from the joints themselves: flare under the cap for its depth, forearm within 10 degrees."""
    press = Press(body)
    rep = press.rep(grip, press.nearest_touch_m(grip) + extra)
    comfort = press.comfort
    for (pose, _), inside, height in zip(rep.poses, rep.inside, rep.heights_m, strict=True):
        x, y, z = pose.elbow
        hx, hy, hz = pose.hand
        within = (
            math.atan2(x, y) <= comfort.flare_cap_rad(-z) + 2e-6
            and abs(hy - y) <= math.tan(comfort.stack_rad) * (hz - z) + 2e-6
            and x - hx <= math.tan(comfort.lean_cap_rad(height - rep.heights_m[0])) * (hz - z) + 2e-6
        )
        assert within or not inside


@few
@given(body=lifters(), first=dial, second=dial)
def test_the_dial_is_monotone(body: Body, first: float, second: float) -> None:
    """More wish for a short arm never lengthens it, nor shortens the stroke."""
    low, high = sorted((first, second))
    a, b = (suggest(body, preference=p).measures for p in (low, high))
    slack = 5 * TENTH_OF_A_MILLIMETRE
    assert b.mean_moment_arm_m <= a.mean_moment_arm_m + slack
    assert b.range_of_motion_m >= a.range_of_motion_m - slack


@few
@given(body=lifters(), preference=dial, comfort=comforts)
def test_every_suggestion_keeps_its_limits(body: Body, preference: float, comfort: Comfort) -> None:
    found = suggest(body, preference=preference, comfort=comfort)
    assert [limit for limit in found.measures.limits if not limit.ok] == []


@few
@given(body=lifters(), load=st.floats(20, 300), grip=grips)
def test_heavier_bar_more_moment(body: Body, load: float, grip: float) -> None:
    touch = Press(body).nearest_touch_m(grip) + 0.01

    def moments(kg: float) -> Assessment:
        return assess(body, Setup(grip, touch, kg))

    light, heavy = moments(load), moments(1.2 * load)
    assert heavy.shoulder_moment_n_m > light.shoulder_moment_n_m
    assert heavy.work_j > light.work_j
    # what a heavier bar adds to the bar's arm, the arm's weight does not: per kilogram the moment falls
    assert heavy.shoulder_moment_n_m / 1.2 <= light.shoulder_moment_n_m * 1.02
    assert Linkage(body.right, 1.2 * load).bar_c < Linkage(body.right, load).bar_c
