"""The whole state of the screen in a link's fragment: versioned, short, with a checksum, no server involved.

``v=2&l=LIFT&u=cm&a=62&b=39&k=…``: form-encoded pairs (WHATWG URL standard,
application/x-www-form-urlencoded) with one-letter keys and what was typed as it was typed; l is the lift, k
the CRC-32 (ISO 3309) of what stands before it. A version once given out keeps opening: version 1 named no
lift. The letters are those of the lift's form and setup, v, l, u, q, I and k ours; a new layout gets a new
number. Version 3 is of a printed code: it says by I whose it is (a record's id), for a device on which that
lifter is kept; a link that is handed on says nobody's and stays version 2.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Mapping
from typing import Any
from urllib.parse import parse_qsl, urlencode

from shortlever.errors import InputError
from shortlever.fitting.request import UNITS
from shortlever.lifts import LIFTS, UNNAMED, AnyLift
from shortlever.say import Said
from shortlever.units import MAX_TYPED_CHARACTERS

VERSION, OF_SOMEBODY = "2", "3"
VERSIONS = ("1", VERSION, OF_SOMEBODY)
WHO = re.compile(r"[A-Za-z0-9-]{1,64}")
MAX_CHARACTERS = 1200
NEWER, REMEDY = Said("link_newer_remedy"), Said("link_remedy")


def to_fragment(request: Mapping[str, Any], who: str = "") -> str:
    """The fragment (without #) of a request; what is at its default or empty is left out. ``who``: the id of
    the lifter's record, "" for nobody's."""
    lift = LIFTS[str(request.get("lift", UNNAMED))]
    typed = request.get("fields")
    typed = typed if isinstance(typed, Mapping) else {}
    who = who if WHO.fullmatch(who) else ""
    pairs = [
        ("v", OF_SOMEBODY if who else VERSION),
        *([("I", who)] if who else []),
        ("l", lift.key),
        ("u", str(request.get("unit", "cm"))),
    ]
    for one in lift.fields:
        if str(typed.get(one.key, "")).strip():
            pairs.append((one.measure.letter, typed[one.key].strip()))
    for choice in lift.choices:
        value = request.get(choice.key, choice.default)
        if value != choice.default:
            pairs.append((choice.letter, str(value)))
    preference = request.get("preference")
    if isinstance(preference, int | float):
        pairs.append(("q", f"{preference:.3g}"))
    picked = request.get("choice")
    if isinstance(picked, Mapping):
        pairs += [(part.letter, f"{part.scale * picked[part.key]:.{part.places}f}") for part in lift.parts]
    text = urlencode(pairs)
    return f"{text}&k={_check(text)}"


def from_fragment(fragment: str) -> dict[str, Any]:
    """The request of a fragment, with "who" where it says whose it is. Raises InputError that says what is
    wrong; nothing of a bad link is used."""
    text = fragment.removeprefix("#")
    if len(text) > MAX_CHARACTERS:
        raise _bad("too_long", "too_long", most=MAX_CHARACTERS)
    body, found, check = text.rpartition("&k=")
    if not found or not text.startswith("v="):
        raise _bad("not_a_link", "no_setup")
    try:
        pairs = parse_qsl(
            body, keep_blank_values=True, strict_parsing=True, max_num_fields=40, errors="strict"
        )
    except ValueError:
        raise _bad("damaged", "unreadable") from None
    values = dict(pairs)
    if len(values) != len(pairs):
        raise _bad("damaged", "twice")
    version = values.pop("v")
    if version not in VERSIONS:
        raise _bad("newer", "newer", NEWER)
    if check != _check(body):
        raise _bad("damaged", "check")
    who = values.pop("I", "") if version == OF_SOMEBODY else None
    if who is not None and not WHO.fullmatch(who):
        raise _bad("damaged", "part", part="I")
    lift = UNNAMED if version == "1" else values.pop("l", "")
    if lift not in LIFTS:
        raise _bad("newer", "lift", NEWER, lift=lift[:24])
    return {"lift": lift, **_request(LIFTS[lift], values), **({"who": who} if who else {})}


def _request(lift: AnyLift, values: dict[str, str]) -> dict[str, Any]:
    request: dict[str, Any] = {"unit": values.pop("u", ""), "fields": {}}
    if request["unit"] not in UNITS:
        raise _bad("damaged", "unit")
    fields = {one.measure.letter: one.key for one in lift.fields if one.measure.letter}
    choices = {one.letter: one for one in lift.choices}
    parts = {part.letter: part for part in lift.parts}
    picked: dict[str, float] = {}
    for key, value in values.items():
        if key in fields and len(value) <= MAX_TYPED_CHARACTERS:
            request["fields"][fields[key]] = value
        elif key in choices and value in choices[key].options:
            request[choices[key].key] = value
        elif key == "q":
            request["preference"] = _number(value)
            if request["preference"] > 1:
                raise _bad("damaged", "dial", at=request["preference"])
        elif key in parts:
            picked[parts[key].key] = _number(value) / parts[key].scale
        else:
            raise _bad("damaged", "part", part=key[:8])
    if picked:
        if len(picked) != len(parts):
            raise _bad("damaged", "half")
        request["choice"] = picked
    return request


def _number(text: str) -> float:
    if len(text) <= 8 and text.replace(".", "", 1).isdigit() and text.isascii():
        return float(text)
    raise _bad("damaged", "number", given=text[:8])


def _check(text: str) -> str:
    return f"{zlib.crc32(text.encode()):08x}"


def _bad(code: str, why: str, remedy: Said = REMEDY, **values: Any) -> InputError:
    return InputError("link", code, "", Said(f"link_{why}", values), remedy)
