"""One built page for each lift of the registry, from one template; seen with the toy lift moved in."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from shortlever import view
from shortlever.lifts import LIFTS, UNNAMED
from site_src.docs.figures import of_lift
from site_src.make.render import page_of, render_pages
from tests.core.chin_up import ChinUp, move_in

TOY = ChinUp()


def rendered() -> dict[str, str]:
    return {name: page.decode() for name, page in render_pages("0" * 16).items()}


def only_the_first(patch: pytest.MonkeyPatch) -> None:
    for key in [key for key in LIFTS if key != UNNAMED]:
        of_lift(key)  # the pages of text show it all the same; kept
        patch.delitem(LIFTS, key)


@pytest.fixture(scope="module")
def alone() -> dict[str, str]:
    with pytest.MonkeyPatch.context() as patch:
        only_the_first(patch)
        return rendered()


@pytest.fixture(scope="module")
def real(dist: Path) -> dict[str, str]:
    return {page.name: page.read_text(encoding="utf-8") for page in dist.glob("*.html")}


@pytest.fixture(scope="module")
def pages() -> dict[str, str]:
    with pytest.MonkeyPatch.context() as patch:
        only_the_first(patch)
        move_in(patch, TOY)
        return rendered()


def test_with_one_lift_there_is_nothing_to_choose(alone: dict[str, str]) -> None:
    assert 'data-lift="bench"' in alone["index.html"] and 'class="lifts"' not in alone["index.html"]
    assert not {"start.js", "bench.html", "chin_up.html"} & alone.keys()
    assert '"start_url": "./",' in alone["manifest.webmanifest"]


def test_a_lift_has_its_own_form_example_and_cautions(pages: dict[str, str]) -> None:
    page = pages["chin_up.html"]
    assert '<html lang="en" data-lift="chin_up">' in page
    assert "fit the chin-up to your body" in page
    assert re.findall(r'data-field="(\w+)"', page) == ["arm_length", "current_hands"]
    assert re.findall(r'data-choice-of="(\w+)"', page) == ["sex"]
    assert "Mind the floor." in page and "spotter" not in page.casefold()
    asked = view.example_request("bench")
    (told,) = re.findall(r"data-example='([^']*)'", page)
    assert json.loads(told) == {"unit": "cm", "fields": {"arm_length": "62"}, "lift": "chin_up"} != asked
    headline = re.search(r'<dl class="headline">(.*?)</dl>', page, re.DOTALL)
    assert headline and re.findall(r'data-part="value">([^<]+)', headline[1]) == [
        "37.0"
    ]  # 0.6 x 62, settable
    assert "30 to 40 cm" in page and "All of it. Nothing checks it." in page
    trade = re.search(r'<section class="trade panel"[^>]*>', page)
    assert trade and trade[0].endswith("hidden>"), "it has no trade-off"


def test_the_first_lift_stays_as_it_was_but_for_the_choice(
    pages: dict[str, str], alone: dict[str, str]
) -> None:
    page = re.sub(
        r'<nav class="lifts".*?</nav>|<button type="button" class="lift-now".*?</button>',
        "",
        pages["index.html"],
        flags=re.DOTALL,
    )
    page = page.replace('<script src="start.js"></script>', "")
    names = re.compile(r'<template id="names">.*?</template>', re.DOTALL)  # of all lifts, on every page
    assert names.sub("", page).split() == names.sub("", alone["index.html"]).split()
    for name in ("index.html", "lifters.html"):
        assert '<i data-key="current_hands">Present hands</i>' in pages[name]


def test_each_lift_leads_to_the_others_and_says_where_it_is(pages: dict[str, str]) -> None:
    for name, here in (("index.html", "bench"), ("chin_up.html", "chin_up")):
        (nav,) = re.findall(r'<nav class="lifts".*?</nav>', pages[name], re.DOTALL)
        assert re.findall(r'href="([^"]+)"', nav) == ["./", "chin_up.html"]
        assert re.findall(r'data-lift="(\w+)" aria-current=page', nav) == [here]
    for name in ("sets.html", "team.html", "lifters.html", "film.html"):  # of the lift in view
        (nav,) = re.findall(r'<nav class="lifts".*?</nav>', pages[name], re.DOTALL)
        assert re.findall(r'data-lift="(\w+)" aria-current=page', nav) == ["bench"]
        assert 'data-of-lift="chin_up" hidden>' in pages[name]
    assert 'PAGES = {"bench": "./", "chin_up": "chin_up.html"};' in pages["lifts.mjs"]
    assert '"start_url": "./?start",' in pages["manifest.webmanifest"] and "start.js" in pages


def test_the_film_check_has_the_marks_of_every_lift(pages: dict[str, str], alone: dict[str, str]) -> None:
    marks = re.compile(r'<label data-lift="(\w+)"><input type="radio" name="kind" value="(\w+)"')
    own = [("bench", "shoulder"), ("bench", "elbow"), ("bench", "wrist")]
    assert marks.findall(alone["film.html"]) == own
    assert marks.findall(pages["film.html"]) == [*own, ("chin_up", "hip")]


@pytest.mark.parametrize("lift", LIFTS)
def test_every_number_of_a_lift_is_drawn_and_stands_in_a_group_with_a_name(
    real: dict[str, str], lift: str
) -> None:
    page = real[page_of(lift)]
    drawn = dict(re.findall(r'id="(\w+)-drawing" hidden><p[^>]*></p><svg[^>]*>(.*?)</svg>', page, re.DOTALL))
    assert list(drawn) == re.findall(r'data-field="(\w+)"', page)
    assert all("d-tape" in shapes or "d-stop" in shapes for shapes in drawn.values()), "where the tape goes"
    legends = re.findall(r'<fieldset class="group"><legend>([^<]*)</legend>', page)
    assert all(legends) and len(legends) == len({one.group for one in LIFTS[lift].fields} | {"gear"}) - 1


@pytest.mark.parametrize("lift", [key for key in LIFTS if key != UNNAMED])
def test_the_fixed_words_of_a_page_are_of_its_own_lift(real: dict[str, str], lift: str) -> None:
    """Words of the bench press that no other lift has to do with; what is felt is hidden where it is not."""
    left_out = r'<template id="names">.*?</template>|<nav.*?</nav>|<section class="feel panel".*?</section>'
    words = re.sub(r"<[^>]*>", " ", re.sub(left_out, "", real[page_of(lift)], flags=re.DOTALL)).casefold()
    for word in ("tuck", "touch point", "bench", "chest", "forefinger", "trouble with your shoulders"):
        assert word not in words.replace("tucks under", ""), word


def test_a_lift_with_a_screens_name_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(TOY, "key", "team", raising=False)
    move_in(monkeypatch, TOY)
    with pytest.raises(Exception, match="another key"):
        render_pages("0" * 16)
