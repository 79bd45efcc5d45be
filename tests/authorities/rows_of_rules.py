"""Rulebooks, gear and repetition formulas."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shortlever.gear import PLATE_DIAMETER_M
from shortlever.lifts.bench.gear import BARS, BENCHES, RULEBOOKS
from shortlever.lifts.bench.limits import COMFORTS
from shortlever.trials import FORMULAS, estimate_1rm
from tests.authorities.rows import Case, Row, published


def rule_rows() -> Iterator[Row]:
    """What the core holds of bars, benches and rulebooks."""
    book = published("rules")
    bar, bench, rules = BARS["power"], BENCHES["contest"], RULEBOOKS["ipf"]
    held: dict[str, float] = {
        "forefingers": rules.max_grip_m or math.inf,
        "rings": bar.rings_m[0],
        "weightlifting_rings": BARS["training"].rings_m[0],
        "bar_diameter": bar.diameter_m,
        "between_collars": bar.between_collars_m,
        "bench_height": bench.height_m,
        "bench_width": bench.width_m,
        "disc": PLATE_DIAMETER_M,
    }
    for name, value in held.items():
        entry = book[name]
        low, high = entry.get("low", entry.get("value")), entry.get("high", entry.get("value"))
        yield Case(entry).within(f"R-{name}", entry["definition"], "core data", low, high, value)
    entry = book["elbow_depth"]
    yield Case(entry).sign(
        "R-elbow_depth",
        entry["definition"],
        "core data",
        "yes",
        "yes" if rules.elbow_depth else "no",
        rules.elbow_depth,
    )
    entry = published("bench_press")["cautious_grip"]
    yield Case(entry).near(
        "R-cautious_grip",
        entry["definition"],
        "core data",
        entry["of_biacromial"],
        1e-9,
        COMFORTS["careful"].max_grip_of_biacromial or math.inf,
        "",
    )


def repetition_rows() -> Iterator[Row]:
    """One-rep max from repetitions: the six formulas for 100 kg x 5, and a regression beside them."""
    book = published("repetitions")
    entry = book["formulas"]
    names = {formula.label: key for key, formula in FORMULAS.items()}
    for name in ("Epley", "Brzycki", "Lombardi", "Mayhew", "O'Conner", "Wathan"):
        found = estimate_1rm(100, 5, formula=names[name])
        yield Case(entry).near(
            f"Q1-{names[name]}",
            f"{name}: {entry['definition']}",
            "100 kg x 5",
            entry[name]["kg"],
            0.005,
            found,
            "kg",
        )
    entry = book["reynolds"]
    spread = [estimate_1rm(100, 5, formula=key) for key in FORMULAS]
    yield Case(entry).near(
        "Q2",
        f"mean of the six formulas against: {entry['definition']}",
        "100 kg x 5",
        entry["slope"] * 100 + entry["intercept_kg"],
        entry["see_kg"],
        sum(spread) / len(spread),
        "kg",
    )


GROUPS = (rule_rows, repetition_rows)
