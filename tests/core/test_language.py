"""A made-up language, every text of the catalogue in ⟦ ⟧: no door of the core says a word outside them."""

from __future__ import annotations

import json
import re
import string
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from shortlever import InputError, cli, view
from shortlever.lifts import LIFTS
from shortlever.lifts.deadlift.comfort import STYLES
from shortlever.person.reading import TAPE_KEYS
from shortlever.say import ENGLISH, Language, Said, Voice
from shortlever.say.language import Entry
from shortlever.view.link import _check
from tests.core import chin_up, test_roster
from tests.core.test_film_view import sent


def in_brackets(entry: Entry) -> Entry:
    """A text with everything in brackets but what stands in it; what has plural forms gets others."""
    if not isinstance(entry, str):
        return {"few": f"⟦few ⟧{in_brackets(entry['other'])}", "other": str(in_brackets(entry["other"]))}
    parts = []
    for literal, name, spec, _ in string.Formatter().parse(entry):
        literal = literal.replace("{", "{{").replace("}", "}}")
        parts.append(f"⟦{literal}⟧" if literal else "")
        parts.append("" if name is None else f"{{{name}:{spec}}}" if spec else f"{{{name}}}")
    return "".join(parts)


def few_or_other(count: float) -> str:
    return "few" if 2 <= count <= 4 else "other"


TEXTS = {code: in_brackets(entry) for code, entry in ENGLISH.texts.items()}
MADE_UP = Language(TEXTS, few_or_other, decimal=",", inside=lambda text: text)

UNITS = {"cm", "in", "mm", "kg", "lb", "ft"}
# Values that are codes, names of files and papers, or what a person typed; never a text of ours.
CODES = {
    "code", "field", "given", "key", "unit", "unit_kind", "group", "state", "kind", "verdict", "phase",
    "path", "take", "fragment", "request", "header", "default", "name", "value", "record", "records",
    "common", "raw", "fault", "exported", "id", "kept", "need", "from",
}  # fmt: skip


def outside(text: str, *known: str) -> list[str]:
    """The words of a text that stand outside the brackets; of a picture, those of its texts."""
    if text.startswith("<svg"):
        text = " ".join(re.findall(r">([^<]+)<", text))
    text = re.sub(r"⟦[^⟦⟧]*⟧", " ", text)
    return [word for word in re.findall(r"[^\W\d_]{2,}", text) if word not in UNITS and word not in known]


def plain_words(answer: Any, *known: str, place: str = "") -> list[str]:
    """Every word outside the brackets in an answer, with its place."""
    if isinstance(answer, dict):
        parts = [(f"{place}.{name}", one) for name, one in answer.items() if name not in CODES]
    elif isinstance(answer, list | tuple):
        parts = [(f"{place}[{i}]", one) for i, one in enumerate(answer)]
    else:
        return [f"{place}: {word}" for word in outside(answer, *known)] if isinstance(answer, str) else []
    return [word for at, one in parts for word in plain_words(one, *known, place=at)]


def ask(**request: Any) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(view.answer(json.dumps(request), MADE_UP))
    return found


BODY = {"arm_length": "62 cm", "shoulder_breadth": "39 cm"}
MORE = BODY | {"current_grip": "55 cm", "current_touch": "24 cm", "chest_arched": "29 cm"}
ODD = {"span": "140 cm", "joint_width": "38.5 cm", "chest_flat": "24 cm", "chest_arched": "20 cm"}
STANDING = {"stature": "172 cm", "body_mass": "80 kg"}
SQUATS: list[dict[str, Any]] = [
    {"fields": STANDING, "want": "doubt"},
    {"fields": STANDING | {"current_heels": "30 cm", "current_turn_out": "10°", "current_heel": "1 cm"}},
    {"fields": STANDING | {"knee_to_wall": "1 cm"}, "hips": "careful", "depth": "level"},
    {"fields": STANDING | {"current_turn_out": "80°", "foot_length": "x"}, "bar_position": "x"},
    {"fields": STANDING | {"current_heels": "110 cm"}},
    {"fields": STANDING | {"hip_bone_height": "120 cm"}},
    {"fields": {"stature": "130 cm", "body_mass": "250 kg"}, "preference": 1.0},
    {
        "fields": STANDING,
        "choice": {"stance_m": 0.6, "turn_out_deg": 50, "heel_m": 0.03, "sit_back_m": 0.3},
    },
    {"fields": {}},
]
PULLS: list[dict[str, Any]] = [
    {"fields": STANDING, "want": "doubt"},
    {"fields": STANDING | {"current_heels": "26 cm", "current_turn_out": "10°", "current_hands": "80 cm"}},
    {"fields": STANDING | {"current_heels": "65 cm", "bar_start": "30 cm"}, "hips": "careful"},
    {"fields": STANDING | {"arm_length": "50 cm", "bar_start": "15 cm"}, "style": "conventional"},
    {"fields": STANDING | {"current_hands": "200 cm"}, "style": "hex"},
    {
        "fields": STANDING,
        "choice": {"stance_m": 0.7, "turn_out_deg": 60, "grip_m": 0.4, "shoulder_ahead_m": 0.3},
    },
    {"fields": {}},
]
FITS: list[dict[str, Any]] = [
    {"fields": BODY, "want": "doubt"},
    {"fields": MORE},
    {"fields": MORE, "comfort": "careful", "rules": "none"},
    {"fields": BODY | {"current_grip": "109 cm"}},
    {"fields": MORE, "choice": {"grip_m": 0.6, "touch_m": 0.2}},
    {"fields": BODY | ODD},
    {"fields": BODY | {"shoulder_height": "2.6 cm", "chest_arched": "58 cm"}},
    {"fields": BODY | {"upper_arm": "25 cm", "forearm_to_grip": "22 cm"}},
    {"fields": BODY | {"upper_arm": "44 cm"}, "preference": 0.0},
    {
        "fields": {
            "arm_length": "6",
            "shoulder_breadth": "39 ells",
            "stature": "17",
            "body_mass": "20",
            "span": "",
        }
    },
    {"fields": {"arm_length": "24", "shoulder_breadth": "²", "stature": "1 2", "span": "9" * 50}},
    {"fields": {"arm_length": "", "shoulder_breadth": "2 3/2", "body_mass": "500"}, "rules": "x", "sex": "y"},
    {"fields": BODY, "lift": "curl"},
    {"fields": BODY, "unit": "ells"},
    *({"lift": "squat"} | more for more in SQUATS),
    *({"lift": "deadlift"} | more for more in PULLS),
]
TYPED = (
    "ells",
    "curl",
    *LIFTS,
    *STYLES,
    "hex",
    "low",
    "high",
    "rule",
    "level",
    "ipf",
    "spacing",
    "male",
    "female",
    "none",
)


@pytest.mark.sweep
@pytest.mark.parametrize("unit", ["cm", "in"])
@pytest.mark.parametrize("more", FITS, ids=range(len(FITS)))
def test_fit(more: dict[str, Any], unit: str) -> None:
    assert plain_words(ask(**{"unit": unit} | more), *TYPED) == []


def test_form() -> None:
    for lift in LIFTS:
        assert plain_words([view.form(lift, MADE_UP), view.choices(lift, MADE_UP)]) == []
        assert plain_words([text for text, _ in view.cautions(lift, MADE_UP)]) == []


def checked(body: str) -> str:
    return f"{body}&k={_check(body)}"


def test_links() -> None:
    good = ask(unit="cm", fields=BODY, want="link")["fragment"]
    ends = (
        "&u=mm&a=3",
        "&u=cm&q=2",
        "&u=cm&q=x",
        "&u=cm&!=3",
        "&u=cm&i=700",
        "&u=cm&a=3&a=4",
        "&u=cm&=%zz&a",
    )
    bodies = [f"v=2&l=bench{end}" for end in ends] + ["v=9&l=bench&u=cm", "v=2&l=curl&u=cm"]
    for fragment in (good[:-1], good.replace("v=2", "v=9"), "x" * 1300, "x", *map(checked, bodies)):
        answer = ask(want="open", fragment=fragment)
        assert not answer["ok"] and plain_words(answer, "curl") == [], fragment


FILM = sent(reps=2, partial=0.8)
FRAMES, MARKS = FILM["frames"], FILM["marks"]
FILMS: list[dict[str, Any]] = [
    {},
    {"fit": None},
    {"fit": {"unit": "cm", "fields": {}}},
    {"fields": {"distance": "3", "plate_middle": "69 cm"}},
    {"fields": {"distance": "x", "focal": "2", "diameter": "12 cm"}},
    {"fields": {"plate_middle": "105 cm", "bar_length": "150 cm"}},
    {"frames": []},
    {"frames": FRAMES[:3]},
    {"frames": FRAMES[:1]},
    {"frames": FRAMES[::-1]},
    {"frames": [one | {"lost": True} for one in FRAMES]},
    {"frames": [one | {"t": 100 * one["t"]} for one in FRAMES]},
    {"frames": [one | {"t": 1.0} for one in FRAMES]},
    {"frames": [one | {"x": 5.0} for one in FRAMES]},
    {"frames": [one | {"y": FRAMES[0]["y"]} for one in FRAMES]},
    {"frames": 5},
    {"marks": {}},
    {"marks": 5},
    {"marks": MARKS | {"edge": [{"x": 1, "y": 2}]}},
    {"marks": MARKS | {"edge": [{"x": 1, "y": 2}, {"x": 2, "y": 900}]}},
    {"rims": []},
    {"rims": [{"points": [[0, 0], [1, 1]]}]},
    {"rims": [{"points": [[1, 1]] * 8}]},
    {"rims": [{"points": [[i, i] for i in range(8)]}]},
    {"rims": [{"points": [1]}]},
    {"camera": {"feet": "up"}},
    {"camera": {"feet": "left"}},
    {"camera": {"upright_sd": "x"}},
    {"picture": {"width": 3, "height": 4}},
    {"want": "film/form"},
    {"want": "film/other"},
]
OF_FILMS = ("picture", "frames", "marks", "upright", "sd", "feet", "right", "left", "up")


@pytest.mark.sweep
@pytest.mark.parametrize("unit", ["cm", "in"])
def test_films(unit: str) -> None:
    """Every second request in one unit, the others in the other: a sentence is the same code in both."""
    near = sent(0.16, reps=3, off=9, side=-1, pause_s=0.0, distance=2.2)
    lost = [one | {"lost": 10 < i < 40} for i, one in enumerate(near["frames"])]
    every = [FILM | more for more in FILMS]
    every += [near | {"frames": frames} for frames in (near["frames"], lost, near["frames"][::6])]
    for request in every[("cm", "in").index(unit) :: 2]:
        assert plain_words(ask(**request | {"unit": unit}), *OF_FILMS) == [], str(request)[:100]


SHEETS = [
    "",
    "a,b\n1,2",
    "Name,Arm length,Shoulder breadth\n",
    'a,"b\nc,d',
    "Name,Arm length (kg),Shoulder breadth\nA,62,39",
    "Title\n\nName,Arm length,Shoulder breadth,,Reach,Shoulder weird\n,cm,cm\nA,62,39,1,2,3",
    "Lifter,Arm length (cm),Arm (cm),Shoulder breadth\nA,62,62,39",
    "Lifter;Arm length;Shoulder breadth;Thumb;L arm length\nA;26;16;2,5;26\nB;25,5;15;2;25\n;25;15;;",
    'Name,Arm length,Shoulder breadth,Unit,Preference\nA,62,39,cm,0.5\nB,24,15,in,2\nC,24,15,ells,0\n"D,1\n',
    "Name,Arm length,Shoulder breadth,Present grip,Present touch\nA,62,39,55,24\nB,620,39,,\nC,62,39,1,2,3,4",
]
OF_SHEETS = {*re.findall("[A-Za-z]{2,}", " ".join(SHEETS)), "UTF", "Windows"}


@pytest.mark.parametrize("unit", ["cm", "in", None])
def test_sheets(unit: str | None) -> None:
    for text in SHEETS:
        read = ask(want="team/read", text=text, unit=unit)
        assert plain_words({**read, "text": ""}, *OF_SHEETS) == [], text
        rows = [{name: row[name] for name in ("row", "name", "request")} for row in read.get("rows", ())]
        results = ask(want="team/fit", rows=rows)["results"]
        assert plain_words(results, *TYPED) == []
        cells = {str(one["row"]): one["cells"] for one in results}
        written = ask(want="team/write", text=text, unit=unit, results=cells)
        assert plain_words({**written, "csv": ""}, *OF_SHEETS) == []
        first = written.get("csv", "").partition("\r\n")[0]
        assert outside(first, *OF_SHEETS) == []
    example = ask(want="team/example", unit=unit)["text"]
    names = [name for lifter, _, sex in LIFTS["bench"].invented for name in (*lifter.split(), sex)]
    assert outside(example, *names) == []
    for base64 in ("%%", "UEsDBA==", "JVBERg==", "0M8R4A==", "iVBORw=="):
        assert plain_words(ask(want="team/read", base64=base64)) == []
    for more in ({"want": "team/fit", "rows": [{}] * 30}, {"want": "team/other"}):
        assert plain_words(ask(**more)) == []


def test_lifters() -> None:
    golden = test_roster.golden()
    here = {one["id"]: json.loads(json.dumps(one).replace("62", "63")) for one in golden["lifters"]}
    for one in here.values():
        one["notes"], one["archived"] = "other", not one["archived"]
        for kept in one["lifts"].values():
            kept["choice"], kept["preference"] = {"grip_m": 0.7, "touch_m": 0.1}, 0.25
    kept_texts = json.dumps([golden, here], ensure_ascii=False).replace("\\n", " ")
    typed = re.findall(r"[^\W\d_]{2,}", kept_texts)
    for base in ({}, {one["id"]: one for one in golden["lifters"]}):
        request = {"text": test_roster.GOLDEN, "here": here, "base": base, "names": [], "spare": {}}
        preview = ask(want="lifters/preview", **request)
        assert plain_words(preview, *typed) == []
        labels = [one["label"] for lifter in preview["lifters"] for one in lifter["differences"]]
        assert len(labels) > 5 and plain_words(labels, "squat") == []
        assert plain_words(ask(want="lifters/merge", **request, choices={}), *typed) == []
    head = '{"kind":"shortlever lifters","version":'
    ends = ("2}", "9}", '"x"}')
    for text in ("", "[]", "[" * 40, "9" * 5000, '{"a":1,"a":2}', "NaN", *(head + end for end in ends)):
        parts = ("kind", "version", "exported", "lifters", "file", "shortlever", "NaN")
        assert plain_words(ask(want="lifters/preview", text=text), *parts) == [], text


OF_TRIALS = (
    "lifters[0].lifts.bench.trials.log"  # a log's own faults are plain words as long as test_sets fails
)


@pytest.mark.parametrize("place", [one for one in test_roster.FAULTS if one != OF_TRIALS])
def test_faults_of_a_file(place: str) -> None:
    for text in test_roster.FAULTS[place]:
        with pytest.raises(InputError) as wrong:
            test_roster.from_text(text)
        said = Voice(MADE_UP).all(wrong.value.told())
        assert outside(said["remedy"]) == []
        about = re.sub(r"“.*?”|⟦“⟧.*?⟦”", "", said["message"].replace(place, ""))
        codes = re.findall("[a-z]+", json.dumps(test_roster.golden()))
        assert outside(about, *codes) == [], said["message"]


def test_sets() -> None:
    """A trial going on, one not begun, one at its end, what is refused; labels and papers are no texts."""
    example = view.sets.example_request()
    pending = example["pending"]
    names = re.findall(r"[^\W\d_]{2,}", " ".join(one["candidate"]["label"] for one in pending[:2]))
    hurt = {"candidate": "B", "load": "60", "unit": "kg", "reps": 5, "reserve": 0, "pain": True}
    for changes in (
        [],
        pending[:2],
        pending[:3],
        pending,
        [*pending, *[pending[2], pending[3]] * 10],
        [*pending, *[one | {"set": one["set"] | {"load": "90"}} for one in pending[3:5]] * 8],
        [*pending, {"what": "add_set", "at": "2031-05-12T18:00", "set": hurt}],
        [*pending, {"what": "add_set", "at": "2031-05-12T18:00", "set": hurt | {"load": "heavy"}}],
        [*pending, {"what": "edit_set", "number": 99, "set": hurt}, {"what": "delete_set", "number": 99}],
        [{"what": "undo"}, {"what": "terms", "margin_percent": 4, "sets_each": 12}],
    ):
        for unit in ("kg", "lb"):
            answer = ask(**example | {"pending": changes, "unit": unit})
            for part in ("log", "csv", "formulas", "formula"):
                answer.pop(part)
            for one in answer["refused"]:
                one.pop("change")
            assert plain_words(answer, *names, "heavy") == []


# ---- the command line


def command(capsys: pytest.CaptureFixture[str], *arguments: object) -> str:
    with suppress(SystemExit):
        cli.main([*map(str, arguments)], MADE_UP)
    captured = capsys.readouterr()
    return captured.out + captured.err


@pytest.mark.sweep
def test_setups_on_the_command_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tape = tmp_path / "tape.json"
    tape.write_text(json.dumps(BODY | {"span": "140 cm"}), encoding="utf-8")
    for arguments in (
        ("suggest", tape, "--current-grip", "0.5", "--current-touch", "0.19", "--comfort", "careful"),
        ("assess", tape, "--grip", "0.8", "--touch", "0.06"),
        ("assess", tape, "--grip", "1.3", "--touch", "0.49"),
    ):
        said = command(capsys, *arguments)
        assert "⟦" in said and outside(said, *TYPED) == [], arguments
        assert plain_words(json.loads(command(capsys, *arguments, "--json")), *TYPED) == []
    assert outside(command(capsys, "suggest", tape, "--current-grip", "0.5"), "current", "touch") == []


@pytest.mark.sweep
def test_errors_on_the_command_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tape, sheet = tmp_path / "tape.json", tmp_path / "in.csv"
    keys = {*re.findall("[a-z]+", " ".join(TAPE_KEYS)), "arms", "foot"}
    left = ('{"left": 5}', '{"left": {"foot": 3}}')
    for text in ("", "5", "[" * 9999, '{"arms": 1}', *left, '{"sex": "arms"}', "9" * 5000):
        tape.write_text(text, encoding="utf-8")
        assert outside(command(capsys, "suggest", tape).replace(str(tape), ""), *keys) == [], text[:20]
    for text in (SHEETS[-1], SHEETS[1], ""):
        sheet.write_text(text, encoding="utf-8")
        for out in (tmp_path / "out.csv", tmp_path / "out.csv", sheet, tmp_path, tmp_path / "no" / "x"):
            said = re.sub(r"/[^\s⟦]*", "", command(capsys, "team", sheet, out))
            assert "⟦" in said and outside(said, *OF_SHEETS) == [], out


@pytest.mark.sweep
@pytest.mark.parametrize("arguments", [[], ["suggest"], ["assess"], ["team"]], ids=str)
def test_help(
    arguments: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "2000")
    monkeypatch.setenv("NO_COLOR", "1")
    said = command(capsys, *arguments, "--help")
    assert said.count("⟦") > 5
    said = re.sub(r"\{[^}]*\}|\[[^\]]*\]|-[-a-z]+( [A-Z]+)?|[A-Z]+\.\w+", "", said)  # what is typed
    assert outside(said, "shortlever", "suggest", "assess", "team", "bench", "ipf") == []


@pytest.mark.sweep
def test_usage_errors_are_in_argparse_s_own_words(capsys: pytest.CaptureFixture[str]) -> None:
    """The one exception: what argparse finds wrong with options is said by it, in a line of ours."""
    said = command(capsys, "suggest", "x", "--rules", "ours")
    assert "invalid choice" in said and "⟦. Try “⟧" in said


# ---- that the test sees


def test_a_word_outside_is_found() -> None:
    planted = replace(MADE_UP, texts=TEXTS | {"head_grip": "Grip", "path_chest": "⟦On the⟧ chest"})
    answer = json.loads(view.answer(json.dumps({"unit": "cm", "fields": BODY}), planted))
    found = [".card.lines[0].label: Grip", ".figure.rows[0]: chest", ".headline[0].label: Grip"]
    assert sorted(plain_words(answer)) == found
    assert len(plain_words(json.loads(view.answer(json.dumps({"unit": "cm", "fields": BODY}))))) > 500


def test_a_lift_that_says_plain_words_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    toy = chin_up.ChinUp()
    monkeypatch.setitem(LIFTS, toy.key, toy)
    found = plain_words(ask(lift="chin_up", unit="cm", fields={"arm_length": "62"}))
    assert ".headline[0].label: Hands" in found and ".figure.title: Chin" in found


def test_plural_forms_and_decimal_mark_are_the_language_s() -> None:
    said = [Voice(MADE_UP).say(Said("sets", {"count": n})) for n in (1, 2)]
    assert said == ["1⟦ sets⟧", "⟦few ⟧2⟦ sets⟧"]
    assert [str(Said("sets", {"count": n})) for n in (0, 1, 2)] == ["0 sets", "1 set", "2 sets"]
    assert Voice(MADE_UP).say(Said("length", {"x_m": 0.615})) == "61,5⟦ cm⟧"
