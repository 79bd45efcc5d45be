"""Squat and deadlift on painted clips: which joint is asked for in which picture, and what is said then."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.screen import PATIENCE_S, poll
from tests.browser.test_film import (
    follow,
    measured,
    open_file,
    press,
    rows_of,
    tap,
    view_of,
)
from tests.core.film_world import World, camera_at
from tests.core.leg_film_world import FILMS, Body
from tests.film_clips import write_clip
from tests.leg_film_scenes import LegPainter

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import Site

WIDE, HIGH, RATE = 960, 540, 30
SEED = {"squat": 2, "deadlift": 9}
ASKED = {
    "squat": [("ankle", "bottom"), ("knee", "bottom"), ("hip", "bottom")],
    "deadlift": [
        ("ankle", "lockout"), ("knee", "lockout"), ("shoulder", "lockout"), ("knee", "off"), ("hip", "off"),
        ("hip", "knee"),
    ],
}  # fmt: skip


def gym(lift: str) -> tuple[World, Body]:
    motion, body = FILMS[lift][0](random.Random(SEED[lift]), True)
    focal = 27 / math.hypot(36, 24) * math.hypot(WIDE, HIGH)
    view = {"off_deg": 3.0, "tilt_deg": 1.0, "focal_px": focal, "width": WIDE, "height": HIGH}
    return World(camera_at((0.69, *motion.way(0.5)), 3.2, **view), motion), body


@pytest.mark.parametrize("lift", [pytest.param("squat", marks=pytest.mark.slow), "deadlift"])
def test_each_joint_is_asked_for_where_it_is_seen(
    lift: str, open_page: Callable[..., Page], site: Site, tmp_path: Path
) -> None:
    world, body = gym(lift)
    painter = LegPainter(world, body)
    times = [i / RATE for i in range(int((world.motion.duration_s - 0.3) * RATE))]
    clip = write_clip(tmp_path / f"{lift}.mp4", painter.frames(times), times)
    page = open_page()
    page.goto(f"{site.url}{lift}.html")
    page.goto(f"{site.url}film.html")
    assert page.locator("#no-film").is_hidden()
    figures = page.locator("#how .place")
    assert figures.count() == 1 and figures.get_attribute("data-lift") == lift
    shown = page.locator("#kinds [data-part='label']").all_inner_texts()
    assert len(shown) == 1 + len({kind for kind, _ in ASKED[lift]}) + 3

    open_file(page, clip)  # 1
    tap(page, world.camera.to_pixel(world.plate(0.0)))  # 2
    page.wait_for_function("() => document.querySelector('#rim-said').textContent.startsWith('Is the')")
    tap(page, world.bar_end_pixel(0.0))  # 3
    follow(page)  # 4
    taps, before = 4, ""
    hips: list[tuple[float, float]] = []  # of the hip and the bar, where it is marked
    for kind, moment in ASKED[lift]:
        if before not in ("", moment):  # joints in one picture are tapped one after the other
            press(page, "#next-mark")
            taps += 1
        if before != moment:
            chosen(page, kind)
        before, t = moment, body.times[moment]
        page.wait_for_function(
            "t => Math.abs(parseFloat(document.querySelector('#time').textContent) - t) < 0.35", arg=t
        )
        at = float(page.locator("#time").inner_text().split()[0])
        place = joint_at(world, painter, kind, at) if moment != "lockout" else body.places[kind, moment]
        hips += [(place[1], world.motion.bar(at)[1])] if kind == "hip" else []
        x, y = world.camera.to_pixel((body.out[kind], *place))
        left, top, width, height = view_of(page)
        assert left < x < left + width and top < y < top + height, "it is shown where the joint may be"
        tap(page, (x, y))
        chosen(page, kind)
        taps += 1
        if taps == 5:
            page.locator("#answer:not([hidden])").wait_for()
    assert taps == {"squat": 7, "deadlift": 12}[lift]
    assert page.locator("#next-mark").is_hidden(), "nothing is left to mark"
    told = {"squat": "Depth: below.", "deadlift": "Up to the knee the hips rose"}[lift]
    # two answers of twelve marks, one after the other, on a machine that may be busy
    poll(lambda: page.inner_text("#sentences"), lambda said: told in said, patience_s=3 * PATIENCE_S)
    rows = {row["number"]: row for row in rows_of(measured(page), "rep")}
    said = page.locator("#sentences").inner_text()
    if lift == "squat":
        depth = rows["Crease below the top of the knee"]
        assert float(depth["low_m"]) < body.true["depth"] < float(depth["high_m"])
        lean = rows["Trunk from vertical"]
        assert lean["unit"] == "deg" and float(lean["low"]) < body.true["lean"] < float(lean["high"])
    else:
        assert "Lockout" in said
        (hip, bar), (hip_then, bar_then) = hips
        rose = rows["Hip rise against bar rise, floor to knee"]
        true = (hip_then - hip) / (bar_then - bar)
        assert rose["unit"] == "times" and float(rose["low"]) < true < float(rose["high"])
        off = rows["Off the floor"]
        assert off["unit"] == "s" and abs(float(off["measured"]) - body.true["off_s"]) < 0.1
    assert "nobody" not in said and page.locator("#figure svg .film-stick").count() >= 1
    press(page, ".plates label:has(input[value='iron-1'])")  # 0.69 m, as the world has it
    page.wait_for_function(
        "() => !document.querySelector('#measured-warnings').textContent.includes('plates')"
    )


def chosen(page: Page, kind: str) -> None:
    page.wait_for_function(
        "kind => document.querySelector(`#kinds input[value='${kind}']`).checked", arg=kind
    )


def joint_at(world: World, painter: LegPainter, kind: str, t: float) -> tuple[float, float]:
    """Where a joint is in the picture at a time, as it is painted; of a squat's on the skin."""
    y, z = world.motion.bar(t)
    place = painter._pose(y, z)
    marks = painter.body.places
    if kind == "ankle":
        return 0.0, 0.0
    off = (0.0, 0.0)
    if ("knee", "bottom") in marks:
        off = (0.0, 0.055) if kind == "knee" else (0.06, 0.075)
    return place[kind][0] + off[0], place[kind][1] + off[1]
