"""A lift is one value: one that moves in is on the form, in suggestions, sheets, links, trials and files."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import shortlever
from shortlever import cli, roster, team, view
from shortlever.errors import LiftAway
from shortlever.fitting.fit import fit
from shortlever.fitting.request import read_request
from shortlever.lifts import LIFTS, Lifts
from shortlever.lifts.lift import MORE, SCREEN
from shortlever.trials.checks import MOST_CHARACTERS
from tests.core.chin_up import ChinUp, move_in
from tests.core.film_world import Motion, Noise, World, camera_at, request_of, times_of

TOY = ChinUp()
ASKED = {
    "lift": "chin_up",
    "unit": "cm",
    "fields": {"arm_length": "62", "current_hands": "30"},
    "sex": "female",
}
RESERVED = {"v", "l", "u", "q", "k"}  # of links, for every lift


@pytest.fixture(autouse=True)
def moved_in(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    move_in(monkeypatch, TOY)
    yield


def ask(**request: Any) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(view.answer(json.dumps(request)))
    return found


def test_nothing_above_the_lifts_names_one() -> None:
    core = Path(shortlever.__file__).parent
    named = [
        file.relative_to(core).as_posix()
        for file in core.rglob("*.py")
        if file.relative_to(core).parts[0] != "lifts" and "bench" in file.read_text("utf-8").casefold()
    ]
    assert named == []


def test_a_lift_that_is_away_is_told_apart_from_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    """In a browser that has not fetched it: whoever asks fetches it, and asks again."""
    away = Lifts({}, {"row": "shortlever.lifts.row.lift:ROW"})
    assert list(away) == ["row"] and "row" in away and len(away) == 1
    with pytest.raises(LiftAway):
        away["row"]
    monkeypatch.setitem(LIFTS._lifts, "row", "shortlever.lifts.row.lift:ROW")
    with pytest.raises(LiftAway):
        ask(lift="row", unit="cm", fields={})
    monkeypatch.setitem(LIFTS._lifts, "row", "shortlever.lifts.bench.lift:BENCH_PRESS")
    assert LIFTS["row"] is LIFTS["bench"]


def test_it_is_on_the_form() -> None:
    form = view.form("chin_up")
    assert [(f["key"], f["required"], f["group"]) for f in form] == [
        ("arm_length", True, "tape"),
        ("current_hands", False, "present"),
    ]
    assert [c["key"] for c in view.choices("chin_up")] == ["sex"]
    assert ask(lift="chin_up", unit="cm", fields={})["errors"][0]["field"] == "arm_length"
    wrong = ask(**ASKED | {"fields": {"arm_length": "62", "current_hands": "9 m"}})
    assert wrong["errors"][0]["message"].startswith("Present hands: “9 m” is outside 10 to 100 cm")


def test_it_suggests_and_compares() -> None:
    said = ask(**ASKED)
    assert said["ok"] and [n["value"] for n in said["headline"]] == ["37.0"]
    assert said["gain"]["text"] == "+7.0 cm" and not said["chosen"]
    picked = ask(**ASKED | {"choice": {"hands_m": 0.9}})
    assert picked["chosen"] and picked["setup"] == {"hands_m": 0.62}
    assert ask(**ASKED | {"preference": 1.0})["headline"][0]["value"] == "49.5"
    assert ask(**ASKED | {"want": "doubt"})["intervals"] == {"hands": "30 to 40 cm"}
    assert ask(**view.example_request("chin_up"))["example"]


def filmed() -> dict[str, Any]:
    """A chin-up filmed from the side, the plate 4 cm in front of the hip in the hang, rising 50 cm."""
    motion = Motion([(0.04, -0.30), (0.02, 0.0), (0.0, 0.20)], wait_s=0.4, down_s=0.8, press_s=0.8)
    camera = camera_at((0.69, *motion.way(0.5)), 3.5, off_deg=3, focal_px=1400)
    world = World(camera, motion, half_shoulder_m=0.17)
    request = request_of(world, times_of(motion, 24), Noise(0.2, 0.3, 0.7, 0.0, 0.7), random.Random(1))
    request["marks"]["hip"] = request["marks"].pop("shoulder")
    return request | {"fit": ASKED}


def test_its_film_is_measured_by_its_own_marks_and_numbers() -> None:
    form = ask(want="film/form", unit="cm", lift="chin_up")
    [mark] = form["marks"]
    assert mark["key"] == "hip" and mark["label"] == "Hip" and mark["need"] == "needed"
    assert mark["hint"] == "The near hip joint." and mark["lead"] == "Mark it."
    said = ask(**filmed())
    assert said["ok"], said["errors"]
    rise, gap = said["reps"][0]["numbers"]
    assert rise["low_m"] <= 0.50 <= rise["high_m"] and rise["plan_m"] == pytest.approx(0.558)
    assert gap["low_m"] <= 0.04 <= gap["high_m"] and gap["high_m"] - gap["low_m"] < 0.05
    assert [(head["key"], head["label"]) for head in said["headline"]] == [("rise", "Rise")]
    assert said["sentences"][0].startswith("Rise 5.") and said["sentences"][0].endswith("lower than planned.")
    assert said["sentences"][1].startswith("Motionless in the hang for 0.7")
    assert "from the hip line toward the front" in said["figure"]["text"]
    texts = json.dumps(said).replace("film-press", "")
    assert [word for word in ("chest", "shoulder", "press", "head left", "feet") if word in texts] == []
    unmarked = filmed()
    unmarked["marks"] = {}
    assert [e["message"] for e in ask(**unmarked)["errors"]] == ["The hip is not marked."]
    unmarked = filmed() | {"lift": "curl"}
    del unmarked["fit"]
    assert ask(**unmarked)["errors"][0]["code"] == "not_a_choice"


def test_its_link_opens() -> None:
    request = ASKED | {"preference": 0.25, "choice": {"hands_m": 0.5}}
    fragment = ask(**request, want="link")["fragment"]
    assert fragment.startswith("v=2&l=chin_up&")
    assert ask(want="open", fragment=fragment)["request"] == request


def test_its_setups_go_on_trial_and_into_a_file_and_back() -> None:
    trial = ask(**ASKED)["trial"][0] | {"present": True}
    other = trial | {"label": "hands 45.0 cm apart", "present": False}
    at = "2031-05-05T18:00:00.000Z"
    changes = [{"what": "add_candidate", "at": at, "candidate": one} for one in (trial, other)]
    entry = {"candidate": "B", "load": "80", "unit": "kg", "reps": "5", "reserve": "2"}
    changes.append({"what": "add_set", "at": at, "set": entry})
    verdict = ask(want="sets/verdict", lift="chin_up", log="", pending=changes, unit="kg", date="2031-05-06")
    assert verdict["ok"] and verdict["refused"] == [] and len(verdict["rows"]) == 1
    kept = roster.record.nothing_of_lift() | {"choice": {"hands_m": 0.5}}
    kept["trials"]["log"] = verdict["log"]
    golden = json.loads((Path(__file__).parent / "lifters-2.json").read_text("utf-8"))
    golden["lifters"] = golden["lifters"][:1]
    golden["lifters"][0] |= {"lift": "chin_up", "conflicts": []}
    golden["lifters"][0]["lifts"]["chin_up"] = kept
    text = json.dumps(golden)
    record = golden["lifters"][0]
    mine = record | {"lifts": record["lifts"] | {"chin_up": kept | {"choice": None}}}
    seen = ask(want="lifters/preview", text=text, here={record["id"]: mine}, base={}, names=[])
    assert seen["ok"] and seen["damaged"] == []
    [difference] = seen["lifters"][0]["differences"]
    assert difference["label"] == "Setup chosen, chin-up"
    assert (difference["mine"], difference["theirs"]) == ("–", "hands 50.0 cm apart")
    choices = {record["id"]: "theirs"}
    taken = ask(
        want="lifters/merge", text=text, here={}, base={}, names=[], choices=choices, spare={}, now=at
    )
    assert taken["records"] == [record]


def test_its_sheet_comes_back_with_setups() -> None:
    example = ask(want="team/example", lift="chin_up", unit="cm")["text"]
    assert example.splitlines()[0] == "Lifter,Arm length (cm),Present hands (cm),Sex"
    read = ask(want="team/read", lift="chin_up", text=example, unit=None, assign={})
    assert read["ok"] and read["notes"] == [] and read["problems"] == []
    assert "shoulder_breadth" not in [one["key"] for one in read["keys"]]
    [result] = ask(want="team/fit", rows=read["rows"])["results"]
    assert result["ok"] and result["cells"] == {"hands": "36.0", "gain": "+6.0 cm", "rests": "1 taped"}
    assert ask(want="open", fragment=result["fragment"])["request"]["lift"] == "chin_up"
    asked = {"want": "team/write", "lift": "chin_up", "text": example, "unit": "cm", "assign": {}}
    written = ask(**asked, results={"2": result["cells"]})["csv"]
    assert "Setup: between the thumbs (cm)" in written and "36.0" in written


def test_its_commands_are_its_own(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tape = tmp_path / "tape.json"
    tape.write_text('{"arm_length": "62 cm"}', encoding="utf-8")
    assert cli.main(["assess", "--lift", "chin_up", str(tape), "--hands", "0.4", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {"hands_m": 0.4}
    assert cli.main(["suggest", "--lift=chin_up", str(tape)]) == 0
    assert capsys.readouterr().out.startswith("Hands 37 cm")
    with pytest.raises(SystemExit):
        cli.main(["assess", "--lift", "chin_up", str(tape), "--grip", "0.7"])
    assert "--hands" in capsys.readouterr().err
    sheet, out = tmp_path / "in.csv", tmp_path / "out.csv"
    sheet.write_text(team.example_sheet("cm", TOY), encoding="utf-8")
    assert cli.main(["team", "--lift", "chin_up", str(sheet), str(out)]) == 0
    assert "36.0" in out.read_text("utf-8-sig")


def test_a_lift_that_is_not_known_is_refused_in_words() -> None:
    said = ask(lift="curl", unit="cm", fields={})["errors"][0]
    assert said["message"] == "This version does not know the lift “curl”."
    assert said["remedy"] == f"Choose {' or '.join(LIFTS)}, or update."


@pytest.mark.parametrize("lift", [*LIFTS.values(), TOY], ids=lambda lift: lift.key)
def test_every_lift_shows_every_part_and_its_letters_are_its_own(lift: Any) -> None:
    shown = set(lift.screen(_fit(lift)))
    assert set(SCREEN) <= shown <= {*SCREEN, *MORE}
    letters = [one.measure.letter for one in lift.fields] + [one.letter for one in lift.choices]
    letters += [part.letter for part in lift.parts]
    assert all(len(letter) == 1 for letter in letters)
    assert len({*letters, *RESERVED}) == len(letters) + len(RESERVED)
    assert set(lift.example) <= {one.key for one in lift.fields}
    assert LIFTS[lift.key] is lift


def _fit(lift: Any) -> Any:
    request = view.example_request(lift.key)
    return fit(read_request(request), request)


@pytest.mark.sweep
@pytest.mark.parametrize("unit", ["cm", "in"])
@pytest.mark.parametrize("lift", LIFTS)
def test_names_of_setups_on_trial_are_as_short_as_sets_take_them(lift: str, unit: str) -> None:
    """The longest of invented lifters whose present setup is wide and high, too."""
    wide = {"current_heels": "71.7 cm", "current_turn_out": "62°", "current_heel": "3.2 cm"}
    wide |= {"current_hands": "88.3 cm", "current_grip": "80 cm", "current_touch": "19.3 cm"}
    keys = {one.key for one in LIFTS[lift].fields}
    for _, numbers, sex in LIFTS[lift].invented:
        fields = {key: f"{value} {'kg' if key == 'body_mass' else 'cm'}" for key, value in numbers.items()}
        fields = {key: text for key, text in fields.items() if not key.startswith("current_")}
        for now in ({}, {key: text for key, text in wide.items() if key in keys}):
            request = {"lift": lift, "unit": unit, "sex": sex, "fields": fields | now}
            got = json.loads(view.answer(json.dumps(request)))
            assert got["ok"], got["errors"]
            labels = [one["label"] for one in got["trial"]]
            assert labels and max(len(label) for label in labels) <= MOST_CHARACTERS, labels
