"""The Python half of stage.mjs; it runs inside Pyodide, at build time."""

import importlib
import json
import os
import sys

ALSO = ("encodings.ascii", "encodings.latin_1", "linecache", "random", "traceback")
# Pyodide's own modules import these where they are there, and do without them where not.
UNUSED = {"bz2", "lzma", "ssl", "_ssl", "compression.zstd", "compression.zstd._zstdfile"}
FIXED_DATE = (1980, 1, 1, 0, 0, 0)


def source_of(module: str) -> str | None:
    """The file of one of the core's modules, or None when there is no such module."""
    path = "/core/" + module.replace(".", "/")
    return next((file for file in (f"{path}.py", f"{path}/__init__.py") if os.path.isfile(file)), None)


def imports_of(arguments: str) -> str:
    """Every module that an import names anywhere in what this module reaches, inside functions too."""
    import ast
    import importlib.util

    found: set[str] = set()
    (names,) = json.loads(arguments)
    todo = set(names)
    while todo:
        name = todo.pop()
        found.add(name)
        source = source_of(name)
        if source is None:
            continue
        parent = name.rpartition(".")[0]
        package = name if source.endswith("/__init__.py") else parent
        named = {parent} if parent else set()
        with open(source, encoding="utf-8") as file:
            tree = ast.parse(file.read())
        for node in ast.walk(tree):
            if isinstance(node, ast.Import):
                named |= {alias.name for alias in node.names}
            elif isinstance(node, ast.ImportFrom):
                base = importlib.util.resolve_name("." * node.level + (node.module or ""), package)
                named |= {base, *(inner for a in node.names if source_of(inner := f"{base}.{a.name}"))}
        todo |= named - found
    return json.dumps(sorted(found))


def asked(_: str) -> str:
    """The modules of the lifts that a browser fetches when they are asked for."""
    from shortlever.lifts import PLACES

    return json.dumps([place.partition(":")[0] for place in PLACES.values()])


def loaded(arguments: str) -> str:
    """The names of all modules that are loaded here from files, once these and ALSO are imported too."""
    (names,) = json.loads(arguments)
    for name in (*names, *ALSO):
        importlib.import_module(name)
    frozen = {
        name for name, module in sys.modules.items() if getattr(module.__spec__, "origin", None) == "frozen"
    }
    return json.dumps(sorted(set(sys.modules) - frozen - UNUSED - {"stage"}))


def compile_all(arguments: str) -> str:
    """The zips, compiled by pyodide-build; returns where they are and where they belong.

    ``modules``: all that the core needs; ``later``: those of them that go into lifts.zip too.
    """
    import glob
    import zipfile

    from shortlever.say import english

    modules, later = json.loads(arguments)
    sys.path[:0] = sorted(glob.glob("/home/pyodide/*.whl"))

    library = next(path for path in sys.path if path.endswith(".zip"))
    wanted = files_of(modules)
    with zipfile.ZipFile(library) as source:
        files = {name: source.read(name) for name in source.namelist() if name in wanted}
    compile_zip(files, "/python_stdlib.zip")

    core: dict[str, bytes] = {}
    for folder, _, names in os.walk("/core"):
        for name in names:
            path = os.path.relpath(os.path.join(folder, name), "/core")
            if path in wanted or path.endswith(".json"):
                with open(os.path.join(folder, name), "rb") as file:
                    core[path] = without_types(file.read()) if path.endswith(".py") else file.read()
    compile_zip(core, "/shortlever.zip")
    said = {f"shortlever/say/english/{name}.json" for name in english.SUBJECTS["asked"]}
    compile_zip({path: core[path] for path in files_of(later) & set(core) | said}, "/lifts.zip")
    return json.dumps(
        {
            "/python_stdlib.zip": "runtime/python_stdlib.zip",
            "/shortlever.zip": "core/shortlever.zip",
            "/lifts.zip": "core/lifts.zip",
        }
    )


def without_types(source: bytes) -> bytes:
    """A source without the types of arguments and results, a tenth of a function in memory."""
    import ast

    tree = ast.parse(source)
    for node in ast.walk(tree):
        if isinstance(node, ast.arg):
            node.annotation = None
        elif isinstance(node, ast.FunctionDef):
            node.returns = None
    return ast.unparse(tree).encode()


def files_of(modules: list[str]) -> set[str]:
    """Where the sources of modules may be."""
    return {name.replace(".", "/") + end for name in modules for end in (".py", "/__init__.py")}


def compile_zip(files: dict[str, bytes], target: str) -> None:
    """Compile with pyodide-build, then put together again: sorted, one fixed date, not compressed yet."""
    import zipfile
    from pathlib import Path

    from pyodide_build._py_compile import _compile

    plain, compiled = Path("/plain.zip"), Path("/compiled.zip")
    with zipfile.ZipFile(plain, "w") as packed:
        for name in sorted(files):
            packed.writestr(zipfile.ZipInfo(name, FIXED_DATE), files[name])
    _compile(plain, compiled, verbose=False, compression_level=0)
    with zipfile.ZipFile(compiled) as source, zipfile.ZipFile(target, "w") as packed:
        for name in sorted(source.namelist()):
            data = source.read(name)
            if name.endswith(".pyc"):
                data = without_lines(data)
            packed.writestr(zipfile.ZipInfo(name, FIXED_DATE), data)


def without_lines(compiled: bytes) -> bytes:
    """The same byte code without its tables of line numbers, a tenth of it; nobody is shown a traceback."""
    import marshal
    from types import CodeType

    def strip(code: CodeType) -> CodeType:
        consts = tuple(strip(one) if isinstance(one, CodeType) else one for one in code.co_consts)
        return code.replace(co_linetable=b"", co_consts=consts)

    return compiled[:16] + marshal.dumps(strip(marshal.loads(compiled[16:])))
