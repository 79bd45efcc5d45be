"""English: the texts, a JSON file for each subject, as subjects.json lists them."""

from __future__ import annotations

import json
import pkgutil
from typing import Any

from shortlever.say.language import Entry, Language, one_or_other


def _read(name: str) -> Any:
    # When it is imported: a snapshot of memory, from which a browser starts, has no files.
    return json.loads(pkgutil.get_data(__name__, f"{name}.json") or b"")


SUBJECTS: dict[str, dict[str, Entry]] = {name: _read(name) for name in _read("subjects")}
ENGLISH = Language({code: text for texts in SUBJECTS.values() for code, text in texts.items()}, one_or_other)
