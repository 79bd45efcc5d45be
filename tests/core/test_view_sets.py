"""The screen of sets: changes folded into a log, what comes next, the verdict in words, the picture, CSV."""

from __future__ import annotations

import csv
import io
import json
import math
import re
from typing import Any
from xml.etree import ElementTree

import pytest

from shortlever import view
from shortlever.numerics import Z90
from shortlever.trials import FORMULAS, estimate_1rm, fair_order, from_json, judge
from shortlever.trials.repmax import relative_error
from shortlever.units import POUND_KG
from shortlever.view import sets, sets_rows

SVG = "{http://www.w3.org/2000/svg}"
TODAY = "2031-05-09"
ADD = "add_candidate"
PRESENT = {"label": "Grip 60.0 cm, touch 20.0 cm", "index": 5.0, "stroke_m": 0.36, "mean_arm_m": 0.11,
           "present": True}  # fmt: skip
WIDE = {"label": "Grip 71.5 cm, touch 17.5 cm", "index": 5.0, "stroke_m": 0.34, "mean_arm_m": 0.14}
THIRD = {"label": "Grip 65.0 cm, touch 18.0 cm", "index": 5.0, "stroke_m": 0.35, "mean_arm_m": 0.12}
FOURTH = {"label": "Grip 81.0 cm, touch 19.0 cm", "index": 4.9, "stroke_m": 0.33, "mean_arm_m": 0.15}


def setups(*candidates: dict[str, Any]) -> list[dict[str, Any]]:
    return [{"what": ADD, "at": f"{TODAY}T17:00", "candidate": c} for c in candidates]


def a_set(key: str, load: str = "100", reps: Any = 5, reserve: Any = 2, **more: Any) -> dict[str, Any]:
    at = more.pop("at", f"{TODAY}T18:00:05+02:00")
    entry = {"candidate": key, "load": load, "unit": "kg", "reps": reps, "reserve": reserve} | more
    return {"what": "add_set", "at": at, "set": entry}


def asked(want: str, *changes: Any, log: str = "", unit: str = "kg", date: str = TODAY) -> dict[str, Any]:
    """The answer through the one door, checked for what every answer holds."""
    request = {"want": f"sets/{want}", "log": log, "pending": list(changes), "unit": unit, "date": date}
    got = json.loads(view.answer(json.dumps(request)))
    assert {"ok", "errors", "warnings"} <= set(got)
    assert got["ok"] == (not got["errors"])
    for error in [*got["errors"], *(r["error"] for r in got.get("refused", []))]:
        assert set(error) == {"field", "code", "given", "message", "remedy"}
        assert all(isinstance(value, str) for value in error.values())
        assert error["message"] and error["remedy"] and "Traceback" not in error["message"]
    return got


def folded(*changes: Any, **more: Any) -> dict[str, Any]:
    return asked("fold", *changes, **more)


PAIR = setups(PRESENT, WIDE)


# ---- folding


def test_setups_get_letters_in_order_and_sets_land_in_the_log() -> None:
    got = folded(*PAIR, a_set("A"), a_set("B", "102,5", "4", "1.5", touched=False))
    assert got["folded"] == 4 and got["refused"] == []
    log = from_json(got["log"])
    assert [(c.key, c.label, c.present) for c in log.candidates] == [
        ("A", PRESENT["label"], True),
        ("B", WIDE["label"], False),
    ]
    first, second = log.sets
    assert (first.load_kg, first.reps, first.reps_in_reserve, first.touched, first.pain) == (
        100, 5, 2, True, False
    )  # fmt: skip
    assert (second.candidate, second.load_kg, second.reps, second.reps_in_reserve, second.touched) == (
        "B", 102.5, 4, 1.5, False
    )  # fmt: skip
    assert {s.date for s in log.sets} == {TODAY}


def test_folding_in_pieces_is_folding_at_once() -> None:
    changes = [*PAIR, a_set("A"), a_set("B"), {"what": "undo"}, a_set("B", pain=True), {"what": "undo"},
               {"what": "edit_set", "number": 1, "set": a_set("A", "90")["set"]}, *setups(THIRD),
               {"what": "delete_set", "number": 1}, {"what": "formula", "formula": "epley"}]  # fmt: skip
    whole = folded(*changes)
    assert whole["refused"] == []
    for cut in range(len(changes) + 1):
        first = folded(*changes[:cut])
        assert folded(*changes[cut:], log=first["log"])["log"] == whole["log"]


def test_same_setup_handed_over_again_stays_one_and_only_one_is_present() -> None:
    got = folded(*PAIR, *PAIR, *setups(THIRD | {"present": True}))
    assert got["refused"] == []
    assert [(c["key"], c["present"]) for c in got["candidates"]] == [("A", True), ("B", False), ("C", False)]


def test_a_letter_is_free_again_after_its_setup_left() -> None:
    got = folded(*PAIR, *setups(THIRD), {"what": "remove_candidate", "candidate": "B"}, *setups(FOURTH))
    assert [(c["key"], c["label"]) for c in got["candidates"]] == [
        ("A", PRESENT["label"]),
        ("C", THIRD["label"]),
        ("B", FOURTH["label"]),
    ]


def test_pounds_are_kept_as_they_were_meant() -> None:
    changes = a_set("A", "225", unit="lb"), a_set("A", "225 lb"), a_set("A", "45 1/2 lb")
    got = folded(*PAIR, *changes, unit="lb")
    log = from_json(got["log"])
    assert log.sets[0].load_kg == pytest.approx(225 * POUND_KG, abs=1e-6)
    assert log.sets[1].load_kg == log.sets[0].load_kg
    assert [row["load"] for row in got["rows"]] == ["225 lb", "225 lb", "45.5 lb"]
    assert folded(log=got["log"])["rows"][0]["load"] == "102.06 kg"


REFUSED = [
    (a_set("A", ""), "load", "not_a_number"),
    (a_set("A", "heavy"), "load", "not_a_number"),
    (a_set("A", "700"), "load", "out_of_range"),
    (a_set("A", "-5"), "load", "out_of_range"),
    (a_set("A", "2000", unit="lb"), "load", "out_of_range"),
    (a_set("A", reps=""), "reps", "out_of_range"),
    (a_set("A", reps="0"), "reps", "out_of_range"),
    (a_set("A", reps="5.5"), "reps", "not_whole"),
    (a_set("A", reps="nan"), "reps", "out_of_range"),
    (a_set("A", reserve="11"), "reserve", "out_of_range"),
    (a_set("A", reserve=""), "reserve", "out_of_range"),
    (a_set("A", reps=15, reserve=8), "reps", "too_many"),
    (a_set("Z"), "candidate", "unknown"),
    (a_set("A", at="yesterday"), "date", "not_a_date"),
    ({"what": "add_set", "at": TODAY}, "set", "damaged"),
    ({"what": "edit_set", "number": 9, "set": a_set("A")["set"]}, "number", "unknown"),
    ({"what": "delete_set"}, "number", "unknown"),
    ({"what": "clear_pain", "candidate": "A"}, "candidate", "not_off_list"),
    ({"what": "formula", "formula": "mine"}, "formula", "not_a_choice"),
    ({"what": "remove_candidate", "candidate": "A"}, "candidate", "in_use"),
    ({"what": "add_candidate", "candidate": {"label": "x"}}, "index", "out_of_range"),
    ({"what": "add_candidate", "candidate": {"index": 5}}, "label", "not_a_name"),
    ({"what": "grow"}, "what", "unknown"),
    ({}, "what", "unknown"),
    (17, "what", "unknown"),
    (None, "what", "unknown"),
]


@pytest.mark.parametrize("change,field,code", REFUSED)
def test_what_is_refused_is_told_and_the_rest_counts(change: Any, field: str, code: str) -> None:
    got = folded(*PAIR, a_set("A"), change, a_set("B"))
    assert got["ok"] and got["folded"] == 5
    (refused,) = got["refused"]
    assert (refused["error"]["field"], refused["error"]["code"]) == (field, code)
    assert refused["place"] == 3 and refused["change"] == change and refused["said"]
    assert [s.candidate for s in from_json(got["log"]).sets] == ["A", "B"], "the rest counts"


def test_a_refused_load_names_value_and_range_in_its_own_unit() -> None:
    (refused,) = folded(*PAIR, a_set("A", "2000", unit="lb"), unit="lb")["refused"]
    assert refused["error"]["message"] == "Load: 2000 lb is outside 2.2 lb to 1322.8 lb."
    assert refused["said"] == "Set of A: 2000 lb × 5"


def test_a_fifth_setup_is_refused() -> None:
    fifth = {"label": "Grip 50 cm", "index": 5.0}
    (refused,) = folded(*setups(PRESENT, WIDE, THIRD, FOURTH, fifth))["refused"]
    assert refused["error"]["code"] == "too_many" and "Grip 50 cm" in refused["said"]


def test_undo_takes_back_one_entry_after_the_other_and_says_which_is_next() -> None:
    got = folded(*PAIR, a_set("A"), a_set("B", pain=True))
    assert got["undo"] == "add set 2"
    assert [c["off_list"] for c in got["candidates"]] == [False, True]
    back = folded({"what": "undo"}, log=got["log"])
    assert [c["off_list"] for c in back["candidates"]] == [False, False], "a slip of the thumb"
    assert len(back["rows"]) == 1 and back["undo"] == "add set 1"
    empty = folded(*[{"what": "undo"}] * 3, log=back["log"])
    assert empty["undo"] is None and empty["rows"] == empty["candidates"] == []
    assert folded({"what": "undo"}, log=empty["log"])["refused"][0]["error"]["code"] == "nothing"


def test_pain_stays_until_a_person_clears_it() -> None:
    got = folded(*PAIR, a_set("B", pain=True))
    for change in (
        {"what": "edit_set", "number": 1, "set": a_set("B")["set"]},
        {"what": "delete_set", "number": 1},
        a_set("B", "140"),
    ):
        got = folded(change, log=got["log"])
        assert got["refused"] == []
        assert [c["off_list"] for c in got["candidates"]] == [False, True]
    got = asked("verdict", log=got["log"])
    assert got["verdict"] == "nothing to compare" and got["coming"] is None
    assert got["standings"][1]["chance"] == "off the list"
    assert any("licensed clinician" in caution for caution in got["cautions"])
    got = folded({"what": "clear_pain", "candidate": "B"}, log=got["log"])
    assert got["candidates"][1] | {"sets": 0} == {
        "key": "B", "label": WIDE["label"], "present": False, "off_list": False, "cleared": True, "sets": 0,
        "marks": [],
    }  # fmt: skip
    assert got["coming"] is not None


def test_an_edited_set_keeps_its_day_and_number() -> None:
    got = folded(*PAIR, a_set("A"), a_set("B", at="2031-05-11T09:00"))
    change = {"what": "edit_set", "at": "2031-06-01T09:00", "number": 1, "set": a_set("B", "90", 3)["set"]}
    row = folded(change, log=got["log"])["rows"][0]
    assert (row["number"], row["date"], row["candidate"], row["load"], row["reps"]) == (
        1, TODAY, "B", "90 kg", 3
    )  # fmt: skip


def test_a_new_trial_goes_on_with_the_best_and_loses_nothing() -> None:
    old = folded(*setups(PRESENT, WIDE, THIRD), a_set("A"), a_set("C", pain=True), a_set("B"))
    new = folded({"what": "new_trial", "keep": "B"}, log=old["log"])
    assert new["refused"] == [] and new["rows"] == [] and new["undo"] == "new trial"
    assert [(c["key"], c["present"], c["off_list"]) for c in new["candidates"]] == [
        ("B", True, False),
        ("C", False, True),
    ], "pain comes along"
    later = asked("verdict", *setups(FOURTH), a_set("A", "90"), log=new["log"])
    rows = list(csv.DictReader(io.StringIO(later["csv"])))
    assert [(r["trial"], r["setup"], r["load_kg"]) for r in rows] == [
        ("1", "A", "100"), ("1", "C", "100"), ("1", "B", "100"), ("2", "A", "90"),
    ]  # fmt: skip
    back = folded(*[{"what": "undo"}] * 3, log=later["log"])
    assert back["log"] == old["log"], "taken up again"


@pytest.mark.parametrize(
    "changes,code",
    [
        ([], "empty"),
        ([a_set("A"), a_set("B", pain=True)], "off_list"),
    ],
)
def test_a_new_trial_is_refused(changes: list[Any], code: str) -> None:
    got = folded(*PAIR, *changes, {"what": "new_trial", "keep": "B"})
    assert [r["error"]["code"] for r in got["refused"]] == [code]


@pytest.mark.parametrize(
    "request_,code",
    [
        ({"log": "{}"}, "damaged"),
        ({"log": "[" * 10_000}, "damaged"),
        ({"log": 5}, "damaged"),
        ({"log": folded()["log"].replace('"version": 4', '"version": 5')}, "unknown_version"),
        ({"pending": {}}, "damaged"),
        ({"unit": "stone"}, "not_a_choice"),
        ({"date": "9 May"}, "not_a_date"),
        ({"date": None}, "not_a_date"),
    ],
)
def test_a_request_that_cannot_be_read_says_why(request_: dict[str, Any], code: str) -> None:
    whole = {"want": "sets/fold", "log": "", "pending": [], "unit": "kg", "date": TODAY} | request_
    got = json.loads(view.answer(json.dumps(whole)))
    assert not got["ok"] and got["errors"][0]["code"] == code
    assert "log" not in got, "nothing that could be written over the old log"


# ---- what comes next


def follow(*candidates: dict[str, Any], days: int = 3, each: int = 8) -> list[str]:
    """The keys done by someone who always does what comes next, day after day."""
    got = folded(*setups(*candidates))
    done = []
    for day in range(1, days + 1):
        date = f"2031-05-{day:02d}"
        for _ in range(each):
            got = folded(log=got["log"], date=date)
            done.append(got["coming"]["next"])
            got = folded(a_set(done[-1], at=f"{date}T18:00"), log=got["log"], date=date)
    return done


@pytest.mark.parametrize("count", [2, 3, 4])
def test_who_follows_what_comes_next_does_a_fair_session(count: int) -> None:
    each = 2 * count
    done = follow(*(PRESENT, WIDE, THIRD, FOURTH)[:count], days=3, each=each)
    for day in range(3):
        block = done[day * each : (day + 1) * each]
        assert tuple(block) == fair_order("ABCD"[:count], session=day)


def test_more_blocks_in_one_day_start_with_the_next_setup() -> None:
    assert "".join(follow(PRESENT, WIDE, days=1, each=24)) == "ABBABAAB" * 3


def test_sets_out_of_order_are_made_up_for() -> None:
    got = folded(*PAIR, a_set("B"), a_set("B"))
    assert got["coming"] == {"order": list("ABBA"), "done": 2, "left": list("AA"), "next": "A"}
    got = folded(*PAIR, a_set("B"), a_set("B"), a_set("B"))
    assert got["coming"]["next"] == "A", "the third one belongs to the next block"
    got = folded(*PAIR, *[a_set("B")] * 3, *[a_set("A")] * 2)
    assert got["coming"] == {"order": list("BAAB"), "done": 1, "left": list("AAB"), "next": "A"}


def test_sets_of_a_setup_off_the_list_do_not_disturb_the_order() -> None:
    got = folded(*setups(PRESENT, WIDE, THIRD), a_set("A"), a_set("B", pain=True))
    assert got["coming"] == {"order": list("ACCA"), "done": 1, "left": list("CCA"), "next": "C"}


def test_one_setup_has_no_order() -> None:
    assert folded(*setups(PRESENT))["coming"] is None


# ---- the verdict in words


def decided() -> dict[str, Any]:
    changes = list(PAIR)
    for day in range(1, 9):
        date = f"2031-05-{day:02d}"
        for key in fair_order("AB", session=day - 1):
            changes.append(a_set(key, "106" if key == "B" else "100", at=f"{date}T18:00"))
    return asked("verdict", *changes)


def test_cannot_tell_yet_is_a_normal_answer() -> None:
    got = asked("verdict", *PAIR, a_set("A"), a_set("B"), a_set("B"), a_set("A"))
    assert got["verdict"] == "cannot tell yet" and got["headline"] == "Cannot tell yet"
    assert got["best"] is None and got["preference"] is None
    assert re.match(r"About \d+ more sets, 20 at most; \d+ % chance of an answer by then\. If", got["needed"])
    assert got["most_left"] == 20 and got["finish"] == "" and not got["finished"]
    assert got["telling"]["key"] in "AB"


def test_numbers_shown_are_those_of_the_judge() -> None:
    got = asked("verdict", *PAIR, a_set("A"), a_set("B", "104"), a_set("B", "104"), a_set("A"))
    report = judge(from_json(got["log"]), TODAY)
    for shown, meant in zip(got["standings"], report.standings, strict=True):
        assert shown["chance_value"] == pytest.approx(meant.chance_best, abs=1e-4)
        assert shown["sets"] == meant.sets == 2
        percent = float(shown["gain"].removesuffix(" %").replace("−", "-"))
        assert percent == pytest.approx(meant.gain_percent.middle, abs=0.051)
    ends = re.findall("[+−]?[0-9.]+", got["standings"][1]["gain_between"])
    low, high = (float(end.replace("−", "-")) for end in ends)
    wide = report.standings[1].gain_percent
    assert (low, high) == pytest.approx((wide.low, wide.high), abs=0.051)
    assert got["standings"][0]["base"] and got["standings"][0]["gain_between"] == ""


def test_a_decided_trial_names_the_best_and_what_it_teaches() -> None:
    got = decided()
    assert got["verdict"] == "decided" and got["best"] == "B" and got["headline"] == "B it is"
    assert got["needed"] == "" and got["telling"] is None
    assert 0 <= got["preference"] < 0.5 and got["preference_text"] == "a shorter range of motion"
    report = judge(from_json(got["log"]))
    assert got["preference"] == pytest.approx(report.preference, abs=6e-4)


def test_gain_in_pounds_is_the_gain_in_kilograms() -> None:
    got = decided()
    other = asked("verdict", log=got["log"], unit="lb")
    in_kg = float(got["standings"][1]["gain_mass"].split()[0])
    in_lb = float(other["standings"][1]["gain_mass"].split()[0])
    assert in_lb * POUND_KG == pytest.approx(in_kg, abs=0.1)
    assert other["standings"][1]["gain_mass"].endswith(" lb")
    assert other["standings"][1]["gain"] == got["standings"][1]["gain"]


@pytest.mark.parametrize("formula", FORMULAS)
def test_every_set_shows_its_one_rep_max_by_the_chosen_formula(formula: str) -> None:
    chosen = {"what": "formula", "formula": formula}
    got = folded(*PAIR, a_set("A", "100", 5, 0), a_set("B", "80", 8, 3), chosen)
    assert got["formula"]["key"] == formula and got["formula"]["source"]
    for row, (load, reps, reserve) in zip(got["rows"], ((100, 5, 0), (80, 8, 3)), strict=True):
        value = estimate_1rm(load, reps, reserve, formula)
        assert float(row["e1rm"].split()[0]) == pytest.approx(value, abs=0.051)
        low, high = (float(end) for end in re.findall("[0-9.]+", row["between"]))
        spread = Z90 * relative_error(reps, reserve, formula)
        assert (low, high) == pytest.approx((value * math.exp(-spread), value * math.exp(spread)), abs=0.51)


@pytest.mark.sweep
def test_a_set_that_hardly_fits_is_pointed_out() -> None:
    changes = [*PAIR, *[a_set(key) for key in "ABBABAABABB"], a_set("A", "170")]
    got = asked("verdict", *changes)
    assert got["odd"]["number"] == 12 and "edit it" in got["odd"]["text"]


def test_nothing_yet() -> None:
    got = asked("verdict")
    assert got["verdict"] == "nothing to compare" and got["figure"] is None and got["rows"] == []
    got = asked("verdict", *PAIR)
    assert got["verdict"] == "cannot tell yet" and got["one_rep_max"] == "" and got["lean"] == ""
    assert got["why"] == "A and B need 2 sets each before there is an answer."


LEANING = setups(PRESENT, WIDE | {"index": 5.1})


def test_no_kilograms_and_no_chance_before_the_sets_that_carry_them() -> None:
    """Before the first set, and while one setup has but one: no kg, no percent; no axis without a load."""
    for changes in ([], [a_set("A")], [a_set("A"), a_set("B"), a_set("A")]):
        got = asked("verdict", *LEANING, *changes)
        for s in got["standings"]:
            assert s["chance"] == "" and s["chance_value"] is None and s["word"] == ""
            if not s["base"]:
                assert s["gain"] == s["gain_mass"] == s["gain_between"] == ""
        assert (got["figure"] is None) == (not changes)
        assert (got["one_rep_max"] == "") == (not changes)
        assert not re.search(r"\d %", got["needed"]) and "at most" in got["needed"]
        assert got["lean"] == "The tape leans toward B, as the Fit screen does. Only sets can tell."
    told = {
        name: part for name, part in asked("verdict", *LEANING).items() if name not in ("log", "formulas")
    }
    assert not re.search(r"\d (?:kg|%)", json.dumps(told["standings"]) + told["why"] + told["lean"])
    got = asked("verdict", *LEANING, *[a_set(key) for key in "ABBA"])
    assert all(s["chance"].endswith(" %") for s in got["standings"]) and got["lean"] == ""


def test_a_finish_instead_of_a_next_set() -> None:
    got = decided()
    assert got["finished"] and got["finish"] == "The trial is done. Go on with B."
    assert got["standings"][1]["word"] == "better than A"
    alike = asked("verdict", *PAIR, *[a_set(key) for key in "ABBABAABABBA"])
    assert (alike["verdict"], alike["headline"]) == ("too close to matter", "Too close to matter")
    assert sorted(alike["alike"]) == ["A", "B"] and alike["best"] is None and alike["telling"] is None
    assert alike["standings"][1]["word"] == "too close to A to matter"
    assert re.fullmatch(
        r"The trial is done\. Take whichever of . and . is more comfortable\.", alike["finish"]
    )


def test_the_margin_and_the_sets_at_most_are_terms_of_the_trial() -> None:
    sets_done = [a_set(key) for key in "ABBABAABABBA"]
    terms = {"what": "terms", "margin_percent": 1, "sets_each": 18}
    got = asked("verdict", *PAIR, *sets_done, terms)
    assert got["refused"] == [] and got["terms"] == {"margin_percent": 1, "sets_each": 18}
    assert got["verdict"] == "cannot tell yet" and got["most_left"] == 24
    kept = from_json(got["log"])
    assert (kept.margin_percent, kept.sets_each) == (1, 18)
    for wrong in ({"margin_percent": 4}, {"sets_each": 3}, {"sets_each": None}, {"margin_percent": [1]}):
        (refused,) = folded(*PAIR, terms | wrong)["refused"]
        assert refused["error"]["field"] in wrong
    assert got["margins"] == [1, 2, 3, 5]


def test_what_favours_one_setup_is_said_while_it_can_be_mended() -> None:
    got = asked("verdict", *PAIR, a_set("A"), a_set("A"))
    assert got["unfair"].startswith("A came earlier in the session than B")
    got = asked("verdict", *PAIR, a_set("A", reserve=0), a_set("B", reserve=2))
    assert got["cautions"] == [] and got["unfair"].startswith("A goes closer to failure than B")


# ---- the picture, the table, the CSV


def drawn(got: dict[str, Any]) -> ElementTree.Element:
    return ElementTree.fromstring(got["figure"]["svg"])


def test_picture_has_a_dot_for_every_set_and_an_interval_for_every_setup() -> None:
    changes = [
        *PAIR,
        *[a_set("A")] * 2,
        a_set("B", "104"),
        a_set("B", "104", touched=False),
        a_set("A", pain=True),
    ]
    got = asked("verdict", *changes, {"what": "clear_pain", "candidate": "A"})
    svg = drawn(got)
    kinds = [e.get("class") for e in svg.iter() if e.get("class")]
    assert [kinds.count(kind) for kind in ("ev-set", "ev-elsewhere", "ev-pain")] == [3, 1, 1]
    assert kinds.count("ev-middle") == 2 and kinds.count("ev-bar") == 1, "the reference has no width"
    assert [e.text for e in svg.iter(f"{SVG}text")][-2:] == ["A", "B"]
    assert svg.find(f"{SVG}title").text == got["figure"]["title"]
    assert svg.find(f"{SVG}desc").text == got["figure"]["text"]
    assert not any("style" in e.attrib for e in svg.iter())


@pytest.mark.sweep
def test_picture_is_to_scale() -> None:
    got = asked("verdict", *PAIR, a_set("A"), a_set("B", "110"), a_set("B", "104"), a_set("A", "96"))
    svg = drawn(got)
    marks = {float(t.text): float(t.get("x")) for t in svg.iter(f"{SVG}text") if t.text.isdigit()}
    (low, x_low), (high, x_high) = min(marks.items()), max(marks.items())

    def kg(x: str | None) -> float:
        return low + (float(x or "nan") - x_low) * (high - low) / (x_high - x_low)

    shown = sorted(kg(e.get("cx")) for e in svg.iter(f"{SVG}circle"))
    meant = sorted(estimate_1rm(load, 5, 2) for load in (100, 110, 104, 96))
    assert shown == pytest.approx(meant, abs=0.05)
    report = judge(from_json(got["log"]), TODAY)
    level, gain = report.one_rep_max_kg.middle, report.standings[1].gain_kg
    (bar,) = (e for e in svg.iter() if e.get("class") == "ev-bar")
    ends = kg(bar.get("x1")), kg(bar.get("x2"))
    assert ends == pytest.approx((level + gain.low, level + gain.high), abs=0.1)


@pytest.mark.sweep
@pytest.mark.parametrize("count", [1, 60])
def test_picture_keeps_its_parts_inside(count: int) -> None:
    days = [f"2031-05-{1 + i // 4:02d}T18:00" for i in range(count)]
    changes = [a_set("AB"[i % 2], str(60 + 7 * (i % 9)), at=day) for i, day in enumerate(days)]
    svg = drawn(asked("verdict", *setups(PRESENT, WIDE, THIRD, FOURTH), *changes))
    _, _, width, height = (float(n) for n in svg.get("viewBox").split())
    for e in svg.iter():
        for name in ("x", "x1", "x2", "cx"):
            assert 0 <= float(e.get(name, 0)) <= width
        for name in ("y", "y1", "y2", "cy"):
            assert 0 <= float(e.get(name, 0)) <= height
    grid = [e for e in svg.iter() if e.get("class") == "ev-grid"]
    assert 2 <= len(grid) <= 6


def test_csv_reads_back_as_the_sets() -> None:
    bad = {"label": "=1+1", "index": 5.0}
    odd = a_set("B", touched=False, pain=True)
    got = asked("verdict", *setups(PRESENT, bad), a_set("A", "102.5", 4, 1.5), odd)
    rows = list(csv.DictReader(io.StringIO(got["csv"])))
    assert tuple(rows[0]) == tuple(head.format(held="touched_where_planned") for head in sets_rows.HEAD)
    assert rows[0] == {
        "trial": "1", "set": "1", "date": TODAY, "setup": "A", "setup_text": PRESENT["label"],
        "load_kg": "102.5", "reps": "4",
        "reps_in_reserve": "1.5", "touched_where_planned": "yes", "pain": "no",
        "one_rep_max_kg": f"{estimate_1rm(102.5, 4, 1.5):.2f}", "formula": "wathan", "lift": "bench",
        "bar_speeds_m_s": "", "speed_lost": "",
    }  # fmt: skip
    assert (rows[1]["touched_where_planned"], rows[1]["pain"]) == ("no", "yes")
    assert rows[1]["setup_text"] == "'=1+1", "no spreadsheet may run it"


def test_example_is_a_trial_that_goes_on() -> None:
    got = json.loads(view.answer(json.dumps(sets.example_request())))
    assert got["ok"] and got["refused"] == [] and got["verdict"] == "cannot tell yet"
    assert len(got["rows"]) == 8


# ---- what the fit screen hands over


def fitted(**more: Any) -> dict[str, Any]:
    request = view.example_request()
    return json.loads(view.answer(json.dumps(request | more)))


def test_fit_screen_hands_over_setups_that_a_trial_takes() -> None:
    fields = {**view.example_request()["fields"], "current_grip": "60", "current_touch": "20"}
    plain = fitted(fields=fields)
    assert [c["present"] for c in plain["trial"]] == [True, False]
    assert plain["trial"][0]["label"] == "Grip 60.0 cm, touch 20.0 cm"
    far = plain["tradeoff"]["choices"][0]
    chosen = fitted(fields=fields, choice={k: far[k] for k in ("grip_m", "touch_m")})
    assert chosen["trial"][:2] == plain["trial"]
    assert far["text"].startswith(chosen["trial"][2]["label"])
    got = folded(*setups(*chosen["trial"]))
    assert got["refused"] == [] and len(got["candidates"]) == 3
    assert len(fitted()["trial"]) == 1, "no present setup, nothing picked: the suggestion alone"
    inches = fitted(unit="in", fields={"arm_length": "62 cm", "shoulder_breadth": "39 cm"})
    assert inches["trial"][0]["label"] == "Grip 29 in, touch 7 in"


def test_trial_numbers_are_those_of_the_screen() -> None:
    got = fitted()
    (candidate,) = got["trial"]
    table = dict(got["figure"]["table"])
    assert f"{100 * candidate['stroke_m']:.1f} cm" == table["Range of motion"]
    assert f"{100 * candidate['mean_arm_m']:.1f} cm" == table["Average moment arm over the press"]
    assert candidate["index"] > 0
