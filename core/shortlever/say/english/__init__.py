"""English: the texts, a JSON file for each subject, as subjects.json lists them.

The subjects under "asked" belong to lifts that a browser fetches when they are asked for. They are read with
the first code that no other subject has.
"""

from __future__ import annotations

import json
import pkgutil
import sys
from collections.abc import Iterator, MutableMapping
from typing import Any

from shortlever.say.language import Entry, Language, one_or_other


def read(name: str) -> Any:
    """A file of this folder."""
    return json.loads(pkgutil.get_data(__name__, f"{name}.json") or b"")


SUBJECTS: dict[str, list[str]] = read("subjects")


class Texts(MutableMapping[str, Entry]):
    """Texts by code."""

    def __init__(self) -> None:
        self._texts: dict[str, Entry] = {}
        self._asked = list(SUBJECTS["asked"])
        for name in SUBJECTS["first"]:  # now: a snapshot of memory, from which a browser starts, has no files
            self._take(name)

    def _take(self, name: str) -> None:
        for code, text in read(name).items():
            self._texts[sys.intern(code)] = text  # the source that says it holds the same code

    def _all(self) -> dict[str, Entry]:
        while self._asked:
            self._take(self._asked[0])
            del self._asked[0]
        return self._texts

    def __getitem__(self, code: str) -> Entry:
        return self._texts[code] if code in self._texts else self._all()[code]

    def __setitem__(self, code: str, text: Entry) -> None:
        self._texts[code] = text

    def __delitem__(self, code: str) -> None:
        del self._texts[code]

    def __iter__(self) -> Iterator[str]:
        return iter(self._all())

    def __len__(self) -> int:
        return len(self._all())


ENGLISH = Language(Texts(), one_or_other)
