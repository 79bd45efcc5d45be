"""JSON text from outside, looked at before it is read."""

from __future__ import annotations

import re

_BRACKETS = re.compile(r'"[^"\\]*(?:\\.[^"\\]*)*"|[\[{]|[\]}]')


def depth(text: str) -> int:
    """How deep brackets nest outside strings. A deep text would exhaust the stack of a browser before
    Python's own check could refuse it.

    >>> depth('{"a": [1, {"b": "[["}]}')
    3
    """
    now = deepest = 0
    for match in _BRACKETS.finditer(text):
        if match[0] in "[{":
            now += 1
            deepest = max(deepest, now)
        elif match[0] in "]}":
            now -= 1
    return deepest
