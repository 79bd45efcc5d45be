"""Bar speed in words and drawn: speed over height of every rep beside the plan's curve."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shortlever.draw.svg import Drawing, Point, area, curve, dot, line, picture, text
from shortlever.film.measure import Rep
from shortlever.film.speed import Extreme, RepSpeed
from shortlever.lifts.film import Number
from shortlever.say import Said, Text, in_row
from shortlever.view.film_words import FilmWords

WIDTH, HEIGHT = 500, 320
LEFT, RIGHT, TOP, BOTTOM = 56, 16, 28, 48
TICK_M = {"cm": 0.1, "in": 0.1016}  # 10 cm, 4 in
TICK_M_S = 0.1
LEAST_LOST = 0.03  # a share of the mean speed that is worth a word
MOST_TICKS = 5
PLACES = 4
SIDES = ("value", "low", "high")


def hardest(words: FilmWords) -> tuple[int, RepSpeed] | None:
    """The whole rep that went up slowest, and its place among all."""
    reps = [(i, rep.speed) for i, rep in enumerate(words.result.reps) if rep in words.whole and rep.speed]
    return min(reps, key=lambda one: one[1].mean.value, default=None)


def sentences(words: FilmWords) -> list[Said]:
    """Where the bar was slowest against the plan, and what was lost over reps."""
    found = hardest(words)
    if found is None:
        return []
    place, speed = found
    said = [Said("film_mean_speed", {"speed": with_margin(speed.mean)})]
    planned = words.plan.slowest_up_m if words.plan else None
    if speed.slow is None:
        said.append(Said("film_no_slow"))
    else:
        up = _up(speed.slow[1])
        if planned is None:
            said.append(Said("film_slowest", up))
        else:
            said.append(Said("film_slowest_plan", up | {"plan_m": planned}))
    if words.plan and words.plan.hardest:
        said.append(words.plan.hardest)
    told = [words.of_rep(place, words.told(one)) for one in said]
    lost = words.result.lost
    if lost is not None and lost.value > max(lost.margin, LEAST_LOST):
        told.append(words.told(Said("film_lost", {"share": 100 * lost.value, "margin": 100 * lost.margin})))
    return told


def _up(one: Extreme) -> dict[str, Any]:
    return {"up_m": one.up.value, "margin_m": one.up.margin}


def with_margin(n: Number) -> Said:
    """A speed with its error, which is not less than one of the last place that is shown."""
    return Said("film_speed", {"speed": n.value, "margin": max(n.margin, 0.01)})


def table(words: FilmWords) -> list[list[Text]]:
    """Rows under those of the numbers: a cell for each rep, and the plan's place of the slowest."""
    reps = words.result.reps
    if not any(rep.speed for rep in reps):
        return []
    blank = len(words.table_head()) - 1 - len(reps)
    planned = words.plan.slowest_up_m if words.plan else None
    unseen = Said("film_not_seen")

    def of(extreme: Extreme) -> Said:
        return in_row([with_margin(extreme.speed), Said("film_up", _up(extreme))], "comma")

    def row(label: Said, cells: Sequence[Text], plan: Text = "") -> list[Text]:
        return [label, *cells, *([plan] + [""] * (blank - 1) if blank else [])]

    rows = [row(Said("film_speed_mean"), [with_margin(r.speed.mean) if r.speed else unseen for r in reps])]
    if any(rep.speed and rep.speed.slow for rep in reps):
        labels = Said("film_speed_first"), Said("film_speed_slowest"), Said("film_speed_second")
        none = Said("film_none")
        for i, label in enumerate(labels):
            cells = [of(r.speed.slow[i]) if r.speed and r.speed.slow else none for r in reps]
            rows.append(row(label, cells, Said("length", {"x_m": planned}) if planned and i == 1 else ""))
    else:
        cells = [of(r.speed.quickest) if r.speed else unseen for r in reps]
        rows.append(row(Said("film_speed_quickest"), cells))
    return rows


def lost(share: Number | None) -> dict[str, float] | None:
    """The share of mean speed that was lost over reps, as it travels."""
    return None if share is None else {name: round(getattr(share, name), PLACES) for name in SIDES}


def of_rep(rep: Rep) -> dict[str, Any] | None:
    """The speeds of a rep as they travel: m/s and m, each with its interval."""
    speed = rep.speed
    if speed is None:
        return None

    def number(n: Number) -> dict[str, float]:
        return {side: round(getattr(n, side), PLACES) for side in SIDES}

    def extreme(one: Extreme) -> dict[str, dict[str, float]]:
        return {"speed_m_s": number(one.speed), "up_m": number(one.up)}

    names = ("first_peak", "slowest", "second_peak")
    return {
        "mean_m_s": number(speed.mean),
        "quickest": extreme(speed.quickest),
        "slow": {name: extreme(one) for name, one in zip(names, speed.slow, strict=True)}
        if speed.slow
        else None,
        "curve": [{"up_m": round(up, PLACES), "speed_m_s": number(n)} for up, n in speed.curve],
    }


# ---- the figure


class _Axes:
    """Places in the drawing of a speed (m/s, to the right) and a height (m, up)."""

    def __init__(self, most_m_s: float, most_m: float) -> None:
        self.x = (WIDTH - LEFT - RIGHT) / most_m_s
        self.y = (HEIGHT - TOP - BOTTOM) / most_m

    def at(self, speed: float, up: float) -> Point:
        return round(LEFT + self.x * max(speed, 0.0), 1), round(HEIGHT - BOTTOM - self.y * up, 1)


def draw(words: FilmWords, unit: str) -> dict[str, Any] | None:
    """The figure as SVG text, its title and the same in words; None where no way up was seen."""
    found = hardest(words)
    if found is None:
        return None
    place, shown = found
    plan = words.plan.speeds if words.plan else ()
    curves = [rep.speed.curve for rep in words.result.reps if rep.speed]
    most = max([n.high for rows in curves for _, n in rows] + [v for _, v in plan])
    axes = _Axes(1.05 * most, max([rows[-1][0] for rows in curves] + [up for up, _ in plan]))
    shapes = _ticks(axes, unit, most)
    shapes += [
        curve("film-other", (axes.at(n.value, up) for up, n in rows))
        for rows in curves
        if rows is not shown.curve
    ]
    band = [axes.at(n.low, up) for up, n in shown.curve] + [
        axes.at(n.high, up) for up, n in shown.curve[::-1]
    ]
    shapes.append(area("film-band", band))
    if plan:
        shapes.append(curve("film-plan", (axes.at(v, up) for up, v in plan)))
    shapes.append(curve("film-press", (axes.at(n.value, up) for up, n in shown.curve)))
    if shown.slow is not None:
        slowest = shown.slow[1]
        at = axes.at(slowest.speed.value, slowest.up.value)
        shapes.append(dot("fig-bar", at, 6))
        label = Said("film_slowest_label", {"up_m": slowest.up.value})
        right = at[0] > WIDTH / 2  # no room beyond
        shapes.append(
            text("fig-label", (at[0] + (-12 if right else 12), at[1] + 7), "end" if right else "start", label)
        )
    title = Said("film_speed_title")
    thick = [Said("film_drawn_speed", {"number": place + 1})] if len(curves) > 1 else []
    dots = [Said("film_drawn_speed_plan")] if plan else []
    said = in_row([*thick, *sentences(words), *dots])
    return {"svg": picture("film-speed", (WIDTH, HEIGHT), title, said, shapes), "title": title, "text": said}


def _ticks(axes: _Axes, unit: str, most_m_s: float) -> list[Drawing]:
    top = (HEIGHT - TOP - BOTTOM) / axes.y
    shapes: list[Drawing] = [
        line("fig-stroke", axes.at(0, 0), axes.at(0, top)),
        line("fig-stroke", axes.at(0, 0), (WIDTH - RIGHT, axes.at(0, 0)[1])),
    ]
    step = TICK_M[unit]
    for i in range(1, int(top / step) + 1):
        x, y = axes.at(0, i * step)
        shapes.append(line("fig-stroke", (x - 5, y), (x, y)))
        said = 10 * i if unit == "cm" else 4 * i
        shapes.append(text("fig-label", (x - 10, y + 7), "end", str(said)))
    step = TICK_M_S * max(1, round(most_m_s / TICK_M_S / MOST_TICKS))
    for i in range(1, int(most_m_s / step) + 1):
        x, y = axes.at(i * step, 0)
        shapes.append(line("fig-stroke", (x, y), (x, y + 5)))
        shapes.append(text("fig-label", (x, y + 26), "middle", Said("film_speed_tick", {"speed": i * step})))
    shapes.append(text("fig-label", (LEFT + 10, TOP - 10), "start", unit))
    shapes.append(text("fig-label", (WIDTH - RIGHT, HEIGHT - 6), "end", Said("film_speed_axis")))
    return shapes
