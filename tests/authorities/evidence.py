"""Published values beside the model's own: one table, misses included.

`python tests/authorities/evidence.py` prints the table, `--markdown` the same for the documentation,
`--lifters` ten invented lifters with their suggestions and what a coach would say about them.

Published values are in the .toml files beside this one; the model's are computed when the table is made.
A row agrees when the model is within the published tolerance; a miss keeps its row and says why it misses.
Where a parameter of the core was set with the published value in view, agreeing is not counted.

Bodies: "average man" is the mean man of ANSUR II; "flat" without an arch, "slight arch" with 3 cm and "big
arch" with 10 cm of it. Both arches are invented, because how the lifters of the studies lay was not measured,
so wherever it matters the flat man is judged too.
"""

from __future__ import annotations

import argparse
import functools
import json
import sys
import textwrap
from dataclasses import asdict, replace
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
for folder in (ROOT, ROOT / "core"):  # so that it runs as a script
    if str(folder) not in sys.path:
        sys.path.insert(0, str(folder))

from tests.authorities import rows_of_bodies, rows_of_rules, ten_lifters  # noqa: E402
from tests.authorities.rows import (  # noqa: E402
    AGREES,
    MISSES,
    NOT_COUNTED,
    REPORTED,
    Row,
    fitted,
    of_lifts,
)


@functools.cache
def table() -> tuple[Row, ...]:
    """Every check, computed now."""
    every = (*rows_of_bodies.GROUPS, *rows_of_rules.GROUPS, *(g for one in of_lifts() for g in one.GROUPS))
    rows = sorted((row for group in every for row in group()), key=order)
    touched = {check for entry in fitted() for check in entry["checks"]}
    return tuple(
        replace(row, verdict=NOT_COUNTED)
        if row.verdict == AGREES and row.id.split("-")[0] in touched
        else row
        for row in rows
    )


def order(row: Row) -> tuple[str, int]:
    """B before C before the bodies, B10 after B9; rows of one check stay as they were made."""
    head = row.id.split("-")[0]
    return head[0], int(head[1:] or 0)


# ---- printing ----------------------------------------------------------------------------------------------


def as_text() -> str:
    out = []
    for row in table():
        out.append(f"{row.id}  {row.verdict.upper() if row.verdict == MISSES else row.verdict}")
        out.append(f"    {row.what} [{row.body}]")
        out.append(f"    published {row.published}; model {row.model}")
        out.append(f"    {row.source} ({row.known})")
        if row.verdict == MISSES:
            out += textwrap.wrap(
                f"why: {row.explanation}", 104, initial_indent="    ", subsequent_indent="      "
            )
    return "\n".join([*out, "", summary()])


def summary() -> str:
    found = [row.verdict for row in table()]
    text = f"{len(found)} checks: " + ", ".join(
        f"{found.count(v)} {said}"
        for v, said in (
            (AGREES, "agree"),
            (NOT_COUNTED, "agree but are not counted"),
            (MISSES, "miss"),
            (REPORTED, "only reported"),
        )
    )
    for entry in fitted():
        text += f"\nFitted: {entry['parameter']}: {entry['to']}"
    return text


def as_markdown() -> str:
    def cell(text: str) -> str:
        return text.replace("|", "\\|")

    out = [
        "| id | check | body | published | model | verdict | source |",
        "| --- | --- | --- | --- | --- | --- | --- |",
    ]
    for row in table():
        found = f"**misses**: {row.explanation}" if row.verdict == MISSES else row.verdict
        cells = (row.id, row.what, row.body, row.published, row.model, found, f"{row.source} ({row.known})")
        out.append("| " + " | ".join(cell(c) for c in cells) + " |")
    return "\n".join([*out, "", summary().replace("\n", "  \n")])


def as_json() -> str:
    """For the site's page: rows with their explanation, the count of verdicts, and what was fitted."""
    counts, *fitted = summary().split("\n")
    rows = [asdict(row) | {"explanation": row.explanation} for row in table()]
    return json.dumps({"counts": counts, "fitted": fitted, "rows": rows}, indent=1, ensure_ascii=False)


def main() -> None:
    parser = argparse.ArgumentParser(description="Published values beside the model's own.")
    parser.add_argument("--markdown", action="store_true", help="as a Markdown table")
    parser.add_argument("--json", action="store_true", help="as JSON, for site_src/docs/evidence.json")
    parser.add_argument("--lifters", action="store_true", help="ten invented lifters and their suggestions")
    asked = parser.parse_args()
    ways = {"lifters": ten_lifters.as_text, "markdown": as_markdown, "json": as_json}
    print(next((tell for name, tell in ways.items() if getattr(asked, name)), as_text)())


if __name__ == "__main__":
    main()
