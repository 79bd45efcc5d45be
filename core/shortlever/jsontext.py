"""JSON text from outside, looked at before it is read."""

from __future__ import annotations

import re

_STRINGS = re.compile(r'"[^"\\]*(?:\\.[^"\\]*)*"')
_ALIKE = str.maketrans("{}", "[]")
DEEPEST_TOLD = 100


def depth(text: str) -> int:
    """How deep brackets nest outside strings; more than DEEPEST_TOLD is told as one more. A deep text would
    exhaust the stack of a browser before Python's own check could refuse it.

    >>> depth('{"a": [1, {"b": "[["}]}'), depth("[" * 10_000), depth("]]")
    (3, 101, 0)
    """
    brackets = re.sub(r"[^][]+", "", _STRINGS.sub("", text).translate(_ALIKE))
    for deepest in range(DEEPEST_TOLD + 1):
        inside = brackets.replace("[]", "")
        if inside == brackets:  # what never closes
            return min(deepest + brackets.count("["), DEEPEST_TOLD + 1)
        brackets = inside
    return DEEPEST_TOLD + 1
