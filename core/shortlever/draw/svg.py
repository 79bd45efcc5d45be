"""Shapes of a picture as SVG text. They carry classes only: the page's stylesheet colours them.

A shape with a ``part`` carries it as data-part, so that a page can move it, and any other ``data`` likewise.
Places are in units of the drawing, x to the right and y down.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shortlever.say import Sayable, Text, Voice

Point = tuple[float, float]


def escape(text: str) -> str:
    """For what stands between tags; not for attributes. (The standard library's brings thirty modules along.)

    >>> escape("bar < chest & rack")
    'bar &lt; chest &amp; rack'
    """
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


@dataclass(frozen=True)
class Markup(Sayable):
    """SVG text with sentences in it that a voice has yet to say."""

    parts: tuple[Text, ...]

    def in_voice(self, voice: Voice) -> str:
        """The SVG text."""
        return "".join(one if isinstance(one, str) else escape(voice.say(one)) for one in self.parts)


Drawing = str | Markup


def _put(*parts: Drawing | Text) -> Drawing:
    """Parts as one: a text where all of them are."""
    flat: list[Text] = []
    for one in parts:
        flat += one.parts if isinstance(one, Markup) else (one,)
    texts = [one for one in flat if isinstance(one, str)]
    return "".join(texts) if len(texts) == len(flat) else Markup(tuple(flat))


def _text(said: Text) -> Text:
    return escape(said) if isinstance(said, str) else said


def _open(tag: str, kind: str, part: str, **data: object) -> str:
    named = data | ({"part": part} if part else {})
    return f'<{tag} class="{kind}"' + "".join(f' data-{name}="{value}"' for name, value in named.items())


def line(kind: str, a: Point, b: Point, part: str = "") -> str:
    """A straight line from a to b."""
    return f'{_open("line", kind, part)} x1="{a[0]:g}" y1="{a[1]:g}" x2="{b[0]:g}" y2="{b[1]:g}"/>'


def dot(kind: str, at: Point, radius: float, part: str = "", **data: object) -> str:
    """A disc round a place."""
    return f'{_open("circle", kind, part, **data)} cx="{at[0]:g}" cy="{at[1]:g}" r="{round(radius, 1):g}"/>'


def places(points: Iterable[Point]) -> str:
    """Points as the text of a ``points`` attribute."""
    return " ".join(f"{x:g},{y:g}" for x, y in points)


def curve(kind: str, points: Iterable[Point], part: str = "", width: float | None = None) -> str:
    """A line through points, as thick as the stylesheet or ``width`` says."""
    thick = "" if width is None else f' stroke-width="{width:g}"'
    return f'{_open("polyline", kind, part)}{thick} points="{places(points)}"/>'


def area(kind: str, points: Iterable[Point], part: str = "") -> str:
    """What lies inside points."""
    return f'{_open("polygon", kind, part)} points="{places(points)}"/>'


def blob(kind: str, points: Iterable[Point]) -> str:
    """A closed shape that runs smoothly through points (Catmull-Rom as cubic curves)."""
    p = list(points)
    n = len(p)
    path = f"M{p[0][0]:g} {p[0][1]:g}"
    for i in range(n):
        (ax, ay), (bx, by), (cx, cy), (dx, dy) = (p[(i + k) % n] for k in (-1, 0, 1, 2))
        bends = (bx + (cx - ax) / 6, by + (cy - ay) / 6, cx - (dx - bx) / 6, cy - (dy - by) / 6, cx, cy)
        path += "C" + " ".join(f"{round(value, 1):g}" for value in bends)
    return f'{_open("path", kind, "")} d="{path}Z"/>'


def arc(kind: str, middle: Point, radius: float, from_rad: float, to_rad: float) -> str:
    """Part of a circle, from one direction to another (rad from the right, downward), under half of it."""
    ends = ((middle[0] + radius * math.cos(a), middle[1] + radius * math.sin(a)) for a in (from_rad, to_rad))
    (ax, ay), (bx, by) = ends
    turn = f"{radius:g} {radius:g} 0 0 {int(to_rad > from_rad)}"
    return f'{_open("path", kind, "")} d="M{ax:.1f} {ay:.1f}A{turn} {bx:.1f} {by:.1f}"/>'


def box(kind: str, at: Point, width: float, height: float) -> str:
    """A rectangle from its upper left corner."""
    return (
        f'{_open("rect", kind, "")} x="{at[0]:g}" y="{at[1]:g}" width="{width:g}" '
        f'height="{round(height, 1):g}"/>'
    )


def text(kind: str, at: Point, anchor: str, said: Text, part: str = "") -> Drawing:
    """A text; ``anchor``: "start", "middle" or "end"."""
    where = f'x="{at[0]:g}" y="{at[1]:g}" text-anchor="{anchor}"'
    return _put(f"{_open('text', kind, part)} {where}>", _text(said), "</text>")


def picture(
    name: str,
    size: tuple[float, float],
    title: Text,
    said: Text,
    shapes: Sequence[Drawing],
    *,
    cut: bool = False,
) -> Drawing:
    """A whole picture; ``title`` and ``said`` are for who cannot see it, ``name`` makes their ids.

    A text, or ``Markup`` where something in it is still to be said. ``cut``: where it gets less height than
    it needs it keeps its width and loses its lower part.
    """
    ids, told = f"{name}-title", _put(f'<title id="{name}-title">', _text(title), "</title>")
    if said:
        ids = f"{ids} {name}-desc"
        told = _put(told, f'<desc id="{name}-desc">', _text(said), "</desc>")
    fit = 'preserveAspectRatio="xMidYMin slice" ' if cut else ""
    start = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size[0]:g} {size[1]:g}" role="img" '
        f'{fit}aria-labelledby="{ids}">'
    )
    return _put(start, told, *shapes, "</svg>")
