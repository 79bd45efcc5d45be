"""What was sent of a clip or photo, read and checked: every mistake is named with its field and remedy.

Pictures with the lifter's side ahead (of one who lies, the feet) on the left are mirrored while reading, so
that everything after this sees it on the right. px, s, m, rad.

Over 300 lines: each thing that may be sent stands beside the ways in which it can be wrong.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from shortlever.errors import InputError
from shortlever.film.ellipse import Ellipse, fit_ellipse
from shortlever.film.shake import STILL_PX, Moved, Shaken
from shortlever.lifts.film import FilmMark
from shortlever.say import Said, Text, in_row

MOST_FRAMES = 20_000
LONGEST_S = 900.0
LEAST_FRAMES = 8  # of a clip; one frame is a photo
LEAST_QUALITY = 0.2
TRACK_SD_PX = 0.5  # of the followed middle, where nothing is said
MARK_SD_PX = 2.0  # of a finger's mark under a loupe
LEAST_PICTURE, LARGEST_PICTURE = 64, 20_000
LARGEST_NUMBER = 1e7
BAR_END = "bar_end"  # the one mark of every lift


@dataclass(frozen=True)
class Mark:
    """A marked point: time (s), place (px) and its error (1 SD, px); of the bar's end also the radius of the
    sleeve there (px), 0 where it was not found."""

    t: float
    x: float
    y: float
    sd: float
    r: float = 0.0

    @property
    def at(self) -> tuple[float, float]:
        """Its place."""
        return self.x, self.y


@dataclass(frozen=True)
class Seen:
    """The plate in one frame: the middle of its outline and that one's error (px); the outline, if fitted."""

    x: float
    y: float
    sd: float
    outline: Ellipse | None = None


@dataclass(frozen=True)
class Clip:
    """Frames, marks and how the camera was held; ``seen[i]`` is None where the plate was lost.

    ``gone``: frames in which the outline crosses the picture's edge. ``ahead_right`` as seen in the picture
    that was sent, None where nobody said.
    """

    width: float
    height: float
    times: list[float]
    seen: list[Seen | None]
    rims: list[tuple[float, Ellipse]] = field(default_factory=list)
    marks: dict[str, list[Mark]] = field(default_factory=dict)
    edge: tuple[Mark, Mark] | None = None
    ahead_right: bool | None = None
    stands: str | None = None
    upright_sd_rad: float = math.radians(1.5)
    gone: list[int] = field(default_factory=list)
    mirrored: bool = False
    background: bool = False  # whether it was seen how the phone was held
    shake_px: float = 0.0  # how much of shake was taken out, RMS of a coordinate; 0 of a still phone

    @property
    def photo(self) -> bool:
        """Whether it is a single frame."""
        return len(self.times) == 1

    def mirror(self) -> Clip:
        """The same, left and right exchanged."""

        def turn(e: Ellipse | None) -> Ellipse | None:
            return e and replace(e, x=self.width - e.x, tilt=-e.tilt)

        def mark(m: Mark) -> Mark:
            return replace(m, x=self.width - m.x)

        return replace(
            self,
            seen=[s and replace(s, x=self.width - s.x, outline=turn(s.outline)) for s in self.seen],
            rims=[(t, e) for t, rim in self.rims if (e := turn(rim)) is not None],
            marks={key: [mark(m) for m in marks] for key, marks in self.marks.items()},
            edge=self.edge and (mark(self.edge[0]), mark(self.edge[1])),
            mirrored=not self.mirrored,
        )


def _fail(field_: str, code: str, given: Text | float, message: Said, remedy: Said) -> InputError:
    told = given if isinstance(given, Said) else str(given)[:24]
    return InputError(field_, code, told, message, remedy)


def number(value: object, field_: str, default: float | None = None) -> float:
    """A finite number of what was sent, or ``default`` where nothing was."""
    if value is None and default is not None:
        return default
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < LARGEST_NUMBER:
        raise _fail(
            field_,
            "not_a_number",
            str(value),
            Said("film_no_number", {"field": field_, "given": str(value)[:24]}),
            Said("film_mark_or_open_again"),
        )
    return float(value)


def _list(value: object, field_: str) -> Sequence[Any]:
    if value is None:
        return ()
    if isinstance(value, Sequence) and not isinstance(value, str):
        return value
    raise _fail(
        field_,
        "not_a_list",
        type(value).__name__,
        Said("film_no_list", {"field": field_}),
        Said("film_open_again"),
    )


def _object(value: object, field_: str) -> Mapping[str, Any]:
    if value is None:
        return {}
    if isinstance(value, Mapping):
        return value
    said = Said("film_no_object", {"field": field_})
    raise _fail(field_, "not_an_object", type(value).__name__, said, Said("film_open_again"))


def read_clip(request: Mapping[str, Any], marks_of: Sequence[FilmMark], *, marked: bool = True) -> Clip:
    """The clip of a request (see the package's docstring) with a lift's marks. Raises InputError for what
    cannot be used, and where a needed joint is not marked unless it need not be ``marked`` yet."""
    picture = _object(request.get("picture"), "picture")
    width, height = number(picture.get("width"), "picture"), number(picture.get("height"), "picture")
    size = {"width": width, "height": height}
    if not all(LEAST_PICTURE <= v <= LARGEST_PICTURE for v in (width, height)):
        raise _fail(
            "picture",
            "out_of_range",
            Said("film_size", size),
            Said("film_picture_size", size | {"least": LEAST_PICTURE, "most": LARGEST_PICTURE}),
            Said("film_open_another"),
        )
    times, seen = _frames(_list(request.get("frames"), "frames"))
    marks, keys = _object(request.get("marks"), "marks"), [*(mark.key for mark in marks_of), BAR_END]
    camera = _object(request.get("camera"), "camera")
    clip = Clip(
        width,
        height,
        times,
        seen,
        rims=_rims(_list(request.get("rims"), "rims"), times[0]),
        marks={key: _marks(marks, key, times[0]) for key in keys},
        edge=_edge(marks, times[0]),
        ahead_right=_choice(camera, "feet", {"right": True, "left": False}),
        stands=_choice(camera, "stands", {"level": "level", "head": "head", "feet": "feet"}),
        upright_sd_rad=math.radians(min(max(number(camera.get("upright_sd"), "upright_sd", 1.5), 0.05), 20)),
    )
    if clip.photo and seen[0] is None and clip.rims:
        rim = clip.rims[0][1]
        seen = [Seen(rim.x, rim.y, rim.sd)]
    clip = replace(clip, seen=seen)
    clip = replace(clip, gone=_gone(clip))
    gone = set(clip.gone)
    clip = replace(clip, seen=[None if i in gone else s for i, s in enumerate(seen)])
    _check(clip, marks_of if marked else ())
    rows = _moved(_list(request.get("frames"), "frames"), times)
    if rows:
        clip = _steady(replace(clip, background=True), Shaken((width / 2, height / 2), rows))
    return clip.mirror() if clip.ahead_right is False else clip


def _choice(camera: Mapping[str, Any], key: str, options: Mapping[str, Any]) -> Any:
    value = camera.get(key)
    if value is None or value == "":
        return None
    if isinstance(value, str) and value in options:
        return options[value]
    raise _fail(
        key,
        "not_a_choice",
        str(value),
        Said("not_a_choice", {"label": key, "given": str(value)[:24]}),
        Said("choose_one_of", {"options": tuple(options)}),
    )


def _frames(rows: Sequence[Any]) -> tuple[list[float], list[Seen | None]]:
    if not rows:
        raise _fail("frames", "no_frames", "0", Said("film_no_picture"), Said("film_open_one"))
    if len(rows) > MOST_FRAMES:
        raise _fail(
            "frames",
            "too_many_frames",
            len(rows),
            Said("film_too_many_pictures", {"count": len(rows), "most": MOST_FRAMES}),
            Said("film_cut"),
        )
    times: list[float] = []
    seen: list[Seen | None] = []
    for row in rows:
        frame = _object(row, "frames")
        times.append(number(frame.get("t"), "t", 0.0 if len(rows) == 1 else None))
        lost = frame.get("lost") is True or number(frame.get("quality"), "quality", 1.0) < LEAST_QUALITY
        seen.append(None if lost or frame.get("x") is None else _seen(frame))
    if len(rows) > 1:
        _check_times(times)
    return times, seen


def _moved(rows: Sequence[Any], times: Sequence[float]) -> list[Moved]:
    """How the background moved, of the pictures that say it."""
    found = []
    for row, t in zip(rows, times, strict=True):
        if row.get("moved") is None:
            continue
        m = _object(row["moved"], "moved")
        x, y, turn = (number(m.get(key), "moved", 0.0) for key in ("x", "y", "turn"))
        grow = min(max(number(m.get("grow"), "moved", 1.0), 0.5), 2.0)
        found.append(Moved(t, x, y, math.radians(turn), grow, _sd(m.get("sd"), "moved", 0.1)))
    return found


def _steady(clip: Clip, shaken: Shaken) -> Clip:
    """The clip as a phone at rest would have filmed it; as it is where it hardly moved."""
    taken = shaken.taken_out([(t, (s.x, s.y)) for t, s in zip(clip.times, clip.seen, strict=True) if s])
    if taken < STILL_PX:
        return clip

    def seen(s: Seen | None, t: float) -> Seen | None:
        if s is None:
            return None
        (x, y), sd = shaken.back((s.x, s.y), t), math.hypot(s.sd, shaken.at(t).sd)
        return Seen(x, y, sd, s.outline and shaken.outline(s.outline, t))

    def mark(m: Mark) -> Mark:
        x, y = shaken.back(m.at, m.t)
        return replace(m, x=x, y=y)

    return replace(
        clip,
        seen=[seen(s, t) for s, t in zip(clip.seen, clip.times, strict=True)],
        rims=[(t, shaken.outline(e, t)) for t, e in clip.rims],
        marks={key: [mark(m) for m in marks] for key, marks in clip.marks.items()},
        edge=clip.edge and (mark(clip.edge[0]), mark(clip.edge[1])),
        shake_px=taken,
    )


def _check_times(times: list[float]) -> None:
    if times[-1] == times[0]:
        raise _fail("frames", "no_length", "0 s", Said("film_no_length"), Said("film_open_longer"))
    for i in range(1, len(times)):
        if times[i] <= times[i - 1]:
            raise _fail(
                "frames",
                "time_not_rising",
                Said("film_seconds", {"time": times[i]}),
                Said(
                    "film_not_after", {"picture": i + 1, "time": times[i], "other": i, "before": times[i - 1]}
                ),
                Said("film_follow_again"),
            )
    if times[-1] - times[0] > LONGEST_S:
        raise _fail(
            "frames",
            "too_long",
            Said("film_seconds", {"time": round(times[-1] - times[0])}),
            Said("film_too_long", {"time": times[-1] - times[0], "most": LONGEST_S}),
            Said("film_cut"),
        )
    if len(times) < LEAST_FRAMES:
        raise _fail(
            "frames",
            "too_few_frames",
            len(times),
            Said("film_too_few_pictures", {"count": len(times), "least": LEAST_FRAMES}),
            Said("film_longer_or_photo"),
        )


def _seen(frame: Mapping[str, Any]) -> Seen:
    x, y = number(frame.get("x"), "x"), number(frame.get("y"), "y")
    sd = _sd(frame.get("sd"), "sd", TRACK_SD_PX)
    if frame.get("a") is None or frame.get("b") is None:
        return Seen(x, y, sd)
    a, b = number(frame["a"], "a"), number(frame["b"], "b")
    tilt = math.radians(number(frame.get("tilt"), "tilt", 0.0))
    if not 0 < b <= a:
        raise _fail(
            "frames",
            "not_an_ellipse",
            Said("film_axes", {"a": a, "b": b}),
            Said("film_no_ellipse", {"a": a, "b": b}),
            Said("film_mark_rim_again"),
        )
    return Seen(x, y, sd, Ellipse(x, y, a, b, tilt, sd, _sd(frame.get("axes_sd"), "axes_sd", sd)))


def _sd(value: object, field_: str, default: float) -> float:
    return min(max(number(value, field_, default), 0.01), 1000.0)


def _rims(rows: Sequence[Any], start: float) -> list[tuple[float, Ellipse]]:
    found = []
    for row in rows:
        rim = _object(row, "rims")
        points = [_pair(p) for p in _list(rim.get("points"), "rims")]
        if points:
            sd = None if rim.get("sd") is None else _sd(rim["sd"], "sd", 1.0)
            found.append((number(rim.get("t"), "t", start), fit_ellipse(points, sd)))
    return found


def _pair(value: object) -> tuple[float, float]:
    if isinstance(value, Mapping):
        value = (value.get("x"), value.get("y"))
    if not isinstance(value, Sequence) or isinstance(value, str) or len(value) != 2:
        raise _fail("rims", "not_a_point", str(value), Said("film_no_pair"), Said("film_mark_rim_again"))
    return number(value[0], "rims"), number(value[1], "rims")


def read_points(value: object) -> list[tuple[float, float]]:
    """Points [[x, y], …] or [{"x", "y"}, …] of a request."""
    return [_pair(p) for p in _list(value, "rims")]


def _marks(marks: Mapping[str, Any], key: str, start: float) -> list[Mark]:
    found = []
    for row in _list(marks.get(key), key):
        m = _object(row, key)
        found.append(
            Mark(
                number(m.get("t"), key, start),
                number(m.get("x"), key),
                number(m.get("y"), key),
                _sd(m.get("sd"), key, MARK_SD_PX),
                max(number(m.get("r"), key, 0.0), 0.0),
            )
        )
    return sorted(found, key=lambda m: m.t)


def _edge(marks: Mapping[str, Any], start: float) -> tuple[Mark, Mark] | None:
    found = _marks(marks, "edge", start)
    if not found:
        return None
    if len(found) != 2 or math.dist(found[0].at, found[1].at) < 20:
        raise _fail(
            "edge",
            "two_points",
            len(found),
            Said("film_edge_two_points"),
            Said("film_edge_remedy"),
        )
    if abs(found[0].y - found[1].y) > abs(found[0].x - found[1].x):
        raise _fail(
            "edge",
            "upright",
            "",
            Said("film_edge_upright"),
            Said("film_edge_remedy"),
        )
    return found[0], found[1]


def _gone(clip: Clip) -> list[int]:
    """Frames whose outline crosses the edge of the picture."""
    outlines = [s.outline for s in clip.seen if s and s.outline] + [e for _, e in clip.rims]
    if not outlines:
        return []
    usual = sorted(e.a for e in outlines)[len(outlines) // 2]
    found = []
    for i, s in enumerate(clip.seen):
        if s is None:
            continue
        a, b, tilt = (s.outline.a, s.outline.b, s.outline.tilt) if s.outline else (usual, usual, 0.0)
        wide = math.hypot(a * math.cos(tilt), b * math.sin(tilt))
        high = math.hypot(a * math.sin(tilt), b * math.cos(tilt))
        inside = wide - 1 <= s.x <= clip.width - wide + 1 and high - 1 <= s.y <= clip.height - high + 1
        if not inside:
            found.append(i)
    return found


def seconds(times: Sequence[float], frames: Sequence[int]) -> Said:
    """The times of some frames: runs are joined.

    >>> str(seconds([0.0, 0.1, 0.2, 0.3, 0.4], [0, 1, 2, 4]))
    '0.00 to 0.20 s, 0.40 s'
    """
    runs: list[list[int]] = []
    for i in frames:
        if runs and i == runs[-1][1] + 1:
            runs[-1][1] = i
        else:
            runs.append([i, i])
    said = [
        Said("film_at" if a == b else "film_from_to", {"from": times[a], "to": times[b]}) for a, b in runs
    ]
    return Said("film_times_and_more", {"times": said[:6]}) if len(said) > 6 else in_row(said, "comma")


def _check(clip: Clip, marks_of: Sequence[FilmMark]) -> None:
    left = sum(s is not None for s in clip.seen)
    found = {"count": left, "least": LEAST_FRAMES}
    if clip.gone and left < max(0.5 * len(clip.times), 1):
        raise _fail(
            "frames",
            "plate_leaves_picture",
            seconds(clip.times, clip.gone),
            Said("film_plate_leaves", {"times": seconds(clip.times, clip.gone)}),
            Said("film_plate_leaves_remedy"),
        )
    if left == 0 or (not clip.photo and left < LEAST_FRAMES):
        raise _fail(
            "frames",
            "no_plate",
            Said("film_found_in", found | {"all": len(clip.times)}),
            Said("film_few_plates" if left else "film_no_plate", found),
            Said("film_no_plate_remedy"),
        )
    for mark in marks_of:
        if mark.missing and not clip.marks[mark.key]:
            raise InputError(mark.key, "missing", "", *mark.missing)
    if not clip.rims and not any(s and s.outline for s in clip.seen):
        raise _fail(
            "rims",
            "missing",
            "",
            Said("film_no_rim"),
            Said("film_no_rim_remedy"),
        )
