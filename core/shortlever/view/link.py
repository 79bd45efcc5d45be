"""The whole state of the screen in a link's fragment: versioned, short, with a checksum, no server involved.

``v=2&l=bench&u=cm&a=62&b=39&k=…``: form-encoded pairs (WHATWG URL standard,
application/x-www-form-urlencoded) with one-letter keys and what was typed as it was typed; l is the lift, k
the CRC-32 (ISO 3309) of what stands before it. A version once given out keeps opening: version 1 named no
lift. The letters of a lift are its own; a new layout gets a new number.
"""

from __future__ import annotations

import zlib
from collections.abc import Mapping
from typing import Any
from urllib.parse import parse_qsl, urlencode

from shortlever.errors import InputError
from shortlever.fitting.request import CHOICES, UNITS
from shortlever.lifts import NAMES, UNNAMED
from shortlever.units import MAX_TYPED_CHARACTERS

VERSION, VERSIONS = "2", ("1", "2")
MAX_CHARACTERS = 1200
NEWER = "Update this page, then open it."
FIELDS = {
    "a": "arm_length",
    "b": "shoulder_breadth",
    "f": "chest_flat",
    "h": "chest_arched",
    "g": "current_grip",
    "t": "current_touch",
    "s": "shoulder_height",
    "z": "joint_width",
    "m": "upper_arm",
    "w": "forearm_to_grip",
    "n": "stature",
    "p": "span",
    "y": "body_mass",
    "d": "hand_breadth",
    "e": "bench_height",
}
CHOSEN = {"r": "rules", "o": "bar", "c": "comfort", "x": "sex"}


def to_fragment(request: Mapping[str, Any]) -> str:
    """The fragment (without #) of a request; what is at its default or empty is left out."""
    typed = request.get("fields")
    typed = typed if isinstance(typed, Mapping) else {}
    pairs = [("v", VERSION), ("l", str(request.get("lift", UNNAMED))), ("u", str(request.get("unit", "cm")))]
    pairs += [(k, typed[name].strip()) for k, name in FIELDS.items() if str(typed.get(name, "")).strip()]
    for key, name in CHOSEN.items():
        value = request.get(name, CHOICES[name][2])
        if value != CHOICES[name][2]:
            pairs.append((key, str(value)))
    preference = request.get("preference")
    if isinstance(preference, int | float):
        pairs.append(("q", f"{preference:.3g}"))
    choice = request.get("choice")
    if isinstance(choice, Mapping):
        pairs += [("i", f"{1000 * choice['grip_m']:.0f}"), ("j", f"{1000 * choice['touch_m']:.1f}")]
    text = urlencode(pairs)
    return f"{text}&k={_check(text)}"


def from_fragment(fragment: str) -> dict[str, Any]:
    """The request of a fragment. Raises InputError that says what is wrong; nothing of a bad link is used."""
    text = fragment.removeprefix("#")
    if len(text) > MAX_CHARACTERS:
        raise _bad("too_long", f"The link is longer than {MAX_CHARACTERS} characters.")
    body, found, check = text.rpartition("&k=")
    if not found or not text.startswith("v="):
        raise _bad("not_a_link", "The link holds no setup of this page.")
    try:
        pairs = parse_qsl(
            body, keep_blank_values=True, strict_parsing=True, max_num_fields=40, errors="strict"
        )
    except ValueError:
        raise _bad("damaged", "The link is damaged: a part of it cannot be read.") from None
    values = dict(pairs)
    if len(values) != len(pairs):
        raise _bad("damaged", "The link is damaged: a part of it stands twice.")
    version = values.pop("v")
    if version not in VERSIONS:
        raise _bad("newer", "The link was made by a newer version of this page.", NEWER)
    if check != _check(body):
        raise _bad("damaged", "The link is damaged: its check number does not fit.")
    lift = values.pop("l", "") if version == VERSION else UNNAMED
    if lift not in NAMES:
        raise _bad("newer", f"The link is for a lift that this version does not know: “{lift[:24]}”.", NEWER)
    return {"lift": lift, **_request(values)}


def _request(values: dict[str, str]) -> dict[str, Any]:
    request: dict[str, Any] = {"unit": values.pop("u", ""), "fields": {}}
    if request["unit"] not in UNITS:
        raise _bad("damaged", "The link is damaged: its unit is unknown.")
    choice: dict[str, float] = {}
    for key, value in values.items():
        if key in FIELDS and len(value) <= MAX_TYPED_CHARACTERS:
            request["fields"][FIELDS[key]] = value
        elif key in CHOSEN and value in CHOICES[CHOSEN[key]][1]:
            request[CHOSEN[key]] = value
        elif key in ("i", "j", "q"):
            number = _number(value)
            if key == "q":
                if number > 1:
                    raise _bad("damaged", f"The link is damaged: its dial is at {number:g}, outside 0 to 1.")
                request["preference"] = number
            else:
                choice["grip_m" if key == "i" else "touch_m"] = number / 1000
        else:
            raise _bad("damaged", f"The link is damaged: its part “{key[:8]}” is unknown or out of range.")
    if choice:
        if len(choice) != 2:
            raise _bad("damaged", "The link is damaged: half of the chosen setup is missing.")
        request["choice"] = choice
    return request


def _number(text: str) -> float:
    if len(text) <= 8 and text.replace(".", "", 1).isdigit() and text.isascii():
        return float(text)
    raise _bad("damaged", f"The link is damaged: “{text[:8]}” is not a number.")


def _check(text: str) -> str:
    return f"{zlib.crc32(text.encode()):08x}"


def _bad(
    code: str, message: str, remedy: str = "Ask for it again; nothing on this device was changed."
) -> InputError:
    return InputError("link", code, "", message, remedy)
