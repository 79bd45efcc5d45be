"""The pages of text: the example runs, links lead somewhere, the reference is whole, the policy holds."""

from __future__ import annotations

import gzip
import importlib
import itertools
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from site_src.docs import figures, make, notebook

ADDRESSES = [address for address, _, _ in make.PAGES]
MOST_BYTES = 60_000  # gzipped, all pages of text together: they are part of a first visit


class Page(HTMLParser):
    """What a test asks of a page: its ids, links, elements with their attributes, headings, text."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        self.tags.append((tag, found))
        if found.get("id"):
            self.ids.append(str(found["id"]))
        if tag == "a":
            self.links.append(str(found.get("href")))

    def handle_data(self, data: str) -> None:
        self.text += data


@pytest.fixture(scope="module")
def pages(dist: Path) -> dict[str, Page]:
    return {address: Page((dist / address).read_text(encoding="utf-8")) for address in ADDRESSES}


def test_the_worked_example_prints_what_stands_under_it() -> None:
    text = notebook.FILE.read_text(encoding="utf-8")
    blocks = list(notebook.run(text))
    assert len(blocks) == text.count("```python") == text.count("```text") > 5
    for code, shown, said in blocks:
        assert said.strip(), code
        assert said == shown, code


@pytest.mark.parametrize("address", ADDRESSES)
def test_every_link_leads_somewhere(address: str, pages: dict[str, Page], dist: Path) -> None:
    assert len(pages[address].links) > len(ADDRESSES)
    for link in pages[address].links:
        file, _, place = link.partition("#")
        assert not re.match(r"[a-z]+:|/", link), f"{link} is not relative"
        aim = address if not file else "index.html" if file == "./" else file
        assert (dist / aim).is_file(), link
        if place:
            assert place in Page((dist / aim).read_text(encoding="utf-8")).ids, link


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_page_of_text_leads_to_all_others_and_to_the_screen(address: str, pages: dict[str, Page]) -> None:
    assert {"./", *ADDRESSES} <= set(pages[address].links)
    current = [a["href"] for tag, a in pages[address].tags if tag == "a" and "aria-current" in a]
    assert current == [address]


@pytest.mark.parametrize("address", ADDRESSES)
def test_ids_are_there_once_and_pictures_are_named(address: str, pages: dict[str, Page]) -> None:
    page = pages[address]
    assert len(page.ids) == len(set(page.ids))
    for tag, found in page.tags:
        if tag == "svg":
            assert found.get("role") == "img"
            assert set(str(found["aria-labelledby"]).split()) <= set(page.ids)


@pytest.mark.parametrize("address", ADDRESSES)
def test_nothing_breaks_the_policy(address: str, pages: dict[str, Page]) -> None:
    """No script and no style but the files of the site."""
    for tag, found in pages[address].tags:
        assert tag not in ("script", "style", "iframe", "object")
        assert not [name for name in found if name == "style" or name.startswith("on")]
    policy = [a["content"] for tag, a in pages[address].tags if a.get("http-equiv")]
    assert policy and "script-src 'none'" in str(policy[0])


def test_every_screen_leads_to_the_pages_of_text(dist: Path) -> None:
    for screen in ("index.html", "team.html"):
        links = Page((dist / screen).read_text(encoding="utf-8")).links
        assert {"how-to.html", "model.html", "evidence.html", "api.html"} <= set(links)


def test_headings_go_down_by_one(dist: Path) -> None:
    for address in ADDRESSES:
        levels = [int(n) for n in re.findall(r"<h([1-6])", (dist / address).read_text(encoding="utf-8"))]
        assert levels[0] == 1 and levels.count(1) == 1
        assert all(after - before <= 1 for before, after in itertools.pairwise(levels)), address


def test_the_reference_holds_every_public_name_and_its_words(pages: dict[str, Page]) -> None:
    text = " ".join(pages["api.html"].text.split())
    for path in make.MODULES:
        module = importlib.import_module(path)
        for name in module.__all__:
            assert f"{path}.{name}" in pages["api.html"].ids
            found = getattr(module, name)
            if callable(found):
                said = (found.__doc__ or "").split("\n")[0].replace("``", "")
                assert said and said in text, name
    assert "suggest(" in pages["api.html"].text and "with_intervals: bool = False" in pages["api.html"].text


def test_every_figure_is_used_and_drawn_from_the_core(dist: Path) -> None:
    text = (make.HERE / "model.md").read_text(encoding="utf-8")
    used = re.findall(r"^\[\[figure ([a-z-]+)\]\]$", text, re.M)
    assert sorted(used) == sorted(figures.FIGURES)
    page = (dist / "model.html").read_text(encoding="utf-8")
    assert page.count("<figure>") == len(used) and "[[" not in page
    arm = next(n["value"] for n in figures.answered(True)["measures"] if n["key"] == "moment_arm")
    assert f"Moment arm {arm} cm" in " ".join(page.split())


def test_pages_of_text_are_small_enough_for_a_first_visit(dist: Path) -> None:
    sizes = {address: len(gzip.compress((dist / address).read_bytes(), 9)) for address in ADDRESSES}
    assert sum(sizes.values()) < MOST_BYTES, sizes


def test_they_are_kept_for_offline_use(dist: Path) -> None:
    worker = (dist / "sw.js").read_text(encoding="utf-8")
    for address in ADDRESSES:
        assert f'"{address}"' in worker
