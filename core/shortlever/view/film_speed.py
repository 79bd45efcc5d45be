"""Bar speed in words and drawn: speed over height of every rep beside the plan's curve."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shortlever.draw.svg import Point, area, curve, dot, line, picture, text
from shortlever.film.measure import Rep
from shortlever.film.speed import Extreme, RepSpeed
from shortlever.lifts.film import Number
from shortlever.say import Said
from shortlever.view.film_words import FilmWords

WIDTH, HEIGHT = 500, 320
LEFT, RIGHT, TOP, BOTTOM = 56, 16, 28, 48
TICK_M = {"cm": 0.1, "in": 0.1016}  # 10 cm, 4 in
TICK_M_S = 0.1
LEAST_LOST = 0.03  # a share of the mean speed that is worth a word
MOST_TICKS = 5
PLACES = 4


def hardest(words: FilmWords) -> tuple[int, RepSpeed] | None:
    """The whole rep that went up slowest, and its place among all."""
    reps = [(i, rep.speed) for i, rep in enumerate(words.result.reps) if rep in words.whole and rep.speed]
    return min(reps, key=lambda one: one[1].mean.value, default=None)


def sentences(words: FilmWords) -> list[str]:
    """Where the bar was slowest against the plan, and what was lost over reps."""
    found = hardest(words)
    if found is None:
        return []
    place, speed = found
    said = []
    values = {"speed": speed.mean.value, "margin": _shown(speed.mean)}
    said.append(Said("film_mean_speed", values))
    planned = words.plan.slowest_up_m if words.plan else None
    if speed.slow is None:
        said.append(Said("film_no_slow", {}))
    else:
        up = speed.slow[1].up
        heights: dict[str, float | str | Said] = {"up_m": up.value, "margin_m": up.margin}
        if planned is None:
            said.append(Said("film_slowest", heights))
        else:
            said.append(Said("film_slowest_plan", {**heights, "plan_m": planned}))
    name = f"Rep {place + 1}: " if len(words.result.reps) > 1 else ""
    told = [f"{name}{words.say(one)}" for one in said]
    lost = words.result.lost
    if lost is not None and lost.value > max(lost.margin, LEAST_LOST):
        share = {"share": 100 * lost.value, "margin": 100 * lost.margin}
        told.append(words.say(Said("film_lost", share)))
    return told


def _shown(n: Number) -> float:
    """A margin of a speed that is shown with two places: not less than one of the last."""
    return max(n.margin, 0.01)


def with_margin(n: Number) -> str:
    """A speed with its error."""
    return f"{n.value:.2f} ± {_shown(n):.2f} m/s"


def table(words: FilmWords) -> list[list[str]]:
    """Rows under those of the numbers: a cell for each rep, and the plan's place of the slowest."""
    reps = words.result.reps
    if not any(rep.speed for rep in reps):
        return []
    blank = len(words.table_head()) - 1 - len(reps)
    planned = words.plan.slowest_up_m if words.plan else None
    missing = words.say(Said("film_not_seen"))

    def of(extreme: Extreme) -> str:
        up = Said("film_up", {"up_m": extreme.up.value, "margin_m": extreme.up.margin})
        return f"{with_margin(extreme.speed)}, {words.say(up)}"

    def row(label: Said, cells: Sequence[str], plan: str = "") -> list[str]:
        return [words.say(label), *cells, *([plan] + [""] * (blank - 1) if blank else [])]

    rows = [row(Said("film_speed_mean"), [with_margin(r.speed.mean) if r.speed else missing for r in reps])]
    if any(rep.speed and rep.speed.slow for rep in reps):
        labels = Said("film_speed_first"), Said("film_speed_slowest"), Said("film_speed_second")
        none = words.say(Said("film_none"))
        for i, label in enumerate(labels):
            cells = [of(r.speed.slow[i]) if r.speed and r.speed.slow else none for r in reps]
            rows.append(row(label, cells, words.length(planned) if planned and i == 1 else ""))
    else:
        cells = [of(r.speed.quickest) if r.speed else missing for r in reps]
        rows.append(row(Said("film_speed_quickest"), cells))
    return rows


def of_rep(rep: Rep) -> dict[str, Any] | None:
    """The speeds of a rep as they travel: m/s and m, each with its interval."""
    speed = rep.speed
    if speed is None:
        return None

    def number(n: Number) -> dict[str, float]:
        return {"value": round(n.value, PLACES), "low": round(n.low, PLACES), "high": round(n.high, PLACES)}

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


def draw(words: FilmWords) -> dict[str, Any] | None:
    """The figure as SVG text, its title and the same in words; None where no way up was seen."""
    found = hardest(words)
    if found is None:
        return None
    place, shown = found
    plan = words.plan.speeds if words.plan else ()
    curves = [rep.speed.curve for rep in words.result.reps if rep.speed]
    most = max([n.high for rows in curves for _, n in rows] + [v for _, v in plan])
    axes = _Axes(1.05 * most, max([rows[-1][0] for rows in curves] + [up for up, _ in plan]))
    shapes = _ticks(axes, words, most)
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
        shapes.append(text("fig-label", (at[0] + 12, at[1] + 7), "start", words.say(label)))
    title = words.say(Said("film_speed_title"))
    told = [Said("film_drawn_speed", {"number": place + 1})] if len(curves) > 1 else []
    said = " ".join([*(words.say(one) for one in told), *sentences(words)])
    if plan:
        said += " " + words.say(Said("film_drawn_speed_plan"))
    return {"svg": picture("film-speed", (WIDTH, HEIGHT), title, said, shapes), "title": title, "text": said}


def _ticks(axes: _Axes, words: FilmWords, most_m_s: float) -> list[str]:
    top = (HEIGHT - TOP - BOTTOM) / axes.y
    shapes = [
        line("fig-stroke", axes.at(0, 0), axes.at(0, top)),
        line("fig-stroke", axes.at(0, 0), (WIDTH - RIGHT, axes.at(0, 0)[1])),
    ]
    step = TICK_M[words.unit]
    for i in range(1, int(top / step) + 1):
        x, y = axes.at(0, i * step)
        shapes.append(line("fig-stroke", (x - 5, y), (x, y)))
        said = 10 * i if words.unit == "cm" else 4 * i
        shapes.append(text("fig-label", (x - 10, y + 7), "end", str(said)))
    step = TICK_M_S * max(1, round(most_m_s / TICK_M_S / MOST_TICKS))
    for i in range(1, int(most_m_s / step) + 1):
        x, y = axes.at(i * step, 0)
        shapes.append(line("fig-stroke", (x, y), (x, y + 5)))
        shapes.append(text("fig-label", (x, y + 26), "middle", f"{i * step:.1f}"))
    shapes.append(text("fig-label", (LEFT + 10, TOP + 2), "start", words.unit))
    shapes.append(text("fig-label", (WIDTH - RIGHT, HEIGHT - 6), "end", words.say(Said("film_speed_axis"))))
    return shapes
