"""The pages of text: Markdown by markdown-it-py, reference from docstrings by griffe, the core's pictures.

``build.py`` asks for ``context()``; everything here runs at build time. A place ``[[figure NAME]]`` on a line
of its own in a Markdown file is filled by ``figures.py``; ``[[table NAME]]`` likewise; and
``[[lifts.squat.search.SLACK %]]`` is that number of the core, in percent, ``cm``, ``°`` (of rad) or as it
stands (``-``).
"""

from __future__ import annotations

import importlib
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import griffe
from markdown_it import MarkdownIt

from site_src.docs import figures

HERE = Path(__file__).parent
# Address, title, where its text is: what stands in the row of pages of text, in this order.
PAGES = (
    ("how-to.html", "How to use it", "how-to.md"),
    ("model.html", "The model", "model.md"),
    ("evidence.html", "How it is checked", ""),
    ("notebook.html", "A worked example", "notebook.md"),
    ("api.html", "Python library", ""),
)
LIBRARY = ("", ".table", ".picture", ".team", ".trials")
MODULES = tuple(f"shortlever{name}" for name in LIBRARY)  # whose __all__ is the reference
ALSO = (
    "shortlever.person.reading.read_tape",
    "shortlever.gear.Bar",
    "shortlever.lifts.bench.gear.Bench",
    "shortlever.lifts.bench.gear.Rules",
)
FIGURE = re.compile(r"<p>\[\[figure ([a-z-]+)\]\]</p>")
TABLE = re.compile(r"<p>\[\[table ([a-z-]+)\]\]</p>")
NUMBER = re.compile(r"\[\[([a-z_.]+)\.([A-Z0-9_]+) (%|cm|°|-)\]\]")
MARKDOWN = MarkdownIt("commonmark", {"html": False}).enable("table")


@dataclass(frozen=True)
class Entry:
    """One name of the reference: its kind, signature, text, and the names inside it."""

    name: str
    kind: str
    signature: str
    text: str
    inside: tuple[Entry, ...] = ()


def context() -> dict[str, Any]:
    """What the templates of the pages of text need beside what all pages get."""
    return {
        "docs": [{"address": address, "title": title} for address, title, _ in PAGES],
        "texts": {name.removesuffix(".md"): laid_out(name) for _, _, name in PAGES if name},
        "reference": list(reference()),
    }


def laid_out(name: str) -> dict[str, Any]:
    """A Markdown file as HTML, with its headings for a table of contents."""
    text = NUMBER.sub(number, (HERE / name).read_text(encoding="utf-8"))
    html = with_anchors(MARKDOWN.render(text))
    headings = re.findall(r'<h2 id="([^"]+)">(.*?)</h2>', html)
    html = TABLE.sub(lambda found: with_anchors(MARKDOWN.render(figures.TABLES[found[1]]())), html)
    return {"html": FIGURE.sub(lambda found: figures.figure(found[1]), html), "headings": headings}


def number(found: re.Match[str]) -> str:
    """A number of the core as the text says it."""
    module, name, kind = found.groups()
    value = getattr(importlib.import_module(f"shortlever.{module}"), name)
    times = {"%": 100.0, "cm": 100.0, "°": 180 / math.pi, "-": 1.0}[kind]
    said = f"{round(times * value, 3):g}"
    return said if kind == "-" else f"{said}°" if kind == "°" else f"{said} {kind}"


def with_anchors(html: str) -> str:
    """Second headings with an id made of their words; wide things in boxes that scroll by themselves."""

    def anchor(found: re.Match[str]) -> str:
        words = re.sub(r"<[^>]+>|&\w+;", "", found[1]).lower()
        return f'<h2 id="{re.sub(r"[^a-z0-9]+", "-", words).strip("-")}">{found[1]}</h2>'

    html = re.sub(r"<h2>(.*?)</h2>", anchor, html)
    html = html.replace("<pre>", '<pre tabindex="0">')
    return html.replace("<table>", '<div class="wide" tabindex="0"><table>').replace(
        "</table>", "</table></div>"
    )


# ---- the reference


def reference() -> Iterator[dict[str, Any]]:
    """The modules of the library with their public names."""
    package = griffe.load("shortlever", search_paths=[str(HERE.parent.parent / "core")])
    for path in MODULES:
        module = package if path == "shortlever" else package[path.removeprefix("shortlever.")]
        names = [n for n in public(module) if n != "__version__"]
        entries = [entry(target(module[name])) for name in names]
        if path == "shortlever":
            entries += [entry(target(package[also.removeprefix("shortlever.")])) for also in ALSO]
        yield {"path": path, "html": docstring(module), "entries": entries}


def public(module: griffe.Module) -> list[str]:
    """The names in ``__all__``, in its order."""
    return [str(name).strip("'\"") for name in module.exports or []]


def target(found: griffe.Object | griffe.Alias) -> griffe.Object:
    """What an imported name stands for."""
    found = found.final_target if found.is_alias else found
    return found[found.name] if found.is_module else found  # a function that bears the name of its module


def entry(found: griffe.Object) -> Entry:
    """One name; a class with its public methods and properties."""
    inside: tuple[Entry, ...] = ()
    if found.is_class:
        members = [
            m for n, m in found.members.items() if not n.startswith("_") and not m.is_alias and m.docstring
        ]
        inside = tuple(entry(m) for m in members if m.is_function or "property" in m.labels)
    kind = "class" if found.is_class else "function" if found.is_function else "value"
    return Entry(found.name, kind, signature(found), docstring(found), inside)


def signature(found: griffe.Object) -> str:
    """How it is called, with types, as one would write it."""
    if not (found.is_class or found.is_function):
        return found.name
    said: list[str] = []
    star = False
    for one in found.parameters:
        if one.name in ("self", "cls"):
            continue
        if one.kind is griffe.ParameterKind.keyword_only and not star:
            said.append("*")
            star = True
        text = one.name + (f": {one.annotation}" if one.annotation is not None else "")
        said.append(text + (f" = {one.default}" if one.default is not None else ""))
    returns = f" -> {found.returns}" if found.is_function and found.returns is not None else ""
    whole = f"{found.name}({', '.join(said)}){returns}"
    if len(whole) <= 72:
        return whole
    return f"{found.name}(\n    " + ",\n    ".join(said) + f",\n){returns}"


def docstring(found: griffe.Object) -> str:
    """A docstring as HTML: ``names`` as code, examples as blocks."""
    text = found.docstring.value if found.docstring else ""
    parts: list[str] = []
    for block in re.split(r"\n\s*\n", text):
        parts.append(f"```\n{block}\n```" if block.lstrip().startswith(">>>") else block.replace("``", "`"))
    return MARKDOWN.render("\n\n".join(parts)).replace("<pre>", '<pre tabindex="0">')
