"""The file of lifters: exact round trips, faults told by place, and merges that lose nothing silently."""

from __future__ import annotations

import copy
import json
import random
from pathlib import Path
from typing import Any

import pytest

from shortlever import roster, view
from shortlever.errors import InputError
from shortlever.roster import compare, from_text, put_together
from shortlever.roster.record import OF_LIFT
from shortlever.roster.schema import SCHEMA
from shortlever.say import Voice
from shortlever.trials import (
    Candidate,
    Measured,
    SetRecord,
    TrialLog,
    add_candidate,
    add_set,
    delete_set,
    edit_set,
    from_json,
    measure_set,
    start_anew,
    to_json,
)
from shortlever.view.answer import respond

FOLDER = Path(__file__).parent
GOLDEN = (FOLDER / "lifters-2.json").read_text("utf-8")
FIRST = (FOLDER / "lifters-1.json").read_text("utf-8")  # as version 1 wrote it
NOW = "2031-07-01T00:00:00.000Z"


def golden() -> dict[str, Any]:
    return json.loads(GOLDEN)


def mara(**parts: Any) -> dict[str, Any]:
    """Her record with these parts; what belongs to a lift goes under the bench press."""
    record = copy.deepcopy(golden()["lifters"][0])
    record["lifts"]["bench"] |= {name: parts.pop(name) for name in OF_LIFT if name in parts}
    return record | parts


def bench(record: dict[str, Any]) -> dict[str, Any]:
    return record["lifts"]["bench"]


def file_of(*lifters: Any) -> str:
    return json.dumps(golden() | {"lifters": list(lifters)})


# ---- the format


def test_version_2_opens_and_goes_out_again_exactly() -> None:
    file = from_text(GOLDEN)
    assert file == golden()
    again = json.dumps(file, ensure_ascii=False)
    assert json.loads(again) == golden() and from_text("\ufeff" + again) == file


def test_the_answer_to_a_step_of_the_way_is_carried_and_merged() -> None:
    """Version 2 lets a setup hold more than it names: one from before the answers takes them along unread."""
    step = {"key": "2031-02-24-way-1", "name": "Step 1 of 2", "date": "2031-02-24", "grip_m": 0.63}
    over = step | {"answer": "kept", "answered": "2031-03-03"}
    file = from_text(file_of(mara(setups=[over])))
    assert bench(file["lifters"][0])["setups"] == [over]
    before, after = mara(setups=[step]), mara(setups=[over])
    found = compare(before, after, before)
    assert [(one.path, one.take) for one in found.differences] == [
        ("lifts/bench/setups/2031-02-24-way-1", "theirs")
    ]
    taken = put_together(before, after, before, "theirs", now=NOW)
    assert taken and bench(taken)["setups"] == [over]


def test_version_1_opens_as_version_2_with_nothing_lost() -> None:
    """What stood in the lifter stands under the bench press, and all else where it was."""
    old, new = json.loads(FIRST), from_text(FIRST)
    assert new["version"] == 2 and new["exported"] == old["exported"]
    assert from_text(json.dumps(new)) == new
    for before, after in zip(old["lifters"], new["lifters"], strict=True):
        assert after["lift"] == "bench" and list(after["lifts"]) == ["bench"] and after["version"] == 2
        moved = {name: before[name] for name in OF_LIFT}
        assert bench(after) == moved
        rest = {name: value for name, value in before.items() if name not in moved}
        assert {name: after[name] for name in rest} == rest | {"version": 2}


def of_a_device() -> dict[str, Any]:
    """A record as a device of version 1 kept it, and its own file refused it."""
    record = json.loads(FIRST)["lifters"][0]
    record["name"], record["notes"] = "N" * 59 + "\ud83c", "left \udfcb\ud83c\udfcb"
    record["tapes"][1]["fields"] |= {"arm_length": "\ud83c" + "7" * 300, "span": "é" * 200}
    return record


def test_what_devices_of_version_1_kept_opens_without_halves_and_excess() -> None:
    [record] = from_text(json.dumps(json.loads(FIRST) | {"lifters": [of_a_device()]}))["lifters"]
    assert record["name"] == "N" * 59 and record["notes"] == "left \U0001f3cb"
    fields = record["tapes"][1]["fields"]
    assert fields["arm_length"] == "7" * 200 and fields["span"] == "é" * 200


def test_conflicts_of_version_1_find_their_part() -> None:
    old = json.loads(FIRST)
    paths = {"notes": "notes", "choice": "lifts/bench/choice", "setups/s1": "lifts/bench/setups/s1"}
    old["lifters"][0]["conflicts"] = [{"path": path, "other": None} for path in paths]
    [first, _] = from_text(json.dumps(old))["lifters"]
    assert [one["path"] for one in first["conflicts"]] == list(paths.values())


def test_a_damaged_lifter_of_version_1_is_put_aside_as_he_stood() -> None:
    old = json.loads(FIRST)
    broken = old["lifters"][0] | {"setups": "none"}
    file, [aside] = roster.sound_of_text(json.dumps(old | {"lifters": [broken, old["lifters"][1]]}))
    assert aside.record == broken and aside.fault.field == "lifters[0].lifts.bench.setups"
    assert [one["name"] for one in file["lifters"]] == [old["lifters"][1]["name"]]


def test_the_schema_is_of_this_format() -> None:
    properties = SCHEMA["properties"]
    assert properties["kind"]["const"] == roster.KIND
    assert properties["version"]["const"] == roster.VERSION
    assert set(SCHEMA["required"]) == set(golden())
    changes = {one["properties"]["what"]["const"] for one in SCHEMA["$defs"]["change"]["anyOf"]}
    assert changes == set(view.sets_changes.CHANGES), "a change that is stored is one that the core folds"


def test_a_newer_version_is_refused_with_words() -> None:
    with pytest.raises(InputError) as refused:
        from_text(json.dumps(golden() | {"version": 3, "lifters": "of another kind"}))
    assert refused.value.code == "newer" and refused.value.field == "version"
    assert "format 3" in refused.value.message and "Update" in refused.value.remedy


def test_a_log_stands_under_its_own_lift() -> None:
    record = mara()
    record["lifts"]["squat"]["trials"] = bench(record)["trials"]
    with pytest.raises(InputError) as refused:
        from_text(file_of(record))
    assert refused.value.field == "lifters[0].lifts.squat.trials.log" and "bench" in refused.value.message


FAULTS = {
    "file": [
        json.dumps({"kind": "a poem"}),
        "[]",
        json.dumps(golden() | {"more": 1}),
        "9" * 5000,
        "[" * 50 + "]" * 50,
        GOLDEN.replace('"revision": 3', '"revision": 3, "revision": 4'),
        GOLDEN.replace("0.705", "NaN"),
    ],
    "line 1, column 1": [""],
    "exported": [json.dumps(golden() | {"exported": "yesterday"})],
    "lifters": [json.dumps(golden() | {"lifters": {}})],
    "lifters[0]": [file_of(7), file_of({k: v for k, v in mara().items() if k != "notes"})],
    "lifters[0].name": [file_of(mara(name=" ")), file_of(mara(name="x" * 61)), file_of(mara(name="\ud800"))],
    "lifters[0].id": [file_of(mara(id="guest")), file_of(mara(id="../x")), file_of(mara(id=3))],
    "lifters[1].id": [file_of(mara(), mara())],
    "lifters[0].version": [file_of(mara(version=True)), file_of(mara(version=1))],
    "lifters[0].archived": [file_of(mara(archived=0))],
    "lifters[0].changed": [file_of(mara(changed="2031-13-01T00:00:00.000Z"))],
    "lifters[0].tapes[1].date": [
        file_of(mara(tapes=[*mara()["tapes"][:1], mara()["tapes"][0]])),
        file_of(mara(tapes=[mara()["tapes"][0], mara()["tapes"][1] | {"date": "2031-02-30"}])),
    ],
    "lifters[0].tapes[0].unit": [file_of(mara(tapes=[mara()["tapes"][0] | {"unit": "ft"}]))],
    "lifters[0].tapes[0].fields.arm_length": [
        file_of(mara(tapes=[mara()["tapes"][0] | {"fields": {"arm_length": 62}}]))
    ],
    "lifters[0].lifts.bench.setups[1].key": [file_of(mara(setups=[{"key": "a"}, {"key": "a"}]))],
    "lifters[0].lifts.bench.trials": [file_of(mara(trials={"log": ""}))],
    "lifters[0].lifts.bench.trials.log": [file_of(mara(trials=bench(mara())["trials"] | {"log": "{}"}))],
    "lifters[0].lifts.bench.trials.revision": [
        file_of(mara(trials=bench(mara())["trials"] | {"revision": 1.5}))
    ],
    "lifters[0].lifts.bench.preference": [file_of(mara(preference=1.5)), file_of(mara(preference=True))],
    "lifters[0].lifts.bench.trials.pending[0]": [
        file_of(mara(trials={"log": "", "pending": [change], "revision": 0}))
        for change in (
            {"what": "toString", "at": NOW},
            {"what": "add_set", "at": NOW},
            {"what": "undo"},
            {"what": "delete_set", "at": NOW, "number": "1"},
            None,
        )
    ],
    "lifters[0].lifts, a name in it,": [file_of(mara(lifts={"../x": bench(mara())}))],
    "lifters[0].conflicts[0]": [file_of(mara(conflicts=[{"path": "notes"}]))],
    "lifters[0].conflicts[0].path": [
        file_of(mara(conflicts=[{"path": path, "other": 1}]))
        for path in ("tapes/2031-05-30/bogus/x", "toString", "lifts/bench/trials", "tapes/2031-02-30", "id")
    ],
}


@pytest.mark.parametrize("place", FAULTS)
def test_a_fault_is_told_with_its_place(place: str) -> None:
    for text in FAULTS[place]:
        with pytest.raises(InputError) as refused:
            from_text(text)
        wrong = refused.value
        assert wrong.field == place, text[:200]
        assert wrong.message.endswith(".") and wrong.remedy
        json.dumps(wrong.plain()).encode()


def test_one_damaged_lifter_never_costs_the_others() -> None:
    """He is named and handed over as he stands there; the rest opens."""
    first, second = golden()["lifters"]
    broken = first | {"tapes": [{"date": "31 May"}]}
    text = json.dumps(golden() | {"lifters": [broken, second, second, "nobody"]})
    file, damaged = roster.sound_of_text(text)
    assert file["lifters"] == [second]
    assert [(one.place, one.name, one.record) for one in damaged] == [
        (0, first["name"], broken), (2, second["name"], second), (3, "lifters[3]", "nobody")
    ]  # fmt: skip
    ask = {"text": text, "here": {}, "base": {}, "names": []}
    seen = Voice().all(respond(ask | {"want": "lifters/preview"}))
    assert [one["name"] for one in seen["lifters"]] == [second["name"]]
    assert "lifters[0].tapes[0]" in seen["damaged"][0]["message"]
    assert [(one["place"], one["fault"]) for one in seen["damaged"]] == [
        (one.place, one.fault.field) for one in damaged
    ]
    more = {"choices": {second["id"]: "theirs"}, "spare": {}, "now": "2031-05-05T18:00:00Z"}
    merged = respond(ask | more | {"want": "lifters/merge"})
    assert merged["records"] == [second]
    known = respond(ask | {"want": "lifters/preview", "names": [second["name"]], "alike": [second["id"]]})
    assert [(one["state"], one["namesake"]) for one in known["lifters"]] == [("same", False)]


def test_a_number_of_one_side_is_kept() -> None:
    """As a team sheet with a column for the left arm stores it."""
    tape = {"date": "2031-05-05", "unit": "cm", "fields": {"left.arm_length": "61"}, "choices": {}}
    file = from_text(file_of(mara(tapes=[tape])))
    assert file["lifters"][0]["tapes"] == [tape]


def test_a_file_that_breaks_off_is_told_with_line_and_column() -> None:
    with pytest.raises(InputError) as refused:
        from_text(GOLDEN[:400])
    assert refused.value.field.startswith("line ")


def damaged(source: random.Random) -> str:
    """The golden file with one to four accidents: cut, doubled, flipped or swapped letters and values."""
    text = GOLDEN
    for _ in range(source.randint(1, 4)):
        at = source.randrange(len(text) or 1)
        to = min(len(text), at + source.randint(1, 30))
        kind = source.randrange(7)
        if kind == 0:
            text = text[:at]
        elif kind == 1:
            text = text[:at] + text[to:]
        elif kind == 2:
            text = text[:at] + text[at:to] * 2 + text[to:]
        elif kind == 3:
            text = text[:at] + chr(source.choice([0, 34, 91, 123, 0x2028, 0xD800, 0x1F600])) + text[at + 1 :]
        elif kind == 4:
            text = (
                text[:at] + chr(ord(text[at]) ^ (1 << source.randrange(7))) + text[at + 1 :] if text else text
            )
        else:
            text = with_other_value(source, text)
    return text


def with_other_value(source: random.Random, text: str) -> str:
    """One value somewhere in the tree replaced by one of another kind."""
    try:
        data = json.loads(text)
    except ValueError:
        return text
    places: list[tuple[Any, Any]] = []

    def walk(node: Any) -> None:
        for key in node if isinstance(node, dict) else range(len(node)) if isinstance(node, list) else ():
            places.append((node, key))
            walk(node[key])

    walk(data)
    if not places:
        return text
    node, key = source.choice(places)
    node[key] = source.choice(
        [None, True, -1, 0.5, 1e300, 10**400, "", "x" * 300, "\ud800", [], {}, [[]], {"a": 1}]
    )
    return json.dumps(data)


def fuzz(count: int, seed: int) -> None:
    source = random.Random(seed)
    refused = 0
    here = {one["id"]: one for one in golden()["lifters"]}
    for _ in range(count):
        text = damaged(source)
        before = copy.deepcopy(here)
        request = {"want": "lifters/preview", "text": text, "here": here, "base": {}, "names": []}
        response = Voice().all(respond(request))
        assert here == before
        json.dumps(response, allow_nan=False).encode()
        if response["ok"]:
            file, aside = roster.sound_of_text(text)
            assert from_text(json.dumps(file, ensure_ascii=False)) == file, text
            assert len(response["lifters"]) == len(file["lifters"])
            assert len(response["damaged"]) == len(aside)
            continue
        refused += 1
        [wrong] = response["errors"]
        assert wrong["code"] != "internal" and wrong["field"] and wrong["message"] and wrong["remedy"], text
    assert refused > count / 2, "the accidents do damage"


@pytest.mark.sweep
def test_2000_damaged_files_give_a_place_or_sound_lifters_and_change_nothing() -> None:
    fuzz(2000, seed=1)


@pytest.mark.slow
def test_10000_damaged_files_give_a_place_or_sound_lifters_and_change_nothing() -> None:
    fuzz(10_000, seed=2)


# ---- preview and merge


def test_new_same_older_and_another_under_the_same_mark() -> None:
    assert compare(None, mara()).state == "new"
    assert compare(mara(), mara(changed=NOW, conflicts=[])).state == "same", (
        "times and conflicts are the device's own"
    )
    assert compare(mara(notes="more"), mara(), mara()).state == "older"
    assert compare(mara(), mara(created=NOW)).state == "other"
    assert put_together(None, mara(), None, "theirs", now=NOW) == mara(), "exactly"
    assert put_together(None, mara(), None, "mine", now=NOW) is None
    assert put_together(mara(), mara(changed=NOW), None, "theirs", now=NOW) is None
    other = put_together(mara(), mara(created=NOW), None, "theirs", now=NOW, new_id="n")
    assert other == mara(created=NOW, id="n")


def with_number(record: dict[str, Any], key: str, typed: str, day: int = 1) -> dict[str, Any]:
    out = copy.deepcopy(record)
    out["tapes"][day]["fields"][key] = typed
    return out


def test_what_only_one_side_changed_is_no_conflict() -> None:
    base = mara()
    mine = with_number(mara(notes="mine"), "arm_length", "63")
    theirs = with_number(mara(name="Mara F."), "shoulder_breadth", "40")
    found = compare(mine, theirs, base)
    assert found.state == "changed"
    assert {one.path: one.take for one in found.differences} == {
        "name": "theirs",
        "notes": "mine",
        "tapes/2031-05-30/fields/arm_length": "mine",
        "tapes/2031-05-30/fields/shoulder_breadth": "theirs",
    }
    out = put_together(mine, theirs, base, "theirs", now=NOW)
    assert out is not None and (out["name"], out["notes"], out["changed"]) == ("Mara F.", "mine", NOW)
    assert out["tapes"][1]["fields"] == {"arm_length": "63", "body_mass": "165 lb", "shoulder_breadth": "40"}
    assert bench(out)["trials"]["revision"] == 4, "an open tab does not fold into another log"


def test_both_changed_is_a_conflict_and_every_choice_keeps_its_word() -> None:
    base = mara()
    mine, theirs = mara(notes="mine", archived=True), mara(notes="theirs")
    before = copy.deepcopy((mine, theirs, base))
    assert compare(mine, theirs, base).state == "conflict"
    assert put_together(mine, theirs, base, "mine", now=NOW) is None
    taken = put_together(mine, theirs, base, "theirs", now=NOW)
    assert taken is not None and taken["notes"] == "theirs" and taken["archived"] is True
    both = put_together(mine, theirs, base, "both", now=NOW, new_id="n")
    assert both == theirs | {"id": "n"}
    assert (mine, theirs, base) == before


def test_without_a_common_base_only_what_is_empty_here_is_filled() -> None:
    mine, theirs = mara(notes="", preference=0.1), mara(choice=None)
    assert {one.path: one.take for one in compare(mine, theirs).differences} == {
        "notes": "theirs",
        "lifts/bench/preference": "conflict",
        "lifts/bench/choice": "mine",
    }


def test_numbers_of_another_unit_are_taken_or_left_as_a_whole_tape() -> None:
    base = mara()
    mine = with_number(base, "arm_length", "63")
    theirs = copy.deepcopy(base)
    theirs["tapes"][1] |= {"unit": "in", "fields": {"arm_length": "24.6"}}
    [only] = compare(mine, theirs, base).differences
    assert (only.path, only.take) == ("tapes/2031-05-30", "conflict")
    taken = put_together(mine, theirs, base, "theirs", now=NOW)
    assert taken is not None and taken["tapes"][1] == theirs["tapes"][1]


def test_tapes_and_setups_added_and_taken_off_on_each_side() -> None:
    base = mara()
    mine, theirs = copy.deepcopy(base), copy.deepcopy(base)
    mine["tapes"] = [base["tapes"][1]]
    bench(mine)["setups"] += [{"key": "m"}]
    theirs["tapes"].insert(1, base["tapes"][0] | {"date": "2031-04-01"})
    bench(theirs)["setups"] = [{"key": "t"}]
    assert compare(mine, theirs, base).state == "changed"
    out = put_together(mine, theirs, base, "theirs", now=NOW)
    assert out is not None
    assert [tape["date"] for tape in out["tapes"]] == ["2031-04-01", "2031-05-30"]
    assert sorted(setup["key"] for setup in bench(out)["setups"]) == ["m", "t"]
    from_text(file_of(out))


def test_taking_everything_of_the_file_over_an_old_base_gives_the_file() -> None:
    source = random.Random(3)
    base = mara()
    for _ in range(200):
        theirs = copy.deepcopy(base)
        for _ in range(source.randint(1, 5)):
            part = source.choice(["name", "notes", "tapes", "setups", "preference", "choice", "trials"])
            other = golden()["lifters"][1]
            record, others, before = (bench(one) if part in OF_LIFT else one for one in (theirs, other, base))
            record[part] = source.choice([others[part], record[part], before[part]])
        if (out := put_together(base, theirs, base, "theirs", now=NOW)) is not None:
            assert compare(out, theirs).state == "same"


# ---- the door of the page


def ask(want: str, **request: Any) -> dict[str, Any]:
    return json.loads(view.answer(json.dumps({"want": f"lifters/{want}"} | request)))


def test_preview_and_merge_through_the_door() -> None:
    mine = with_number(mara(notes="mine"), "arm_length", "63")
    given = {"text": GOLDEN, "here": {mine["id"]: mine}, "base": {}, "names": ["Ümit Ødegård 深田"]}
    found = ask("preview", **given)
    first, second = found["lifters"]
    assert (first["state"], second["state"], second["namesake"]) == ("conflict", "new", True)
    shown = {one["label"]: (one["mine"], one["theirs"]) for one in first["differences"]}
    assert shown["Arm length, 2031-05-30"] == ("63", "62.5") and shown["Notes"][0] == "mine"
    choices = {first["id"]: "both", second["id"]: "theirs"}
    merged = ask("merge", **given, choices=choices, spare={first["id"]: "n1"}, now=NOW)
    assert [one["id"] for one in merged["records"]] == ["n1", "kept-earlier"]
    assert merged["records"][1] == golden()["lifters"][1] == merged["common"]["kept-earlier"]
    missing = ask("merge", **given, choices={}, spare={}, now=NOW)
    assert missing["errors"][0]["message"] == "Nothing is chosen for Mara Feld."
    assert ask("preview", text="{")["errors"][0]["field"].startswith("line 1")
    assert ask("elsewhere")["errors"][0]["code"] == "not_a_choice"


def test_every_part_has_words() -> None:
    other = golden()["lifters"][1] | {"id": mara()["id"], "created": mara()["created"]}
    [found] = ask("preview", text=file_of(other), here={mara()["id"]: mara()}, base={}, names=[])["lifters"]
    shown = {one["label"]: one["mine"] for one in found["differences"]}
    assert shown["Tape, 2031-05-30"] == "cm: Arm length 62.5, Body weight 165 lb"
    assert shown["Sets, bench press"] == "0 sets, 2 changes not worked in yet"
    assert shown["Setup chosen, bench press"] == "grip 71.0 cm, touch 9.0 cm from the shoulders"
    assert shown["Cautions read, bench press"] == "yes"
    assert shown["Kept setup, bench press"] == "Grip 70.5 cm"
    assert shown["Kept setup, squat"] == "Stance 42 cm", "a lift that a later version brings is carried along"


def test_a_lift_that_only_one_side_has_comes_along() -> None:
    """It is no conflict with a device on which nothing of it is kept."""
    theirs = mara()
    mine = mara()
    squat = mine["lifts"].pop("squat")
    assert compare(mine, theirs).state == "changed"
    out = put_together(mine, theirs, None, "theirs", now=NOW)
    assert out is not None and out["lifts"]["squat"] == squat | {"trials": squat["trials"] | {"revision": 1}}
    assert compare(theirs, mine).state == "older"
    from_text(file_of(out))


# ---- sets of two devices


def log_of(*loads: float, labels: tuple[str, ...] = ("Now", "Wide")) -> TrialLog:
    """A trial with a set of each load, the setups by turns."""
    log = TrialLog()
    for key, label in zip("ABCD", labels, strict=False):
        log = add_candidate(log, Candidate(key, label, 5.0))
    for place, load in enumerate(loads):
        log = add_set(log, SetRecord("AB"[place % 2], f"2031-05-{9 + place // 4:02}", load, 5, 1))
    return log


def with_log(log: TrialLog, **parts: Any) -> dict[str, Any]:
    return mara(trials={"log": to_json(log), "pending": [], "revision": 1}, **parts)


def loads_in(record: dict[str, Any]) -> list[float]:
    return sorted(one.load_kg for one in from_json(bench(record)["trials"]["log"]).sets)


def test_sets_of_both_sides_come_together_with_their_setup_pain_and_film() -> None:
    base = log_of(60, 62.5)
    mine = add_candidate(add_set(base, SetRecord("A", "2031-05-20", 70, 5, 1)), Candidate("C", "High", 5.1))
    mine = add_set(mine, SetRecord("C", "2031-05-20", 71, 5, 1))
    theirs = add_candidate(delete_set(base, 1), Candidate("C", "Low", 5.2))
    theirs = add_set(theirs, SetRecord("C", "2031-05-19", 80, 5, 1, pain=True))
    theirs = measure_set(theirs, 2, Measured(touch_m=0.1))
    found = compare(with_log(mine), with_log(theirs), with_log(base))
    assert [(one.path, one.take) for one in found.differences] == [("lifts/bench/trials", "together")]
    assert found.state == "changed"
    out = put_together(with_log(mine), with_log(theirs), with_log(base), "theirs", now=NOW)
    assert out is not None and loads_in(out) == [62.5, 70, 71, 80] and out["changed"] == NOW
    log = from_json(bench(out)["trials"]["log"])
    label = {one.key: one.label for one in log.candidates}
    assert [(label[one.candidate], one.load_kg) for one in log.sets] == [
        ("Wide", 62.5), ("Low", 80), ("Now", 70), ("High", 71)
    ]  # fmt: skip
    assert [one.label for one in log.candidates if one.off_list] == ["Low"], "pain is kept"
    assert log.set_numbered(2).measured == Measured(touch_m=0.1)
    back = put_together(with_log(theirs), with_log(mine), with_log(base), "theirs", now=NOW)
    assert back and compare(out, back).state == "same", "whoever takes the other's in"


def test_what_only_a_person_can_put_together_is_a_conflict() -> None:
    base = log_of(60, 62.5)
    edited = [edit_set(base, 1, SetRecord("A", "2031-05-09", load, 5, 1)) for load in (61, 63)]
    begun = start_anew(base, None)
    full = [log_of(labels=("Now", "Wide", *more)) for more in (("3", "4"), ("5", "6"))]
    for before, mine, theirs in ((base, *edited), (base, base, begun), (log_of(), *full)):
        if mine == before:
            mine = add_set(mine, SetRecord("A", "2031-06-01", 75, 5, 1))
        [found] = compare(with_log(mine), with_log(theirs), with_log(before)).differences
        assert found.take == "conflict"


@pytest.mark.sweep
def test_devices_that_log_and_exchange_as_they_like_lose_no_set_and_double_none() -> None:
    source = random.Random(20)
    for _ in range(25):
        devices = [with_log(log_of(60, 62.5)) for _ in range(2)]
        bases = [copy.deepcopy(devices[0]), copy.deepcopy(devices[0])]
        load, out = 100.0, set()
        for _ in range(14):
            at = source.randrange(2)
            if source.random() < 0.6:
                load += 0.5
                log = from_json(bench(devices[at])["trials"]["log"])
                log = add_set(log, SetRecord("AB"[at], f"2031-05-{source.randint(10, 28)}", load, 5, 1))
                if source.random() < 0.2:
                    gone = source.choice(log.sets)
                    out.add(gone.load_kg)
                    log = delete_set(log, gone.number)
                bench(devices[at])["trials"]["log"] = to_json(log)
                continue
            file = copy.deepcopy(devices[1 - at])
            bases[1 - at] = file  # what was saved is what both have
            found = compare(devices[at], file, bases[at])
            assert found.state != "conflict"
            if (record := put_together(devices[at], file, bases[at], "theirs", now=NOW)) is not None:
                devices[at] = record
            if record is not None or found.state == "same":
                bases[at] = file
        for mine, theirs in ((0, 1), (1, 0)):
            base = bases[mine]
            record = put_together(devices[mine], devices[theirs], base, "theirs", now=NOW)
            if record is not None:
                devices[mine] = record
            bases[mine] = copy.deepcopy(devices[theirs])
            bases[theirs] = copy.deepcopy(devices[theirs])
        wanted = sorted({60, 62.5, *(100 + step / 2 for step in range(1, int(2 * (load - 100)) + 1))} - out)
        assert loads_in(devices[0]) == wanted and loads_in(devices[1]) == wanted


def test_of_a_conflict_each_part_is_chosen_and_the_rest_comes_along() -> None:
    base = mara()
    mine, theirs = mara(notes="mine", preference=0.1), mara(notes="theirs", preference=0.9, name="Mara F.")
    given = {"text": file_of(theirs), "here": {base["id"]: mine}, "base": {base["id"]: base}}
    keep = {base["id"]: ["notes"]}
    merged = ask("merge", **given, choices={base["id"]: "theirs"}, keep=keep, spare={}, now=NOW)
    [record] = merged["records"]
    assert (record["name"], record["notes"], bench(record)["preference"]) == ("Mara F.", "mine", 0.9)
    assert merged["common"] == {base["id"]: theirs}
    same = {"text": file_of(theirs), "here": {base["id"]: theirs}, "base": {base["id"]: base}}
    merged = ask("merge", **same, choices={base["id"]: "mine"}, spare={}, now=NOW)
    assert (merged["records"], merged["common"]) == ([], {base["id"]: theirs}), "what both have is known anew"


def test_sets_not_worked_in_yet_come_together_too() -> None:
    entry = {"candidate": "A", "load": "90", "unit": "kg", "reps": "5", "reserve": "1"}
    waiting = {"what": "add_set", "at": "2031-05-21T10:00:00+02:00", "set": entry}
    base, mine = with_log(log_of(60)), with_log(log_of(60))
    bench(mine)["trials"]["pending"] = [waiting]
    theirs = with_log(log_of(60, 62.5))
    given = {"text": file_of(theirs), "here": {base["id"]: mine}, "base": {base["id"]: base}}
    [found] = ask("preview", **given, names=[])["lifters"]
    [one] = found["differences"]
    assert (found["state"], one["take"], one["mine"], one["theirs"]) == (
        "changed",
        "together",
        "2 sets",
        "2 sets",
    )
    merged = ask("merge", **given, choices={base["id"]: "theirs"}, spare={}, now=NOW)
    assert loads_in(merged["records"][0]) == [60, 62.5, 90]
