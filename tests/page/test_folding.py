"""The page's own idea of a trial, shown before Python has answered, against the core's."""

from __future__ import annotations

import json
import random
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

from shortlever import trials
from shortlever.trials import repmax
from shortlever.view import sets as core_sets
from shortlever.view import sets_changes
from site_src.make import ground

Change = dict[str, Any]
LABELS = ("Grip 60.0 cm", "Grip 71.5 cm", "Grip 65.0 cm", "Grip 81.0 cm")
AS_THE_PAGE_SEES_IT = """
import { modelOf, coming } from %s;
let text = '';
for await (const part of process.stdin) text += part;
const seen = JSON.parse(text).map(([log, pending, date]) => {
  const model = modelOf(log, pending);
  return [
    model.candidates.map((c) =>
      [c.key, c.label, c.index, c.stroke_m ?? null, c.mean_arm_m ?? null, c.dial ?? null,
        c.marks ?? [], Boolean(c.present), c.pain, c.cleared]),
    model.sets.map((s) =>
      [s.number, s.date, s.candidate, s.load_kg, s.reps, s.reps_in_reserve, s.touched, s.pain,
        s.measured?.touch_m ?? null]),
    model.next_number,
    model.formula,
    model.margin_percent,
    model.sets_each,
    model.earlier.length,
    model.canUndo,
    coming(model, date),
  ];
});
process.stdout.write(JSON.stringify(seen));
"""


def as_the_core_sees_it(log: trials.TrialLog, date: str) -> list[Any]:
    return [
        [
            [c.key, c.label, c.index, c.stroke_m, c.mean_arm_m, c.dial, list(c.marks),
             c.present, c.pain, c.cleared]
            for c in log.candidates
        ],
        [
            [s.number, s.date, s.candidate, s.load_kg, s.reps, s.reps_in_reserve, s.touched, s.pain,
             s.measured.touch_m if s.measured else None]
            for s in log.sets
        ],
        log.next_number,
        log.formula,
        log.margin_percent,
        log.sets_each,
        len(log.earlier),
        core_sets._undoes(log) is not None,
        core_sets.coming(log, date),
    ]  # fmt: skip


def a_set(dice: random.Random) -> dict[str, Any]:
    return {
        "candidate": dice.choice("ABCD"),
        "load": dice.choice(["60", "102.5", "97,5", "61 1/4", "61 3/2", "heavy"]),
        "unit": "kg",
        "reps": dice.choice(["3", "5", "1/2"]),
        "reserve": dice.choice(["2", "1,5", "1 1/2"]),
        "touched": dice.random() < 0.8,
        "pain": dice.random() < 0.15,
    }


def a_candidate(dice: random.Random) -> dict[str, Any]:
    label = dice.choice(LABELS)
    found: dict[str, Any] = {"label": label, "index": 5.0, "stroke_m": 0.35, "mean_arm_m": 0.12}
    found["present"] = label == LABELS[0]
    return found | ({"dial": 0.25, "marks": ["on the ring"]} if label == LABELS[1] else {})


MAKE: dict[str, tuple[int, Callable[[random.Random], Change]]] = {  # how often, and what with
    "add_candidate": (2, lambda dice: {"candidate": a_candidate(dice)}),
    "remove_candidate": (1, lambda dice: {"candidate": dice.choice("ABCD")}),
    "clear_pain": (1, lambda dice: {"candidate": dice.choice("ABCD")}),
    "add_set": (8, lambda dice: {"set": a_set(dice)}),
    "edit_set": (1, lambda dice: {"number": dice.randint(1, 12), "set": a_set(dice)}),
    "delete_set": (1, lambda dice: {"number": dice.randint(1, 12)}),
    "attach_film": (
        2,
        lambda dice: {"number": dice.randint(1, 6), "measured": {"touch_m": dice.choice([0.1, 0.2])}},
    ),
    "formula": (1, lambda dice: {"formula": dice.choice(list(repmax.FORMULAS))}),
    "terms": (
        1,
        lambda dice: {"margin_percent": dice.choice([1, 2, 3, 5]), "sets_each": dice.choice([12, 18, 24])},
    ),
    "new_trial": (1, lambda dice: {"keep": dice.choice([*"ABCD", None])}),
    "undo": (4, lambda dice: {}),
}


def some_changes(dice: random.Random, count: int) -> list[Change]:
    """What people tap, sense and nonsense."""
    kinds = dice.choices(list(MAKE), [weight for weight, _ in MAKE.values()], k=count)
    days = sorted(dice.randint(1, 4) for _ in kinds)
    return [
        {"what": kind, "at": f"2020-05-{day:02d}T18:00:00"} | MAKE[kind][1](dice)
        for kind, day in zip(kinds, days, strict=True)
    ]


def test_every_change_the_core_knows_is_tried() -> None:
    assert MAKE.keys() == sets_changes.CHANGES.keys()


def test_page_and_core_agree_on_any_changes(dist: Path) -> None:
    asked, expected = [], []
    for seed in range(200):
        dice = random.Random(seed)
        first = [{"what": "add_candidate", "at": "2020-05-01T10:00"} for _ in "AB"]
        changes = [*(one | {"candidate": a_candidate(dice)} for one in first), *some_changes(dice, 25)]
        cut, date = dice.randint(0, len(changes)), f"2020-05-{dice.randint(1, 5):02d}"
        before, _ = core_sets.fold(trials.TrialLog(), changes[:cut])
        after, _ = core_sets.fold(before, changes[cut:])
        asked.append([trials.to_json(before), changes[cut:], date])
        expected.append(as_the_core_sees_it(after, date))
    script = AS_THE_PAGE_SEES_IT % json.dumps((dist / "page" / "shared" / "model.mjs").as_uri())
    done = subprocess.run(
        [ground.VENV / "bin" / "node", "--input-type=module", "--eval", script],
        input=json.dumps(asked), capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    for seed, (seen, wanted) in enumerate(
        zip(json.loads(done.stdout), json.loads(json.dumps(expected)), strict=True)
    ):
        assert seen == wanted, (seed, asked[seed])
