"""Measured against planned, drawn to scale from the side, head left, feet right, whichever way it was filmed.

Planned in dots, measured in a full line with its 90 % band; the moment arm is the length drawn at the chest.
Shapes carry classes only; the page's stylesheet colours them.
"""

from __future__ import annotations

from typing import Any

from shortlever.draw.svg import Drawing, Point, area, box, curve, dot, line, picture, text
from shortlever.film.measure import Rep, Result
from shortlever.lifts.film import FilmPlan
from shortlever.say import Said, Text, in_row
from shortlever.view.film_words import FilmWords, with_margin

WIDTH, HEIGHT = 500, 420
ABOVE_M, BELOW_M = 0.10, 0.16
LABEL_PX = 24
OVER_M = 0.002  # a planned end so near to the origin's line is over it


class _Sheet:
    """Places in m from the shoulder to places in the drawing, and the shapes drawn so far."""

    def __init__(self, top_m: float, bottom_m: float, left_m: float) -> None:
        self.per_m, self.left_m = HEIGHT / (top_m - bottom_m), left_m
        self.top_m = top_m
        self.shapes: list[Drawing] = []

    def at(self, y_m: float, z_m: float) -> Point:
        return round(self.per_m * (y_m + self.left_m), 1), round(self.per_m * (self.top_m - z_m), 1)

    def label(self, at: Point, anchor: str, said: Text) -> None:
        """A text that stays inside the drawing."""
        self.shapes.append(text("fig-label", (min(max(at[0], 4.0), WIDTH - 4.0), at[1]), anchor, said))


def draw_film(result: Result, plan: FilmPlan | None, words: FilmWords) -> dict[str, Any]:
    """The figure as SVG text, its title and the same in words."""
    shown = result.shown
    tops = [z for rep in result.reps for _, _, z in rep.rise] + [shown.rest[1].value + 0.10]
    if plan:
        tops.append(plan.path[-1][1])
    floor = (plan.pad_m if plan else None) or 0.0
    low = min(shown.rest[1].value - result.stance.radius_m - 0.02, floor - BELOW_M)
    sheet = _Sheet(max(tops) + ABOVE_M, low, result.film.left_m)
    if plan:
        _body(sheet, plan)
    for points in shown.sticks:
        sheet.shapes.append(curve("film-stick", (sheet.at(*at) for at in points)))
        sheet.shapes += [dot("fig-bar", sheet.at(*at), 4) for at in points]
    _paths(sheet, result, shown, plan)
    _arm(sheet, result, shown, words)
    title = Said("film_figure_planned" if plan else "film_figure")
    said = _said(shown, plan, words)
    svg = picture("film", (WIDTH, HEIGHT), title, said, sheet.shapes)
    return {"svg": svg, "title": title, "text": said}


def _body(sheet: _Sheet, plan: FilmPlan) -> None:
    """The lifter and what bears him as planned: where the measured path lies on the body."""
    if plan.pad_m is not None:
        left, level = sheet.at(-sheet.left_m, plan.pad_m)
        sheet.shapes.append(box("fig-pad", (left, level), WIDTH - left, 0.04 * sheet.per_m))
    if plan.outline:
        sheet.shapes.append(curve("film-body", (sheet.at(*at) for at in plan.outline)))
    if plan.head is not None:
        (y, z), radius = plan.head
        sheet.shapes.append(dot("film-body", sheet.at(y, z), radius * sheet.per_m))


def _paths(sheet: _Sheet, result: Result, shown: Rep, plan: FilmPlan | None) -> None:
    for rep in result.reps:
        if rep is not shown:
            sheet.shapes.append(curve("film-other", (sheet.at(y, z) for _, y, z in rep.rise)))
    if shown.rise:
        z = [row[2] for row in shown.rise]
        band = [sheet.at(y, h) for y, h in zip(shown.rise_low, z, strict=True)]
        band += [sheet.at(y, h) for y, h in zip(reversed(shown.rise_high), reversed(z), strict=True)]
        sheet.shapes.append(area("film-band", band))
    if plan:
        sheet.shapes.append(curve("film-plan", (sheet.at(*at) for at in plan.path)))
    sheet.shapes.append(curve("film-down", (sheet.at(y, z) for _, y, z in shown.down)))
    sheet.shapes.append(curve("film-press", (sheet.at(y, z) for _, y, z in shown.rise)))


def _arm(sheet: _Sheet, result: Result, shown: Rep, words: FilmWords) -> None:
    """The plumb line over the origin, and from it the bar at rest with its error, as lengths."""
    (touch, at_rest), film = shown.rest, result.film
    height = at_rest.value
    shoulder, bar = sheet.at(0.0, 0.0), sheet.at(touch.value, height)
    top = sheet.at(0.0, shown.rise[-1][2] if shown.rise else height + 0.08)
    sheet.shapes.append(line("fig-path", shoulder, top))
    sheet.shapes.append(dot("fig-plate", bar, result.stance.radius_m * sheet.per_m))
    sheet.shapes.append(line("fig-arm-line", (shoulder[0], bar[1]), bar))
    for y in (touch.low, touch.high):
        x = sheet.at(y, height)[0]
        sheet.shapes.append(line("film-error", (x, bar[1] - 9), (x, bar[1] + 9)))
    low, high = (sheet.at(y, height)[0] for y in (touch.low, touch.high))
    sheet.shapes.append(line("film-error", (low, bar[1]), (high, bar[1])))
    sheet.shapes.append(dot("fig-bar", bar, 6))
    sheet.shapes.append(dot("fig-bar", shoulder, 6))
    left = shoulder[0] - 12
    sheet.label((left, bar[1] - LABEL_PX), "end", words.told(film.arm))
    sheet.label((left, bar[1]), "end", with_margin(touch))
    sheet.label((shoulder[0] + 12, shoulder[1] + 7), "start", words.told(film.marks[0].label))
    if words.plan:
        planned = sheet.at(*words.plan.path[0])
        sheet.shapes.append(dot("film-planned", planned, 7))
        right = max(high, planned[0]) + 14
        sheet.label((right, bar[1] + 2 * LABEL_PX), "start", Said("film_planned"))
        sheet.label((right, bar[1] + 3 * LABEL_PX), "start", Said("length", {"x_m": words.plan.path[0][0]}))


def _said(shown: Rep, plan: FilmPlan | None, words: FilmWords) -> Said:
    film, (touch, _) = words.result.film, shown.rest

    def side(y_m: float) -> Said:
        return film.ahead if y_m >= 0 else film.behind

    at = {"far_m": abs(touch.value), "margin_m": touch.margin, "side": side(touch.value)}
    said = [Said("film_drawn_rest", at)]
    if shown.rise:
        stroke, end = shown.stroke, shown.rise[-1][1]
        rise = {"stroke_m": stroke.value, "margin_m": stroke.margin, "far_m": abs(end), "side": side(end)}
        said.append(Said("film_drawn_rise", rise))
    if plan:
        end = plan.path[-1][0]
        planned = {"far_m": abs(plan.path[0][0]), "stroke_m": plan.stroke_m}
        if abs(end) < OVER_M:
            said.append(Said("film_drawn_plan", planned))
        else:
            off = {"end_m": abs(end), "side": side(end)}
            said.append(Said("film_drawn_plan_off", planned | off))
    if len(words.result.reps) > 1:
        mean = sum(rep.rest[0].value for rep in words.whole) / len(words.whole)
        said.append(Said("film_drawn_others", {"far_m": abs(mean)}))
    return in_row([words.told(one) for one in said])
