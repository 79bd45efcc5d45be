"""Python for the browser: Pyodide made smaller, library and core compiled, a snapshot of both awake."""

import gzip
import json
import shutil
from pathlib import Path

from site_src.make.ground import CORE, SITE, digest, digest_hex, files_under, folder_hash, stamped, step
from site_src.make.setup import PINS, fetch_compile_wheels, fetch_npm, node

PACKED = ".packed"  # gzip inside, under a name that no server takes for a compressed text
PACKING = 12  # libdeflate's strongest level


def slim_pyodide(slim: Path) -> Path:
    """Pyodide without what only packages in native code need; kept till a pin changes."""
    modules, runtime = fetch_npm(), SITE / "runtime"
    key = digest(SITE / "package-lock.json", runtime / "slim.mjs", runtime / "snapshot.mjs")
    if not stamped(slim / "key", key):
        shutil.rmtree(slim, ignore_errors=True)
        with step("leaving out of Pyodide what nothing here calls"):
            node(runtime / "slim.mjs", modules, slim, what="slimming Pyodide")
        (slim / "key").write_text(key)
    return slim


def packed(stage: Path, kept: Path) -> None:
    """Gzip the large files as far as it goes, once for each content; the worker opens them itself."""
    import deflate

    large = {"runtime": ("pyodide.asm.wasm", "python_stdlib.zip"), "core": ("shortlever.zip", "lifts.zip"),
             "snapshot": ("python.snapshot",)}  # fmt: skip
    for part, names in large.items():
        for name in names:
            path = stage / part / name
            data = path.read_bytes()
            done = kept / digest_hex(data)
            if not done.is_file():
                kept.mkdir(exist_ok=True)
                done.write_bytes(bytes(deflate.gzip_compress(data, PACKING)))
            path.unlink()
            shutil.copyfile(done, path.with_name(name + PACKED))


def stage_python(stage: Path) -> dict[str, Path]:
    """Pyodide with a trimmed and compiled library, the compiled core, and a snapshot of both awake.

    Kept till an input changes.
    """
    wheels, pyodide = fetch_compile_wheels(), fetch_npm() / "pyodide"
    slim = slim_pyodide(stage.parent / "slim")
    inputs = [*files_under(CORE / "shortlever"), *files_under(SITE / "runtime"), SITE / "package-lock.json",
              PINS / "requirements-compile.txt"]  # fmt: skip
    key = digest(*inputs)
    if not stamped(stage / "key", key):
        shutil.rmtree(stage, ignore_errors=True)
        (stage / "runtime").mkdir(parents=True)
        (stage / "core").mkdir()
        with step("compiling the core and the standard library inside Pyodide"):
            node(
                SITE / "runtime" / "stage.mjs", pyodide, slim, CORE, wheels, stage,
                what="compiling for the browser",
            )  # fmt: skip
        with step("taking the snapshot of a warm Python"):
            node(SITE / "runtime" / "snapshot.mjs", stage, what="taking the snapshot")
            packed(stage, stage.parent / "packed")
        (stage / "key").write_text(key)
    return {name: stage / name for name in ("runtime", "core", "snapshot")}


def lengths(snapshot: Path) -> dict[str, int]:
    """How many bytes the memory in a packed snapshot has, and its head."""
    with gzip.open(snapshot) as file:
        about = json.loads(file.read(int.from_bytes(file.read(4), "little")))
    return {name: about[name] for name in ("memory", "head")}


def python_files(stage: Path) -> dict[str, bytes]:
    """runtime/HASH, core/HASH and snapshot/HASH, with worker/files.mjs that tells the worker of them.

    The snapshot is one unit with the runtime and the core: its hash counts them too.
    """
    out: dict[str, bytes] = {}
    listed: dict[str, dict[str, object]] = {}
    for part, folder in stage_python(stage).items():
        files = {p.name: p.read_bytes() for p in files_under(folder)}
        base = f"{part}/{folder_hash(out | files if part == 'snapshot' else files)}/"
        out |= {base + name: data for name, data in files.items()}
        listed[part] = {
            "base": f"../{base}",
            "files": {
                name: {"bytes": len(data), "sha256": digest_hex(data)} for name, data in sorted(files.items())
            },
        }
    listed["snapshot"] |= lengths(stage / "snapshot" / f"python.snapshot{PACKED}")
    lines = [f"export const {name} = {json.dumps(value, indent=2)};" for name, value in listed.items()]
    out["worker/files.mjs"] = (
        "// Made by build.py: what the worker fetches.\n" + "\n".join(lines) + "\n"
    ).encode()
    return out
