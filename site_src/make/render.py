"""The pages: Jinja2 with the example lifter's real result laid in."""

import json
import sys
import tomllib
from typing import Any

from site_src.make.ground import CORE, SITE, Trouble, files_under
from site_src.make.server import POLICY


def words_of(page: str, words: dict[str, Any]) -> dict[str, dict[str, str]]:
    """`page`: the texts of one page and those all share; `say`: what the scripts of any page say."""
    own = words.get("fit" if page == "index" else page, {})
    said: dict[str, str] = {}
    for name, part in words.items():
        twice = said.keys() & part.get("say", {})
        if twice:
            raise Trouble(f"words/{name}.toml says {sorted(twice)} once more; give it another key")
        said |= part.get("say", {})
    return {"page": words["common"]["page"] | own.get("page", {}), "say": said}


def render_pages(build_id: str) -> dict[str, bytes]:
    """Every site_src/pages/*.j2 (a name that starts with _ is only for including)."""
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
    words = {p.stem: tomllib.loads(p.read_text("utf-8")) for p in files_under(SITE / "pages" / "words")}
    names = [p.name for p in files_under(SITE / "pages", ".j2") if not p.name.startswith("_")]
    addresses = {"./", *(name.removesuffix(".j2") for name in names)}
    context = {
        "version": shortlever.__version__,
        "form": view.form(),
        "choices": view.choices(),
        "cautions": view.cautions(),
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
    pages.globals["policy"] = POLICY
    try:
        return {
            name.removesuffix(".j2"): pages.get_template(name)
            .render(context, words=words_of(name.split(".")[0], words))
            .encode()
            for name in names
        }
    except jinja2.TemplateError as error:
        raise Trouble(f"a page in site_src/pages cannot be laid out; mend it: {error}") from error
