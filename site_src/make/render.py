"""The pages: Jinja2 with the example lifter's real result laid in."""

import json
import posixpath
import re
import sys
import tomllib
from typing import Any

from site_src.make.ground import CORE, SITE, Trouble, files_under
from site_src.make.server import POLICY

IMPORTED = re.compile(r"""^(?:import|export)\b(?:[^"';]*\bfrom)?\s*["'](\.[^"']+)["'];""", re.MULTILINE)


def words_of(page: str, words: dict[str, Any], lift: str = "", name: str = "") -> dict[str, Any]:
    """`page`: the texts of one page and those all share; `say`: what scripts of any page say.

    On the page of a lift its own file goes before the fit screen's, and its name stands for {lift}.
    """
    files = ("common", "fit" if page == "index" else page, lift)
    said: dict[str, Any] = {}
    for file, part in words.items():
        twice = said.keys() & part.get("say", {})
        if twice:
            raise Trouble(f"words/{file}.toml says {sorted(twice)} once more; give it another key")
        said |= part.get("say", {})
    own: dict[str, Any] = {}
    for file in files:
        own |= words.get(file, {}).get("page", {})
    own |= {key: text.replace("{lift}", name) for key, text in own.items() if isinstance(text, str)}
    return {"page": own, "say": said, "language": words["common"]["language"]}


def fill(text: str, *parts: str) -> str:
    """A text of the words with its {} filled in one after the other, as scripts do it."""
    for part in parts:
        text = text.replace("{}", part, 1)
    return text


def modules_of(script: str) -> list[str]:
    """The addresses of all modules below a screen's script: a page names them, so that they come at once."""
    found: list[str] = []
    ahead = [f"page/{script}.mjs"]
    for name in ahead:
        made_from = (SITE / name, SITE / "pages" / f"{name}.j2")  # what comes from npm imports nothing
        text = "".join(path.read_text(encoding="utf-8") for path in made_from if path.is_file())
        for told in IMPORTED.findall(text):
            address = posixpath.normpath(posixpath.join(posixpath.dirname(name), told))
            if address not in ahead:
                ahead.append(address)
                found.append(address)
    return found


def names_of(form: list[dict[str, Any]], choices: list[dict[str, Any]]) -> dict[str, str]:
    """What numbers and choices are called: "arm_length", "rules", "rules/ipf"."""
    names = {field["key"]: field["label"] for field in form}
    for choice in choices:
        names[choice["key"]] = choice["label"]
        names |= {f"{choice['key']}/{one['value']}": one["label"] for one in choice["options"]}
    return names


def groups_of(form: list[dict[str, Any]], choices: list[dict[str, Any]]) -> list[str]:
    """The groups below the numbers that are always asked, in the form's order, but gear and more last."""
    groups = dict.fromkeys(
        [one["group"] for one in form if one["group"] != "tape"] + ["gear"] * bool(choices)
    )
    return sorted(
        groups, key=lambda group: ("gear", "more").index(group) + 1 if group in ("gear", "more") else 0
    )


def page_of(lift: str) -> str:
    """The file of a lift's page."""
    from shortlever.lifts import UNNAMED

    return "index.html" if lift == UNNAMED else f"{lift}.html"


def of_lift(lift: str) -> dict[str, Any]:
    """What the page of a lift is built with: its form, and its example worked out."""
    from shortlever import view

    request = view.example_request(lift)
    example, doubt = (json.loads(view.answer(json.dumps(request | ask))) for ask in ({}, {"want": "doubt"}))
    for response in (example, doubt):
        if not response["ok"]:
            problem = response["errors"][0]["message"]
            raise Trouble(f"the example lifter of {lift} gets no result; mend the core: {problem}")
    form, choices = view.form(lift), view.choices(lift)
    return {
        "form": form,
        "choices": choices,
        "groups": groups_of(form, choices),
        "cautions": view.cautions(lift),
        "leanings": view.leanings(lift),
        "example_request": request,
        "example": example,
        "example_doubt": doubt,
    }


def by_lift(of_lifts: dict[str, Any]) -> dict[str, Any]:
    """What the screens of sets and sheets say otherwise for each lift: {name: {lift: text}}."""
    from shortlever import team, view
    from shortlever.lifts import LIFTS

    said = {key: view.at_each_set(key) for key in of_lifts}
    pasted = {}
    for key in of_lifts:  # of the invented lifters as many columns as show how it is done
        lines = team.example_sheet("cm", LIFTS[key]).splitlines()[:2]
        pasted[key] = "\n".join(",".join(line.split(",")[:3]) for line in lines)
    return {
        **{name: {key: one[name] for key, one in said.items()} for name in next(iter(said.values()))},
        "required": {k: [f["label"] for f in one["form"] if f["required"]] for k, one in of_lifts.items()},
        "paste_examples": pasted,
        "example_trials": {key: view.sets.example_request(key) for key in of_lifts},
    }


def all_words() -> dict[str, Any]:
    """The files of words, by their names."""
    return {p.stem: tomllib.loads(p.read_text("utf-8")) for p in files_under(SITE / "pages" / "words")}


def render_pages(build_id: str, words: dict[str, Any] | None = None) -> dict[str, bytes]:
    """Every site_src/pages/*.j2, but those that start with _; in other `words` if given."""
    import jinja2

    sys.path.insert(0, str(CORE))
    import shortlever
    from shortlever import view
    from shortlever.lifts import LIFTS, UNNAMED
    from site_src.docs import make as docs

    words = words or all_words()
    names = [p.name.removesuffix(".j2") for p in files_under(SITE / "pages", ".j2") if p.name[0] != "_"]
    if len(LIFTS) == 1:
        names.remove("start.js")
    lifts = [
        {"key": key, "name": str(lift.name), "address": "./" if key == UNNAMED else page_of(key)}
        for key, lift in LIFTS.items()
    ]
    of_lifts = {key: of_lift(key) for key in LIFTS}
    addresses = {"./", *names}
    film = {
        key: json.loads(view.answer(json.dumps({"want": "film/form", "lift": key})))
        for key, lift in LIFTS.items()
        if lift.film
    }
    context = {
        "version": shortlever.__version__,
        "lifts": lifts,
        "unnamed": UNNAMED,
        "pages_of_lifts": {one["key"]: one["address"] for one in lifts},
        "kinds": {
            field["key"]: field["unit_kind"]
            for one in of_lifts.values()
            for field in one["form"]
            if field["unit_kind"] != "length"
        },
        "names": {
            k: v for one in of_lifts.values() for k, v in names_of(one["form"], one["choices"]).items()
        },
        "alone": words.get("taping", {}).get("alone", {}),
        "screens": [screen for screen in words["common"]["screens"] if screen["address"] in addresses],
        "all_cautions": {key: one["cautions"] for key, one in of_lifts.items()},
        **by_lift(of_lifts),
        "example_sets": json.loads(view.answer(json.dumps(view.sets.example_request()))),
        "film_fields": film[UNNAMED]["fields"],
        "film_examples": [key for key in film if (SITE / "example" / f"{key}.mp4").is_file()],
        "film_marks": [mark | {"lift": key} for key, form in film.items() for mark in form["marks"]],
        "film_moments": [one | {"lift": key} for key, form in film.items() for one in form["moments"]],
        "every_caution": list(
            dict.fromkeys(tuple(one) for own in of_lifts.values() for one in own["cautions"])
        ),
        "build_id": build_id,
        "evidence": json.loads((SITE / "docs" / "evidence.json").read_text(encoding="utf-8")),
        **docs.context(),
        **of_lifts[UNNAMED],
    }
    pages = jinja2.Environment(
        loader=jinja2.FileSystemLoader(SITE / "pages"), autoescape=True, undefined=jinja2.StrictUndefined,
        trim_blocks=True, lstrip_blocks=True, keep_trailing_newline=True,
    )  # fmt: skip
    pages.globals |= {"policy": POLICY, "modules": modules_of}
    pages.filters["fill"] = fill
    try:
        made = {
            name: pages.get_template(f"{name}.j2").render(context, words=words_of(name.split(".")[0], words))
            for name in names
            if name != "index.html"
        }
        for lift in lifts:
            own = words_of("index", words, lift["key"], lift["name"])
            page = pages.get_template("index.html.j2").render(
                context | of_lifts[lift["key"]], words=own, lift=lift
            )
            if made.setdefault(page_of(lift["key"]), page) is not page:
                raise Trouble(f"the lift {lift['key']} has the name of a screen; give it another key")
    except jinja2.TemplateError as error:
        raise Trouble(f"a page in site_src/pages cannot be laid out; mend it: {error}") from error
    return {name: text.encode() for name, text in made.items()}
