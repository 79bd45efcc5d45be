"""The worked example: its blocks run one after the other, what they print beside what stands under them."""

from __future__ import annotations

import contextlib
import io
import re
from collections.abc import Iterator
from pathlib import Path

FILE = Path(__file__).with_name("notebook.md")
BLOCK = re.compile(r"```python\n(.*?)```\n\n```text\n(.*?)```\n", re.DOTALL)


def run(text: str) -> Iterator[tuple[str, str, str]]:
    """Every block: its code, what stands under it, what it printed."""
    names: dict[str, object] = {"__name__": "notebook"}
    for code, shown in BLOCK.findall(text):
        said = io.StringIO()
        with contextlib.redirect_stdout(said):
            exec(compile(code, FILE.name, "exec"), names)
        yield code, shown, said.getvalue()


def renewed(text: str) -> str:
    """The text with what its blocks print now under them."""
    for code, shown, said in list(run(text)):
        text = text.replace(
            f"```python\n{code}```\n\n```text\n{shown}```", f"```python\n{code}```\n\n```text\n{said}```", 1
        )
    return text


if __name__ == "__main__":
    FILE.write_text(renewed(FILE.read_text(encoding="utf-8")), encoding="utf-8")
