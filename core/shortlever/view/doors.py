"""The questions of one screen, each by its name in ``want``."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from shortlever.errors import InputError
from shortlever.say import Said

Door = Callable[[Mapping[str, Any]], dict[str, Any]]
Doors = Mapping[str, Door]


def through(doors: Doors, request: Mapping[str, Any]) -> dict[str, Any]:
    """The response object for one question; what goes wrong is in ``errors``, with its place as ``field``."""
    door = doors.get(str(request.get("want")))
    try:
        if door is None:
            raise InputError(
                "want", "not_a_choice", "", Said("no_such_question"), Said("no_such_question_remedy")
            )
        return {"ok": True, "errors": [], "warnings": [], **door(request)}
    except InputError as wrong:
        return {"ok": False, "errors": [wrong.told()], "warnings": []}
