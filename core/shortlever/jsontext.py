"""JSON text from outside, looked at before it is read."""

from __future__ import annotations

DEEPEST_TOLD = 100
_ALIKE = bytes.maketrans(b"{}", b"[]")
_REST = bytes(set(range(256)) - set(b'{}[]"'))


def depth(text: str) -> int:
    """How deep brackets nest outside strings; more than DEEPEST_TOLD is told as one more. A deep text would
    exhaust the stack of a browser before Python's own check could refuse it.

    >>> depth('{"a": [1, {"b": "[["}]}'), depth("[" * 10_000), depth("]]")
    (3, 101, 0)
    """
    plain = text.replace("\\\\", "").replace('\\"', "")  # every quote that is left begins or ends a string
    marks = plain.encode("utf-8", "surrogatepass").translate(_ALIKE, _REST)
    brackets = b"".join(marks.replace(b'""', b"").split(b'"')[::2])
    for deepest in range(DEEPEST_TOLD + 1):
        inside = brackets.replace(b"[]", b"")
        if inside == brackets:  # what never closes
            return min(deepest + brackets.count(b"["), DEEPEST_TOLD + 1)
        brackets = inside
    return DEEPEST_TOLD + 1
