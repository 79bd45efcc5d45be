"""The one view-model: a request as JSON text in, everything a screen shows as JSON text out."""

from __future__ import annotations

from typing import Any

from shortlever.fitting import request
from shortlever.lifts import LIFTS, UNNAMED
from shortlever.say import ENGLISH, Language, Voice
from shortlever.view.answer import answer, example_request

__all__ = ["answer", "at_each_set", "cautions", "choices", "example_request", "form", "leanings"]


def form(lift: str = UNNAMED, language: Language = ENGLISH) -> list[dict[str, Any]]:
    """The fields of a lift's form in order, with labels, hints, steps and an example value (cm or kg)."""
    said: list[dict[str, Any]] = Voice(language).all(request.form(lift))
    return said


def choices(lift: str = UNNAMED, language: Language = ENGLISH, unit: str = "cm") -> list[dict[str, Any]]:
    """The choices of a lift's form in order: key, label, options (value and label) and the default."""
    said: list[dict[str, Any]] = Voice(language, unit).all(request.choices(lift))
    return said


def at_each_set(lift: str = UNNAMED, language: Language = ENGLISH) -> dict[str, str]:
    """What the screen of sets says of a lift's sets: "held", "not_held", "ready", "stop"."""
    said = LIFTS[lift].at_each_set
    voice = Voice(language)
    return {name: voice.say(getattr(said, name)) for name in ("held", "not_held", "ready", "stop")}


def leanings(lift: str = UNNAMED, language: Language = ENGLISH) -> list[str]:
    """What a lift's dial stands for near 0, in between, near 1."""
    return [Voice(language).say(text) for text in LIFTS[lift].leanings]


def cautions(lift: str = UNNAMED, language: Language = ENGLISH) -> list[tuple[str, str | None]]:
    """The cautions before the first setup of a lift, each with its source."""
    return [
        (Voice(language).say(text), None if source is None else str(source))
        for text, source in LIFTS[lift].cautions
    ]
