"""The pages: Jinja2 with the example lifter's real result laid in."""

import json
import posixpath
import re
import sys
import tomllib
from typing import Any

from site_src.make.ground import CORE, SITE, Trouble, files_under
from site_src.make.server import POLICY

IMPORTED = re.compile(r"""^(?:import|export)\b[^"';]*["'](\.[^"']+)["'];""", re.MULTILINE)


def words_of(page: str, words: dict[str, Any]) -> dict[str, Any]:
    """`page`: the texts of one page and those all share; `say`: what scripts of any page say."""
    own = words.get("fit" if page == "index" else page, {})
    said: dict[str, Any] = {}
    for name, part in words.items():
        twice = said.keys() & part.get("say", {})
        if twice:
            raise Trouble(f"words/{name}.toml says {sorted(twice)} once more; give it another key")
        said |= part.get("say", {})
    shared = words["common"]
    return {"page": shared["page"] | own.get("page", {}), "say": said, "language": shared["language"]}


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

    request = view.example_request()
    example, doubt = (json.loads(view.answer(json.dumps(request | ask))) for ask in ({}, {"want": "doubt"}))
    for response in (example, doubt):
        if not response["ok"]:
            raise Trouble(
                f"the example lifter gets no result; mend the core: {response['errors'][0]['message']}"
            )
    words = words or all_words()
    names = [p.name for p in files_under(SITE / "pages", ".j2") if not p.name.startswith("_")]
    addresses = {"./", *(name.removesuffix(".j2") for name in names)}
    context = {
        "version": shortlever.__version__,
        "form": view.form(),
        "choices": view.choices(),
        "names": names_of(view.form(), view.choices()),
        "cautions": LIFTS[UNNAMED].cautions,
        "screens": [screen for screen in words["common"]["screens"] if screen["address"] in addresses],
        "example_request": request,
        "example": example,
        "example_doubt": doubt,
        "example_sets": json.loads(view.answer(json.dumps(view.sets.example_request()))),
        "film_fields": json.loads(view.answer('{"want": "film/form"}'))["fields"],
        "build_id": build_id,
        "evidence": json.loads((SITE / "docs" / "evidence.json").read_text(encoding="utf-8")),
        **docs.context(),
    }
    pages = jinja2.Environment(
        loader=jinja2.FileSystemLoader(SITE / "pages"), autoescape=True, undefined=jinja2.StrictUndefined,
        trim_blocks=True, lstrip_blocks=True, keep_trailing_newline=True,
    )  # fmt: skip
    pages.globals |= {"policy": POLICY, "modules": modules_of}
    pages.filters["fill"] = fill
    try:
        return {
            name.removesuffix(".j2"): pages.get_template(name)
            .render(context, words=words_of(name.split(".")[0], words))
            .encode()
            for name in names
        }
    except jinja2.TemplateError as error:
        raise Trouble(f"a page in site_src/pages cannot be laid out; mend it: {error}") from error
