"""The film check on real clips in the real browser: open, step, mark, follow, mend, and what it refuses."""

from __future__ import annotations

import csv
import itertools
import math
import os
import re
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image

from tests import film_example
from tests.browser.screen import PATIENCE_S, SIZES, poll, resize
from tests.core.film_world import Motion, World, planned_path, some_press
from tests.film_clips import index_first, sound_only, write_clip
from tests.film_scenes import Look, Painter, make_world

if TYPE_CHECKING:
    from playwright.sync_api import Page, Request

    from tests.conftest import Site

QUICK = {"wait_s": 0.2, "down_s": 0.7, "pause_s": 0.3, "press_s": 0.7}
TARGET_PX = 48
SMALL = (640, 360)  # px, where what is measured does not count


# ---- clips, each made once


def gym(distance_m: float = 3.0, size: tuple[int, int] = (960, 540), **motion: float) -> World:
    path = Motion(planned_path(some_press(), 0.71, 0.128), **QUICK | motion)  # type: ignore[arg-type]
    view = {"distance_m": distance_m, "off_deg": 3.0, "tilt_deg": 2.0}
    world, _ = make_world(**view, width=size[0], height=size[1], motion=path)  # type: ignore[arg-type]
    return world


def times_of(world: World, rate: float = 30) -> list[float]:
    return [i / rate for i in range(int(world.motion.duration_s * rate))]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("clips")


@pytest.fixture(scope="module")
def short(folder: Path) -> tuple[Path, World]:
    """Less than a rep: twenty pictures to follow."""
    world = gym(size=SMALL, down_s=0.4, pause_s=0.1, press_s=0.4)
    painter, times = Painter(world, Look(), some_press()), times_of(world)[:20]
    return write_clip(folder / "short.mp4", painter.frames(times), times), world


@pytest.fixture(scope="module")
def rep(folder: Path) -> tuple[Path, World]:
    """A rep as a phone films it: H.264 in MP4."""
    world = gym()
    painter = Painter(world, Look(), some_press())
    return write_clip(folder / "rep.mp4", painter.frames(times_of(world)), times_of(world)), world


def numbered(count: int, size: tuple[int, int] = (320, 240)) -> Iterator[np.ndarray]:
    """Pictures that say their own number: ten fields, white for a one and black for a nought."""
    for number in range(count):
        picture = np.full((size[1], size[0], 3), 110, np.uint8)
        for bit in range(10):
            picture[40:100, 8 + 30 * bit : 34 + 30 * bit] = 255 if number >> bit & 1 else 0
        yield picture


# ---- the screen


def to_film(page: Page, site: Site) -> Page:
    page.goto(f"{site.url}film.html")
    return page


@pytest.fixture(scope="module")
def _one_film(open_shared: Callable[..., Page], _served: Site) -> Page:
    return to_film(open_shared(), _served)


@pytest.fixture
def film(_one_film: Page, no_errors: None) -> Page:
    """The screen on a phone, shared; opening another clip starts afresh."""
    resize(_one_film)
    _one_film.emulate_media(color_scheme="light")
    return _one_film


OPENED = itertools.count(1_900_000_000)


def open_file(page: Page, path: Path) -> None:
    """Opens a clip as one that the tab has not seen: marks of an earlier test do not come back with it."""
    os.utime(path, (0, next(OPENED)))
    page.set_input_files("#file", path)
    page.wait_for_function(
        "name => document.querySelector('#said').textContent.startsWith(name + ' is open')", arg=path.name
    )


def refused(page: Page, path: Path) -> str:
    """What is said to a file that cannot be opened."""
    page.set_input_files("#file", path)
    page.locator("#film-trouble:not([hidden])").wait_for()
    return page.locator("#film-trouble").inner_text()


def tap(page: Page, at: Sequence[float]) -> None:
    """A tap on a place of the picture (px), as near as a finger comes."""
    page.locator("#stage").evaluate("e => e.scrollIntoView({ block: 'nearest' })")
    box = page.locator("#overlay").bounding_box()
    assert box
    left, top, width, height = view_of(page)
    x, y = (at[0] - left) / width * box["width"], (at[1] - top) / height * box["height"]
    page.mouse.click(box["x"] + x, box["y"] + y)


def view_of(page: Page) -> list[float]:
    """What of the picture is shown: left, top, width, height (px of it)."""
    seen = page.locator("#overlay").get_attribute("viewBox")
    assert seen
    return [float(one) for one in seen.split()]


def choose(page: Page, kind: str) -> None:
    press(page, f'#kinds label:has(input[value="{kind}"])')


def press(page: Page, selector: str) -> None:
    """A click below the picture, which stays at the top of a phone's screen."""
    where = page.locator(selector)
    where.evaluate("e => e.scrollIntoView({ block: 'end' })")
    where.click()


def mark_rim(page: Page, world: World, t: float = 0.0) -> None:
    choose(page, "rim")
    tap(page, world.camera.to_pixel(world.plate(t)))


def mark(page: Page, world: World, t: float = 0.0) -> None:
    """Rim and shoulder, by finger."""
    mark_rim(page, world, t)
    choose(page, "shoulder")
    tap(page, world.shoulder_pixel())


def mark_closely(page: Page, kind: str, at: Sequence[float]) -> None:
    """A mark set with the picture zoomed in, as one does who wants to know it well."""
    choose(page, kind)
    tap(page, at)
    for _ in range(4):
        press(page, "#zoom-in")
    tap(page, at)
    for _ in range(4):
        press(page, "#zoom-out")


def follow(page: Page, patience_s: float = PATIENCE_S) -> str:
    press(page, "#follow")
    page.locator("#follow").wait_for(timeout=1000 * patience_s)
    return page.locator("#follow-said").inner_text()


def answered(page: Page, rep: tuple[Path, World]) -> None:
    """The rep marked closely, followed and measured; as the test before has left it, where it did so."""
    path, world = rep
    said = page.locator("#said").text_content() or ""
    if path.name not in said or not page.locator("#answer").is_visible():
        open_file(page, path)
        mark_rim(page, world)
        mark_closely(page, "shoulder", world.shoulder_pixel())
        mark_closely(page, "bar_end", world.bar_end_pixel(0.0))
        follow(page)
        page.locator("#answer:not([hidden])").wait_for()


def marks_of(page: Page) -> dict[str, dict[str, Any]]:
    """The marks as this tab keeps them."""
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    return page.evaluate("""() => JSON.parse(sessionStorage.getItem(
      Object.keys(sessionStorage).find((key) => key.endsWith('|film')))).marks""")


def go_to(page: Page, index: int) -> None:
    page.locator("#at").fill(str(index))
    page.wait_for_function(
        "index => document.querySelector('#frame-said').textContent.startsWith(`frame ${index + 1} `)",
        arg=index,
    )


# ---- opening and stepping


@pytest.mark.parametrize("ending", ["mp4", "webm"])
def test_every_step_shows_exactly_the_next_picture(film: Page, folder: Path, ending: str) -> None:
    count = 40
    uneven = [i / 30 + (0.011 if i % 3 == 1 else 0) for i in range(count)]
    codec = "libx264" if ending == "mp4" else "libvpx-vp9"
    open_file(film, write_clip(folder / f"numbers.{ending}", numbered(count), uneven, codec))
    read = """() => new Promise((resolve) => requestAnimationFrame(() => {
      const canvas = document.querySelector('#canvas'), scale = canvas.width / 320;
      const context = canvas.getContext('2d');
      let number = 0;
      for (let bit = 0; bit < 10; bit++) {
        if (context.getImageData((21 + 30 * bit) * scale, 70 * scale, 1, 1).data[0] > 127) number += 1 << bit;
      }
      resolve(number);
    }))"""

    def shows(index: int) -> None:
        film.wait_for_function(f"async (index) => (await ({read})()) === index", arg=index)

    shows(0)
    for index in range(1, 14):
        press(film, "#on")
        shows(index)
    press(film, "#back")
    shows(12)
    press(film, "#on-ten")
    shows(22)
    film.locator("#stage").press(".")
    shows(23)
    film.locator("#at").fill("39")
    shows(39)
    assert film.locator("#on").is_disabled()
    press(film, "#back-ten")
    shows(29)
    assert "uneven times" in film.locator("#said").inner_text()


def test_a_clip_filmed_with_the_phone_upright_is_shown_and_followed_upright(film: Page, folder: Path) -> None:
    world = gym(size=SMALL[::-1], down_s=0.4, pause_s=0.1, press_s=0.4)
    painter, times = Painter(world, Look(), some_press()), times_of(world)[8:20]
    pictures = list(painter.frames(times))
    for turned in (90, 180, 270):
        open_file(film, write_clip(folder / f"turned{turned}.mp4", pictures, times, turned=turned))
        said = film.locator("#said").inner_text()
        assert "360 × 640 px" in said and "turned upright" in said
        mark_rim(film, world, times[0])
        assert "all held" in follow(film)
        assert holds(film, world.camera.to_pixel(world.plate(times[-1])))


def holds(page: Page, place: Sequence[float], px: float = 2.5) -> bool:
    """Whether the ring of the tracker comes to stand on a place of the picture."""

    def far() -> float:
        ring = page.locator("#overlay .held")
        if ring.count() != 1:
            return math.inf
        x, y = (float(ring.get_attribute(name) or "nan") for name in ("cx", "cy"))
        return math.dist((x, y), place)

    return bool(poll(far, lambda now: now < px) < px)


# ---- marking


def test_a_mark_is_set_dragged_nudged_sized_and_taken_off(film: Page, rep: tuple[Path, World]) -> None:
    path, world = rep
    open_file(film, path)
    scale = world.camera.width / film.locator("#overlay").bounding_box()["width"]
    choose(film, "rim")
    tap(film, (400, 200))
    first = marks_of(film)["rim"]["0"]
    assert math.dist((first["x"], first["y"]), (400, 200)) < scale
    assert film.locator("#loupe").is_visible()

    stage = film.locator("#stage").bounding_box()
    film.mouse.move(stage["x"] + 40, stage["y"] + 150)  # anywhere: the mark moves by as much as the finger
    film.mouse.down()
    film.mouse.move(stage["x"] + 60, stage["y"] + 120, steps=8)
    film.mouse.up()
    dragged = marks_of(film)["rim"]["0"]
    assert dragged["x"] - first["x"] == pytest.approx(20 * scale, abs=1.5 * scale)
    assert dragged["y"] - first["y"] == pytest.approx(-30 * scale, abs=1.5 * scale)

    for key in ("left", "down"):
        press(film, f"#{key}")
    press(film, "#larger")
    nudged = marks_of(film)["rim"]["0"]
    assert nudged["x"] == pytest.approx(dragged["x"] - scale, abs=0.3)
    assert nudged["y"] == pytest.approx(dragged["y"] + scale, abs=0.3)
    assert nudged["a"] == pytest.approx(1.01 * first["a"])
    press(film, "#far")
    press(film, "#right")
    press(film, "#far")
    assert marks_of(film)["rim"]["0"]["x"] == pytest.approx(nudged["x"] + 10 * scale, abs=0.3)

    press(film, "#zoom-in")
    press(film, "#right")
    zoomed = marks_of(film)["rim"]["0"]
    assert 0 < zoomed["x"] - nudged["x"] - 10 * scale < 0.8 * scale
    assert zoomed["sd"] < 0.8 * nudged["sd"], "what is marked closely counts as surer"
    press(film, "#zoom-out")

    film.locator("#stage").press("Shift+ArrowUp")
    film.locator("#stage").press("-")
    keyed = marks_of(film)["rim"]["0"]
    assert keyed["y"] == pytest.approx(nudged["y"] - 10 * scale, abs=0.3)
    assert keyed["a"] < nudged["a"]
    press(film, "#remove")
    assert marks_of(film)["rim"] == {}
    assert "not marked yet" in film.locator("#mark-said").inner_text()


def test_the_handle_sizes_the_ring(film: Page, rep: tuple[Path, World]) -> None:
    path, world = rep
    open_file(film, path)
    choose(film, "rim")
    tap(film, (400, 250))
    before = marks_of(film)["rim"]["0"]
    stage = film.locator("#overlay").bounding_box()
    scale = stage["width"] / world.camera.width
    x, y = stage["x"] + (before["x"] + before["a"]) * scale, stage["y"] + before["y"] * scale
    film.mouse.move(x, y)
    film.mouse.down()
    film.mouse.move(x + 20, y, steps=5)
    film.mouse.up()
    after = marks_of(film)["rim"]["0"]
    assert (after["x"], after["y"]) == (before["x"], before["y"])
    assert after["a"] - before["a"] == pytest.approx(20 / scale, rel=0.06)


def test_everything_by_keys_alone(film: Page, rep: tuple[Path, World]) -> None:
    path, world = rep
    open_file(film, path)
    film.locator('#kinds input[value="rim"]').focus()
    film.keyboard.press("ArrowRight")
    assert film.locator('#kinds input[value="shoulder"]').is_checked()
    film.locator("#left").focus()
    film.keyboard.press("Enter")  # the first press puts the mark in the middle of what is seen
    first = marks_of(film)["shoulder"]["0"]
    assert (first["x"], first["y"]) == (world.camera.width / 2, world.camera.height / 2)
    film.keyboard.press("Enter")
    assert marks_of(film)["shoulder"]["0"]["x"] < first["x"]


def test_marks_outlive_a_reload_and_come_back_with_the_clip(film: Page, short: tuple[Path, World]) -> None:
    path, world = short
    open_file(film, path)
    mark(film, world)
    film.locator("#about-more").evaluate("e => { e.open = true; }")
    film.fill("#distance", "4,2")
    before = marks_of(film)
    film.reload()
    assert film.locator("#bench").is_hidden(), "the clip itself is not kept"
    assert film.locator("#distance").input_value() == "4,2"
    film.set_input_files("#file", path)
    film.wait_for_function("() => document.querySelector('#said').textContent.includes('open again')")
    assert marks_of(film) == before
    film.fill("#distance", "")


def test_nothing_is_sent_anywhere(film: Page, _served: Site, short: tuple[Path, World]) -> None:
    sent: list[str] = []

    def note(request: Request) -> None:
        sent.append(f"{request.method} {request.url}")

    film.on("request", note)
    path, world = short
    open_file(film, path)
    mark_rim(film, world)
    follow(film)
    film.remove_listener("request", note)
    assert any(one.startswith("GET blob:") for one in sent)
    outside = [one for one in sent if not one.startswith((f"GET {_served.url}", "GET blob:", "GET data:"))]
    assert not outside
    kept = film.evaluate("""async () => {
      const bases = await indexedDB.databases();
      const caches_ = await Promise.all((await caches.keys()).map(async (name) =>
        (await (await caches.open(name)).keys()).map((one) => one.url)));
      return JSON.stringify([bases, caches_, {...sessionStorage}, {...localStorage}]);
    }""")
    assert "blob:" not in kept and len(film.evaluate("JSON.stringify({...sessionStorage})")) < 5000


# ---- following


def test_the_plate_is_followed_and_its_way_drawn(film: Page, rep: tuple[Path, World]) -> None:
    path, world = rep
    times = times_of(world)
    open_file(film, path)
    mark_rim(film, world)
    said = follow(film)
    assert said.startswith(f"Followed through {len(times)} frames") and "all held." in said
    assert film.locator("#strip").get_attribute("aria-label").startswith("Followed: 0.00 to")
    points = film.locator("#overlay .path").get_attribute("points").split()
    way = np.array([[float(v) for v in point.split(",")] for point in points])
    true = np.array([world.camera.to_pixel(world.plate(t)) for t in times])
    off = way - true
    off -= off.mean(0)  # the middle of a rim seen in perspective is not the plate's own
    assert np.sqrt((off**2).mean()) < 0.5
    for index in (0, 40):
        go_to(film, index)
        assert holds(film, true[index])
    choose(film, "rim")
    tap(film, (60, 40))
    assert "No round rim was found" in follow(film), "a mark by hand goes before what was followed"


def test_a_lost_plate_is_shown_and_mended_by_hand(film: Page, folder: Path) -> None:
    world = gym(size=SMALL, wait_s=0.8)
    painter, times = Painter(world, Look(), some_press()), times_of(world)[:36]

    def pictures() -> Iterator[np.ndarray]:
        """A curtain falls before the plate, and only a part of the pictures is without it."""
        for i, picture in enumerate(painter.frames(times)):
            if 9 <= i < 24:
                picture[:, 160:500] = (70, 84, 60)
            yield picture

    open_file(film, write_clip(folder / "curtain.mp4", pictures(), times))
    mark_rim(film, world)
    said = follow(film)
    assert "15 of them lost, in one stretch" in said
    button = film.locator("#lost button")
    assert button.inner_text() == "Lost from 0.30 to 0.77 s: covered"
    assert film.locator("#overlay .path").count() == 2, "no line across what was lost"
    button.click()
    film.wait_for_function(
        "() => document.querySelector('#mark-said').textContent.includes('is lost in this')"
    )
    assert film.locator('#kinds input[value="rim"]').is_checked()
    assert film.locator("#overlay .held").count() == 0
    press(film, "#follow")
    assert "Mark the plate rim" in film.locator("#follow-said").inner_text()
    go_to(film, 24)
    tap(film, world.camera.to_pixel(world.plate(times[24])))
    assert "all held" in follow(film), "followed again from the mark by hand"
    assert film.locator("#lost button").count() == 1, "what is lost before it stays told"


def test_the_plate_leaves_the_picture(film: Page, folder: Path) -> None:
    world = gym(size=SMALL)
    picture = Painter(world, Look(), some_press()).frame(0.0)

    def pictures() -> Iterator[np.ndarray]:
        """The phone slips from its stand."""
        for i in range(45):
            px = 8 * max(0, i - 10)
            slipped = np.full_like(picture, 100)
            slipped[px:] = picture[: picture.shape[0] - px]
            yield slipped

    open_file(film, write_clip(folder / "leaves.mp4", pictures(), [i / 30 for i in range(45)]))
    mark_rim(film, world)
    assert "lost, in one stretch" in follow(film)
    said = film.locator("#lost button").inner_text()
    assert re.fullmatch(r"Lost from 1\.[0-3]\d to 1\.47 s: out of the picture", said)


def test_following_can_be_stopped_and_keeps_what_it_has(film: Page, folder: Path) -> None:
    world = gym(size=SMALL)
    picture = Painter(world, Look(), some_press()).frame(0.0)
    long = [i / 30 for i in range(500)]
    open_file(film, write_clip(folder / "long.mp4", (picture for _ in long), long))
    mark_rim(film, world)
    press(film, "#follow")
    film.wait_for_function("() => document.querySelector('#followed').value > 0.02")
    assert film.locator("#overlay .held").count() == 1
    stop = (
        "document.querySelector('#stop:not([hidden])')?.click()"  # heard once it is no second tap on “follow”
    )
    said = poll(lambda: film.evaluate(stop) or film.inner_text("#follow-said"), lambda now: "Stopped" in now)
    assert said == "Stopped. What was followed so far is kept."
    assert 10 < len(film.locator("#overlay .path").first.get_attribute("points").split()) < len(long)
    assert film.locator("#follow").is_visible()


def test_a_browser_that_does_not_hand_out_packed_pictures_follows_by_seeking(
    open_page: Callable[..., Page], site: Site, short: tuple[Path, World]
) -> None:
    path, world = short
    page = open_page()
    worker = "**/film/clip-worker.mjs"
    page.route(
        worker,
        lambda route: route.fulfill(
            body="delete self.VideoDecoder;\n" + route.fetch().text(), content_type="text/javascript"
        ),
    )
    to_film(page, site)
    open_file(page, path)
    assert "one at a time" in page.locator("#said").inner_text()
    mark_rim(page, world)
    assert "all held" in follow(page)
    assert holds(page, world.camera.to_pixel(world.plate(19 / 30)))


def test_a_tap_anywhere_on_the_plate_finds_its_rim(film: Page, short: tuple[Path, World]) -> None:
    path, world = short
    open_file(film, path)
    x, y = world.camera.to_pixel(world.plate(0.0))
    rim = np.array(world.rim(0.0))
    radius = float(np.hypot(*(rim - rim.mean(0)).T).mean())
    choose(film, "rim")
    tap(film, (x + 0.35 * radius, y - 0.3 * radius))
    film.wait_for_function("() => document.querySelector('#rim-said').textContent.startsWith('Is the')")
    found = marks_of(film)["rim"]["0"]
    assert abs(found["x"] - rim.mean(0)[0]) < 2 and abs(found["y"] - rim.mean(0)[1]) < 2
    assert abs(found["a"] - radius) < 0.04 * radius
    left, top, width, height = view_of(film)
    assert width < 9 * radius and left < x - radius and top < y - radius  # shown nearer, with the shoulder
    sx, sy = world.shoulder_pixel()
    assert left < sx < left + width and top < sy < top + height
    choose(film, "rim")
    off = (left + 0.04 * width, top + 0.1 * height)
    tap(film, off)  # the ring goes where the finger is; there is no plate
    film.wait_for_function("() => document.querySelector('#rim-said').textContent.includes('by hand')")
    assert film.locator("#bench").is_visible()
    assert abs(marks_of(film)["rim"]["0"]["x"] - off[0]) < 10


def test_six_taps_from_opening_to_an_answer(film: Page, no_errors: None) -> None:
    """The example clip: opened; rim, shoulder, bar's end tapped one after another; followed; plates said."""
    world = film_example.world()
    film.get_by_role("button", name="Try the example clip").click()  # 1
    film.wait_for_function("() => document.querySelector('#said').textContent.includes('It is drawn')")
    tap(film, world.camera.to_pixel(world.plate(0.0)))  # 2
    film.wait_for_function("() => document.querySelector('#rim-said').textContent.startsWith('Is the')")
    tap(film, world.shoulder_pixel())  # 3
    tap(film, world.bar_end_pixel(0.0))  # 4
    follow(film)  # 5
    film.locator("#answer:not([hidden])").wait_for()
    assert "You have not said which plates are on the bar" in film.locator("#measured-warnings").inner_text()
    press(film, '.plates label:has(input[value="iron-1"])')  # 6
    film.wait_for_function(
        "() => !document.querySelector('#measured-warnings').textContent.includes('plates')"
    )
    touch = next(row for row in rows_of(measured(film), "rep,number") if "arm" in row["number"].lower())
    low_m, high_m = float(touch["low_m"]), float(touch["high_m"])
    assert low_m < world.motion.bar(world.motion.chest_times()[0])[0] < high_m and high_m - low_m < 0.08


# ---- measuring


def rows_of(table: str, head: str) -> list[dict[str, str]]:
    """One of the tables in the CSV, by the first name of its head."""
    lines = table.splitlines()
    first = next(i for i, line in enumerate(lines) if line.startswith(head))
    last = next((i for i in range(first, len(lines)) if not lines[i]), len(lines))
    return list(csv.DictReader(lines[first:last]))


def measured(page: Page) -> str:
    """The CSV of what was measured."""
    page.locator("#answer:not([hidden])").wait_for()
    page.wait_for_function("() => document.querySelector('#measured-said').textContent === ''")
    with page.expect_download() as saved:
        press(page, "#csv")
    return Path(saved.value.path()).read_text(encoding="utf-8")


def test_from_the_clip_to_the_path_within_5_mm(film: Page, rep: tuple[Path, World]) -> None:
    _, world = rep
    answered(film, rep)
    table = measured(film)
    way = rows_of(table, "rep,t_s")
    assert {row["phase"] for row in way} == {"down", "up"}
    found = np.array([[float(row["y_m"]), float(row["z_m"])] for row in way])
    true = np.array([world.motion.bar(float(row["t_s"])) for row in way])
    assert np.sqrt(((found - true) ** 2).sum(1).mean()) < 0.005
    numbers = {row["number"]: row for row in rows_of(table, "rep")}
    touch = next(row for name, row in numbers.items() if "touch" in name.lower() or "chest" in name.lower())
    low, high = float(touch["low_m"]), float(touch["high_m"])
    assert low < world.motion.bar(world.motion.chest_times()[0])[0] < high
    [pause] = rows_of(table, "rep,pause_s")
    assert abs(float(pause["pause_s"]) - QUICK["pause_s"]) < 0.08
    speeds = {row["speed"]: float(row["speed_m_s"]) for row in rows_of(table, "rep,speed,")}
    over_height = [float(row["speed_m_s"]) for row in rows_of(table, "rep,up_m")]
    assert 0 < speeds["mean"] < speeds["quickest"] and max(over_height) < 1.1 * speeds["quickest"]
    assert film.locator("#figure svg .film-press").count() == 1
    assert film.locator("#speed-figure svg .film-press").count() == 1
    assert "m/s" in (film.locator("#speed-text").text_content() or "")
    assert film.locator("#sentences li").count() >= 1
    assert film.locator("#headline [data-key]").count() >= 2
    assert film.locator("#table td").count() > 3 and film.locator("#figure-text").text_content()


def test_what_is_typed_about_the_camera_is_checked(film: Page, rep: tuple[Path, World]) -> None:
    answered(film, rep)
    film.locator("#about-more").evaluate("e => { e.open = true; }")
    film.fill("#distance", "400")
    film.locator("#distance[aria-invalid]").wait_for()
    said = film.locator("#distance-message").inner_text()
    assert "400" in said and "30.00 m" in said and "Measure it again" in said
    assert film.locator("#answer").is_hidden()
    film.fill("#distance", "4,0")
    film.locator("#answer:not([hidden])").wait_for()
    assert film.locator('[data-field="distance"] .reading').inner_text() == "4.00 m"
    film.fill("#distance", "")


@pytest.mark.parametrize(
    ("size", "scheme"),
    [((320, 640), "dark"), (SIZES["small phone"], "light"), (SIZES["tablet"], "dark")],
    ids=["narrow", "phone", "tablet"],
)
def test_large_targets_no_sideways_scroll_and_nothing_for_axe(
    film: Page, rep: tuple[Path, World], size: tuple[int, int], scheme: str
) -> None:
    film.set_viewport_size({"width": size[0], "height": size[1]})
    film.emulate_media(color_scheme=scheme)
    answered(film, rep)
    film.locator("details").evaluate_all("all => { for (const e of all) e.open = true; }")
    assert film.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    small = film.evaluate(
        """(least) => [...document.querySelectorAll(
      'main button, main summary, main input:not([type=radio], [type=file]), .file, .choice label, select')]
      .filter((e) => e.checkVisibility()).filter((e) => {
        const { width, height } = e.getBoundingClientRect();
        return width < least - 0.01 || height < least - 0.01;
      }).map((e) => e.id || e.outerHTML.slice(0, 80))""",
        TARGET_PX,
    )
    assert not small
    found = Axe().run(film).response["violations"]
    assert not found, [(one["id"], [n["target"] for n in one["nodes"]]) for one in found]


def test_a_photo_gives_touch_and_arm(film: Page, folder: Path) -> None:
    world = gym()
    t = world.motion.chest_times()[0] + 0.1
    Image.fromarray(Painter(world, Look(), some_press()).frame(t)).save(folder / "chest.jpg", quality=92)
    open_file(film, folder / "chest.jpg")
    assert not film.locator("#steps").is_visible()
    mark(film, world, t)
    mark_closely(film, "shoulder", world.shoulder_pixel())
    assert follow(film).startswith(
        "The ring is on the rim. The result is below. Next: mark this in the photo: Bar end."
    )
    assert holds(film, world.camera.to_pixel(world.plate(t)))
    rows = rows_of(measured(film), "rep")
    true = world.motion.bar(t)[0]
    assert any(float(row["low_m"]) < true < float(row["high_m"]) for row in rows)


def test_numbers_are_kept_with_a_logged_set(film: Page, rep: tuple[Path, World]) -> None:
    path, world = rep
    lifter = film.evaluate("""async () => {
      const store = await import(new URL('page/shared/store.mjs', document.baseURI));
      await store.open();
      const { id } = await store.create({ name: 'Invented Lifter' });
      await store.setCurrent(id);
      const at = '2031-05-09T18:00:00Z';
      const candidate = { label: 'Grip 71 cm, touch 18 cm', index: 5 };
      await store.addChange(id, { what: 'add_candidate', at, candidate });
      const set = { candidate: 'A', load: '80', unit: 'kg', reps: 5, reserve: 2 };
      await store.addChange(id, { what: 'add_set', at, set });
      return id;
    }""")
    film.reload()
    open_file(film, path)
    mark(film, world)
    follow(film)
    film.locator("#set option").first.wait_for(state="attached")
    assert film.locator("#set option").all_inner_texts() == [
        "Set 1, 2031-05-09: 80 kg × 5, Grip 71 cm, touch 18 cm"
    ]
    press(film, "#attach-now")
    film.wait_for_function("() => document.querySelector('#attach-said').textContent.includes('set 1')")
    kept = film.evaluate("""async () => {
      const store = await import(new URL('page/shared/store.mjs', document.baseURI));
      const { lifts } = await store.read(await store.current());
      return lifts.bench.trials.pending.at(-1);
    }""")
    assert kept["what"] == "attach_film" and kept["number"] == 1
    lengths = {"touch_m", "mean_arm_m", "range_of_motion_m"}
    assert set(kept["measured"]) == lengths | {"speeds_m_s", "speed_margin_m_s"}
    assert len(kept["measured"]["speeds_m_s"]) == 1 and 0.3 < kept["measured"]["speeds_m_s"][0] < 1.0
    low, high = world.motion.path[0][1], world.motion.path[-1][1]
    assert kept["measured"]["range_of_motion_m"] == pytest.approx(high - low, abs=0.02)
    film.wait_for_function("() => document.querySelector('#set').textContent.includes('has a film')")
    film.evaluate(
        """async (id) => {
      const store = await import(new URL('page/shared/store.mjs', document.baseURI));
      await store.remove(id);
      await store.setCurrent('guest');
    }""",
        lifter,
    )


# ---- wrong input


def test_what_is_neither_clip_nor_photo(film: Page, folder: Path) -> None:
    (folder / "notes.txt").write_text("squat 5 x 5\n" * 40)
    (folder / "false.mp4").write_bytes(b"not a clip at all" * 100)
    for name in ("notes.txt", "false.mp4"):
        said = refused(film, folder / name)
        assert name in said and "neither a clip nor a photo" in said and "Choose an MP4" in said


def test_an_empty_file(film: Page, folder: Path) -> None:
    (folder / "empty.mp4").write_bytes(b"")
    said = refused(film, folder / "empty.mp4")
    assert "0 bytes" in said and "film the set again" in said


def test_a_clip_of_no_length(film: Page, folder: Path) -> None:
    said = refused(film, sound_only(folder / "sound.mp4"))
    assert "no frames in it" in said


def test_a_clip_of_one_picture_counts_as_a_photo(film: Page, folder: Path) -> None:
    world = gym(size=SMALL)
    t = world.motion.chest_times()[0] + 0.1
    picture = Painter(world, Look(), some_press()).frame(t)
    open_file(film, write_clip(folder / "one.mp4", [picture], [0.0]))
    assert "only one frame, so it is measured like a photo" in film.locator("#said").inner_text()
    mark(film, world, t)
    assert "Followed through 1 frame" in follow(film)
    film.locator("#answer:not([hidden])").wait_for()
    assert film.locator('#headline [data-key="moment_arm"]').count() == 1


def test_a_clip_that_breaks_off(film: Page, rep: tuple[Path, World], folder: Path) -> None:
    """The index of an MP4 comes last, so a copy that was cut short has none."""
    data = rep[0].read_bytes()
    (folder / "broken.mp4").write_bytes(data[: len(data) // 2])
    said = refused(film, folder / "broken.mp4")
    assert "no frames in it" in said and "not fully copied" in said


def test_a_clip_whose_index_promises_more_than_there_is(
    film: Page, rep: tuple[Path, World], folder: Path
) -> None:
    path, world = rep
    data = index_first(folder / "whole.mp4", path).read_bytes()
    (folder / "cut.mp4").write_bytes(data[: len(data) * 6 // 10])
    open_file(film, folder / "cut.mp4")
    mark_rim(film, world)
    said = follow(film)
    assert "it was cut short" in film.locator("#said").inner_text() + said
    assert f"{len(times_of(world))} frames" not in said


def test_what_a_clip_says_of_itself_is_checked_and_used(
    film: Page, rep: tuple[Path, World], folder: Path
) -> None:
    """Pictures that the index promises are counted against the file's length; the lens is taken from it."""
    path, world = rep
    key = "com.apple.quicktime.camera.focal_length.35mm_equivalent"
    whole = index_first(folder / "told.mp4", path, {key: "26"})
    (folder / "short-of.mp4").write_bytes(whole.read_bytes()[: whole.stat().st_size * 6 // 10])
    open_file(film, folder / "short-of.mp4")
    said = re.search(r"cut short: (\d+) frames", film.locator("#said").inner_text())
    assert said and 0.2 * len(times_of(world)) < int(said[1]) < 0.6 * len(times_of(world))
    open_file(film, whole)
    assert "lens of 26 mm, as the phone said" in film.locator("#said").inner_text()
    assert "promises" not in film.locator("#said").inner_text()


def test_a_damaged_clip_is_not_told_to_choose_another_codec(
    film: Page, rep: tuple[Path, World], folder: Path
) -> None:
    data = bytearray(index_first(folder / "sound.mp4", rep[0]).read_bytes())
    first = data.index(b"mdat") + 4
    data[first:] = bytes(len(data) - first)
    (folder / "rotten.mp4").write_bytes(data)
    said = refused(film, folder / "rotten.mp4")
    assert "damaged" in said and "most compatible" not in said


def test_h264_that_cannot_be_read_is_not_told_to_be_h264(
    monkeypatch: pytest.MonkeyPatch, film: Page, short: tuple[Path, World], folder: Path
) -> None:
    monkeypatch.setattr(film, "allow_console_errors", True, raising=False)  # until the console is looked at
    data = bytearray(index_first(folder / "sound.mp4", short[0]).read_bytes())
    settings = data.index(b"avcC") + 4
    data[settings + 6] = 255  # how long the first of them is
    (folder / "unset.mp4").write_bytes(data)
    said = refused(film, folder / "unset.mp4")
    assert "packed as H.264" in said and "damaged" in said and "most compatible" not in said


def test_a_clip_that_is_damaged_on_the_way_keeps_what_was_followed(
    film: Page, short: tuple[Path, World], folder: Path
) -> None:
    path, world = short
    data = bytearray(index_first(folder / "sound.mp4", path).read_bytes())
    half = (data.index(b"mdat") + len(data)) // 2
    data[half:] = bytes(len(data) - half)
    (folder / "half.mp4").write_bytes(data)
    open_file(film, folder / "half.mp4")
    mark_rim(film, world)
    said = follow(film)
    until = re.search(r"damaged: after (0\.\d+) s", said)
    assert until and "is kept" in said and "follow on from there" in said
    assert 0.1 < float(until[1]) < times_of(world)[19] - 0.1
    film.wait_for_function(
        "t => document.querySelector('#time').textContent.startsWith(t)", arg=f"{float(until[1]):.2f}"
    )
    film.locator("#overlay .held").first.wait_for(state="attached")


def test_files_are_read_by_what_they_are_not_by_their_names(
    film: Page, short: tuple[Path, World], folder: Path
) -> None:
    picture = np.random.default_rng(3).integers(0, 255, (480, 640, 3), np.uint8)
    Image.fromarray(picture).save(folder / "photo.png")
    png = (folder / "photo.png").read_bytes()
    for name in ("photo.mp4", "photo.txt", "photo.jpg"):
        (folder / name).write_bytes(png)
        open_file(film, folder / name)
        assert "Next: mark this in the photo: Rim." in film.locator("#said").inner_text()
    (folder / "clip.jpg").write_bytes(short[0].read_bytes())
    open_file(film, folder / "clip.jpg")
    assert "30 frames a second" in film.locator("#said").inner_text()
    for name in ("cut.png", "cut-photo.mp4"):
        (folder / name).write_bytes(png[: len(png) // 2])
        said = refused(film, folder / name)
        assert "photo" in said and "not wholly copied" in said and "Save it as JPEG" not in said
    (folder / "phone.mp4").write_bytes(b"\0\0\0\x18ftypheic" + bytes(500))
    assert "is a photo that this browser cannot show" in refused(film, folder / "phone.mp4")


@pytest.mark.parametrize("order", [">", "<"])
def test_a_photo_stands_upright_and_says_its_lens(film: Page, folder: Path, order: str) -> None:
    """EXIF in both orders of bytes: turned by 6 (a quarter), 26 mm; of a photo that was cut, nothing."""
    shown = Image.fromarray(np.random.default_rng(4).integers(0, 255, (400, 300, 3), np.uint8))
    packed = shown.rotate(90, expand=True)  # upright again by a quarter clockwise
    for name, picture, lens in (("whole", packed, True), ("cut", packed.crop((0, 0, 400, 200)), False)):
        exif = Image.Exif()
        exif.endian = order
        exif[0x0112] = 6
        exif.get_ifd(0x8769)[0xA405] = 26
        picture.save(folder / f"{name}.jpg", exif=exif)
        open_file(film, folder / f"{name}.jpg")
        said = film.locator("#said").inner_text()
        assert f"{picture.height} × {picture.width} px" in said
        assert ("lens of 26 mm, as the phone said" in said) == lens


def test_a_huge_file_is_refused_before_anything_is_read(film: Page, folder: Path) -> None:
    assert "10 minutes and 2 GB" in film.locator("#how").text_content(), "said before work starts"
    with (folder / "huge.mp4").open("wb") as file:
        file.truncate(2_100_000_000)
    said = refused(film, folder / "huge.mp4")
    assert "2.1 GB" in said and "up to 2 GB" in said and "1080p" in said


def test_a_clip_that_is_too_long(film: Page, folder: Path) -> None:
    hours = [15.0 * i for i in range(60)]
    pictures = (np.full((64, 96, 3), i, np.uint8) for i in range(60))
    said = refused(film, write_clip(folder / "hours.mp4", pictures, hours))
    assert "14.8 minutes" in said and "up to 10" in said


def test_a_codec_that_the_browser_does_not_know(film: Page, folder: Path) -> None:
    pictures = (np.full((64, 96, 3), 9 * i, np.uint8) for i in range(12))
    said = refused(film, write_clip(folder / "old.mp4", pictures, [i / 12 for i in range(12)], "mpeg4"))
    assert "cannot show the frames" in said and "most compatible" in said


def test_a_broken_photo(film: Page, folder: Path) -> None:
    (folder / "broken.jpg").write_bytes(b"\xff\xd8\xff\xe0 nothing")
    assert "damaged" in refused(film, folder / "broken.jpg")


def test_no_plate_at_the_mark(film: Page, short: tuple[Path, World]) -> None:
    open_file(film, short[0])
    choose(film, "rim")
    tap(film, (60, 40))
    said = follow(film)
    assert "No round rim was found" in said and "Put the ring on the outer edge" in said
    assert film.locator("#overlay .held").count() == 0
    press(film, "#far")
    for _ in range(20):
        press(film, "#smaller")
    press(film, "#far")
    assert "too small to follow" in follow(film)


def test_a_bad_file_leaves_the_open_clip_as_it_is_and_a_good_one_replaces_it(
    film: Page, short: tuple[Path, World], folder: Path
) -> None:
    path, world = short
    open_file(film, path)
    mark_rim(film, world)
    (folder / "notes.txt").write_text("no clip")
    pictures = (np.full((64, 96, 3), 9 * i, np.uint8) for i in range(12))
    unknown = write_clip(folder / "unknown.mp4", pictures, [i / 12 for i in range(12)], "mpeg4")
    for bad in (folder / "notes.txt", unknown):
        refused(film, bad)
        assert len(marks_of(film)["rim"]) == 1
        go_to(film, 7)
        go_to(film, 0)
    assert "all held" in follow(film)
    assert film.locator("#film-trouble").is_hidden()
    open_file(film, write_clip(folder / "other.mp4", numbered(12), [i / 30 for i in range(12)]))
    assert marks_of(film)["rim"] == {}


def test_cautions_of_filming_stand_before_the_clip(film: Page) -> None:
    assert "Never stand in the way of a loaded bar" in film.locator("#how .safe").text_content()
    assert "sent nowhere" in film.locator(".private").text_content()
