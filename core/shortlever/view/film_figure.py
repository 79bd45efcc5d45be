"""Measured against planned, drawn to scale from the side, head left, feet right, whichever way it was filmed.

Planned in dots, measured in a full line with its 90 % band; the moment arm is the length drawn at the chest.
Shapes carry classes only; the page's stylesheet colours them.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from shortlever.film.measure import Rep, Result
from shortlever.units import show_length
from shortlever.view.escape import escape
from shortlever.view.film_words import FilmWords, Plan, mean_of

WIDTH, HEIGHT = 500, 420
ABOVE_M, BELOW_M, LEFT_M = 0.10, 0.16, 0.34
LABEL_PX = 24
Point = tuple[float, float]


class _Sheet:
    """Places in m from the shoulder to places in the drawing, and the shapes drawn so far."""

    def __init__(self, top_m: float, bottom_m: float) -> None:
        self.per_m = HEIGHT / (top_m - bottom_m)
        self.top_m = top_m
        self.shapes: list[str] = []

    def at(self, y_m: float, z_m: float) -> Point:
        return round(self.per_m * (y_m + LEFT_M), 1), round(self.per_m * (self.top_m - z_m), 1)

    def line(self, kind: str, a: Point, b: Point) -> None:
        self.shapes.append(f'<line class="{kind}" x1="{a[0]:g}" y1="{a[1]:g}" x2="{b[0]:g}" y2="{b[1]:g}"/>')

    def curve(self, kind: str, points: Iterable[Point], closed: bool = False) -> None:
        shape = "polygon" if closed else "polyline"
        joined = " ".join(f"{x:g},{y:g}" for x, y in points)
        self.shapes.append(f'<{shape} class="{kind}" points="{joined}"/>')

    def dot(self, kind: str, at: Point, radius: float) -> None:
        self.shapes.append(f'<circle class="{kind}" cx="{at[0]:g}" cy="{at[1]:g}" r="{radius:.1f}"/>')

    def text(self, at: Point, anchor: str, text: str) -> None:
        x = min(max(at[0], 4.0), WIDTH - 4.0)
        self.shapes.append(
            f'<text class="fig-label" x="{x:g}" y="{at[1]:g}" text-anchor="{anchor}">{escape(text)}</text>'
        )


def draw_film(result: Result, plan: Plan | None, words: FilmWords) -> dict[str, Any]:
    """The figure as SVG text, its title and the same in words."""
    shown, numbers = result.shown, mean_of(words.whole)
    tops = [z for rep in result.reps for _, _, z in rep.press] + [shown.numbers["chest_height"].value + 0.10]
    if plan:
        tops.append(plan.rep.heights_m[-1])
    floor = -(plan.press.body.shoulder_height_m if plan else 0.0)
    low = min(shown.numbers["chest_height"].value - result.stance.radius_m - 0.02, floor - BELOW_M)
    sheet = _Sheet(max(tops) + ABOVE_M, low)
    if plan:
        _body(sheet, plan)
    _paths(sheet, result, shown, plan)
    _arm(sheet, result, shown, words)
    title = "Measured bar path" + (" against the plan" if plan else "")
    text = _said(shown, plan, words, numbers["touch"].value)
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" '
        f'aria-labelledby="film-title film-desc"><title id="film-title">{escape(title)}</title>'
        f'<desc id="film-desc">{escape(text)}</desc>{"".join(sheet.shapes)}</svg>'
    )
    return {"svg": svg, "title": title, "text": text}


def _body(sheet: _Sheet, plan: Plan) -> None:
    """Pad, chest and head of the lifter as planned: where the measured path lies on the body."""
    body, chest = plan.press.body, plan.press.chest
    pad = -body.shoulder_height_m
    left, level = sheet.at(-LEFT_M, pad)
    sheet.shapes.append(
        f'<rect class="fig-bench" x="{left:g}" y="{level:g}" width="{WIDTH - left:g}" '
        f'height="{0.04 * sheet.per_m:.1f}"/>'
    )
    end, steps = chest.top_y_m + 0.10, 12
    across = [chest.notch_y_m + (end - chest.notch_y_m) * i / steps for i in range(steps + 1)]
    outline = [(-0.13, pad + 0.09), *((y, chest.height_m(y) + pad) for y in across)]
    outline.append((end + 0.12, pad + 0.80 * body.chest_flat_m))
    sheet.curve("fig-body", (sheet.at(y, z) for y, z in outline))
    sheet.dot("fig-body", sheet.at(-0.225, pad + 0.105), 0.095 * sheet.per_m)


def _paths(sheet: _Sheet, result: Result, shown: Rep, plan: Plan | None) -> None:
    for rep in result.reps:
        if rep is not shown:
            sheet.curve("film-other", (sheet.at(y, z) for _, y, z in rep.press))
    if shown.press:
        z = [row[2] for row in shown.press]
        band = [sheet.at(y, h) for y, h in zip(shown.press_low, z, strict=True)]
        band += [sheet.at(y, h) for y, h in zip(reversed(shown.press_high), reversed(z), strict=True)]
        sheet.curve("film-band", band, closed=True)
    if plan:
        rows = zip(plan.rep.path_m, plan.rep.heights_m, strict=True)
        sheet.curve("film-plan", (sheet.at(y, h) for y, h in rows))
    sheet.curve("film-down", (sheet.at(y, z) for _, y, z in shown.down))
    sheet.curve("film-press", (sheet.at(y, z) for _, y, z in shown.press))


def _arm(sheet: _Sheet, result: Result, shown: Rep, words: FilmWords) -> None:
    """The plumb line over the shoulder, and from it the moment arm with its error, as lengths."""
    touch, height = shown.numbers["touch"], shown.numbers["chest_height"].value
    shoulder, bar = sheet.at(0.0, 0.0), sheet.at(touch.value, height)
    top = sheet.at(0.0, shown.press[-1][2] if shown.press else height + 0.08)
    sheet.line("fig-path", shoulder, top)
    sheet.dot("fig-plate", bar, result.stance.radius_m * sheet.per_m)
    sheet.line("fig-arm-line", (shoulder[0], bar[1]), bar)
    for y in (touch.low, touch.high):
        x = sheet.at(y, height)[0]
        sheet.line("film-error", (x, bar[1] - 9), (x, bar[1] + 9))
    low, high = (sheet.at(y, height)[0] for y in (touch.low, touch.high))
    sheet.line("film-error", (low, bar[1]), (high, bar[1]))
    sheet.dot("fig-bar", bar, 6)
    sheet.dot("fig-arm", shoulder, 6)
    left = shoulder[0] - 12
    sheet.text((left, bar[1] - LABEL_PX), "end", "Moment arm")
    sheet.text((left, bar[1]), "end", words.with_margin(touch))
    sheet.text((shoulder[0] + 12, shoulder[1] + 7), "start", "Shoulder")
    if words.plan:
        rep = words.plan.rep
        planned = sheet.at(rep.path_m[0], rep.heights_m[0])
        sheet.dot("film-planned", planned, 7)
        right = max(high, planned[0]) + 14
        sheet.text((right, bar[1] + 2 * LABEL_PX), "start", "Planned")
        arm = show_length(words.plan.got.moment_arm_m, words.unit)
        sheet.text((right, bar[1] + 3 * LABEL_PX), "start", f"{arm} {words.unit}")


def _said(shown: Rep, plan: Plan | None, words: FilmWords, mean_touch_m: float) -> str:
    touch = shown.numbers["touch"]
    side = "feet" if touch.value >= 0 else "head"
    text = (
        "Seen from the side, head left. The bar was measured on the chest "
        f"{show_length(abs(touch.value), words.unit)} ± {words.length(touch.margin)} from the shoulder line "
        f"toward the {side}."
    )
    if shown.press:
        stroke = shown.numbers["range_of_motion"]
        end = shown.press[-1][1]
        where = "feet" if end >= 0 else "head"
        text += (
            f" It rose {words.with_margin(stroke)} to {words.length(abs(end))} from the shoulder line toward "
            f"the {where}."
        )
    if plan:
        text += (
            f" Planned, in dots: {words.length(plan.got.moment_arm_m)} on the chest, a stroke of "
            f"{words.length(plan.got.range_of_motion_m)}, ending over the shoulder."
        )
    if len(words.result.reps) > 1:
        text += f" The other reps are thin lines; the mean touch is {words.length(abs(mean_touch_m))}."
    return text
