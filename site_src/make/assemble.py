"""The whole site as files, and writing it."""

import contextlib
import json
import os
import re
from pathlib import Path

from site_src.make.face import face_files
from site_src.make.ground import (
    CORE,
    DIST,
    SITE,
    WORK,
    Trouble,
    digest,
    digest_hex,
    files_under,
    folder_hash,
    stamped,
)
from site_src.make.python import python_files
from site_src.make.render import render_pages
from site_src.make.server import HEADERS, POLICY
from site_src.make.setup import fetch_npm, node

STATIC = {
    "styles": ".css",
    "page": ".mjs",
    "icons": "",
    "example": ".mp4",
}  # copied as they are: folder, ending
NPM_MODULES = {
    "page/shared/qr.mjs": ("lean-qr", "index.mjs"),
    "page/shared/idb.mjs": ("idb", "build/index.js"),
    "page/film/mediabunny.mjs": ("mediabunny", "dist/bundles/mediabunny.min.mjs"),
}


JSDOC = r"/\*\*(?:(?!\*/).)*\*/[ \t]*"
NOTES = re.compile(rf"^[ \t]*(?:{JSDOC}|//[^\n]*)\n|{JSDOC}", re.DOTALL | re.MULTILINE)


def without_notes(script: str) -> str:
    """A script without types and lines of comment: they are for whoever writes it, not for the phone."""
    return NOTES.sub("", script)


IMPORT = re.compile(r"^import \{[^}]*\} from '\./([\w.]+)';.*\n", re.MULTILINE)


def in_one(folder: Path, first: str, made: dict[str, bytes]) -> bytes:
    """A module and all that it imports as one script: one file is there sooner than eight.

    It is one block, of which a part does not parse. ``made`` are modules that do not lie in the folder.
    """
    scripts: dict[str, str] = {}  # in the order in which modules are run

    def place(name: str, above: tuple[str, ...] = ()) -> None:
        if name in above:
            raise Trouble(f"{folder.name}/{name} imports itself by way of {' and '.join(above)}; part them")
        if name in scripts:
            return
        text = without_notes((made[name] if name in made else (folder / name).read_bytes()).decode())
        for other in IMPORT.findall(text):
            place(other, (*above, name))
        text = re.sub(r"(?m)^export (?=(?:const|class|function|async function) )", "", IMPORT.sub("", text))
        if other := re.search(r"(?m)^(?:import|export)\b.*", text):
            raise Trouble(f"{folder.name}/{name}: the build cannot put this into one script: {other[0]}")
        scripts[name] = text

    place(first)
    return f"{{\n{''.join(scripts.values())}}}\n".encode()


def npm_module(package: str, file: str) -> bytes:
    """A package that is one module, its licence in front."""
    folder = fetch_npm() / package
    licence, code = ((folder / name).read_text() for name in ("LICENSE", file))
    return f"/* {package}\n\n{licence.strip()}\n*/\n{code}".encode()


def check_of_lifters(kept: Path) -> bytes:
    """The page's check of a lifter, made from the core's schema; kept till that or a pin changes."""
    schema, maker = CORE / "shortlever" / "roster" / "lifters-2.schema.json", SITE / "make" / "shapes.mjs"
    key = digest(schema, maker, SITE / "package-lock.json")
    made = kept / "shapes.mjs"
    if not stamped(kept / "key", key):
        kept.mkdir(exist_ok=True)
        node(maker, fetch_npm(), schema, made, what="making the check of lifters")
        (kept / "key").write_text(key)
    return made.read_bytes()


def site_files(stage: Path) -> dict[str, bytes]:
    """The whole site as path → bytes."""
    out = python_files(stage) | face_files(stage.parent / "type")
    for folder, ending in STATIC.items():
        for path in files_under(SITE / folder, ending):
            data = path.read_bytes()
            script = ending == ".mjs"
            out[path.relative_to(SITE).as_posix()] = without_notes(data.decode()).encode() if script else data
    made = {"files.mjs": out.pop("worker/files.mjs")}
    out["worker/worker.mjs"] = in_one(SITE / "worker", "worker.mjs", made)
    out["styles/figure.css"] = (
        CORE / "shortlever" / "draw" / "figure.css"
    ).read_bytes()  # the library's, too
    out |= {path: npm_module(*where) for path, where in NPM_MODULES.items()}
    out["page/shared/shapes.mjs"] = check_of_lifters(stage.parent / "shapes")
    worker = SITE / "sw" / "sw.js"
    told = [*files_under(SITE / "pages"), SITE / "docs" / "evidence.json"]
    told += [*files_under(SITE / "docs", ".md"), *files_under(SITE / "docs", ".py")]
    made_by = [*told, worker, *files_under(CORE / "shortlever")]
    build_id = digest(folder_hash(out), POLICY, *made_by)[:16]
    out |= render_pages(build_id)
    kept = {name: digest_hex(data)[:16] for name, data in sorted(out.items())}
    text, times = re.subn(
        r"(?m)^const BUILD = .*; // filled in by build\.py$",
        f"const BUILD = {json.dumps({'id': build_id, 'files': kept})};",
        without_notes(worker.read_text()),
    )
    if times != 1:
        raise Trouble(
            "site_src/sw/sw.js has lost its line 'const BUILD = …; // filled in by build.py'; put it back"
        )
    out["sw.js"] = f"{{\n{text}}}\n".encode()  # one block: a part of it does not parse
    lines = ["/*", *(f"  {name}: {value}" for name, value in HEADERS.items())]
    out["_headers"] = ("\n".join(lines) + "\n").encode()  # for hosts that read it; no page asks for it
    return out


def write_site(files: dict[str, bytes], out: Path) -> int:
    """Make the folder hold exactly these files; what is the same already stays untouched."""
    changed = 0
    for name, data in files.items():
        path = out / name
        if not path.is_file() or path.read_bytes() != data:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
            changed += 1
    for path in sorted(out.rglob("*"), reverse=True):
        if path.is_dir():
            with contextlib.suppress(OSError):
                path.rmdir()  # goes only when empty
        elif path.relative_to(out).as_posix() not in files and path != out / ".gitignore":
            path.unlink()
            changed += 1
    return changed


def build_site(out: Path = DIST, stage: Path = WORK / "stage") -> None:
    files = site_files(stage)
    changed = write_site(files, out)
    size = sum(map(len, files.values()))
    print(
        f"· built {len(files)} files, {size / 1e6:.1f} MB, {changed} changed → {os.path.relpath(out)}/",
        flush=True,
    )
