"""Run inside the Pyodide whose memory is kept: imports the core and uses every door of it once.

What lifts.zip holds stays out: the browser brings it when one of those lifts is asked for.
"""

import atexit
import gc
import importlib
import json
import linecache
import random
import re
import sys
import zipimport

random.seed(0)  # the browser seeds it anew
sys.path.append("/shortlever.zip")

from shortlever import view  # noqa: E402

# Pyodide's event loop, loader of packages and help, and what only these import: nothing here waits for
# anything, loads a package or asks for help. ipaddress: urllib.parse, for hosts in brackets.
UNUSED = (
    "_pyodide._core_docs",
    "asyncio",
    "compression",
    "concurrent",
    "ipaddress",
    "locale",
    "logging",
    "selectors",
    "shutil",
    "signal",
    "socket",
    "subprocess",
    "tempfile",
    "zipfile",
)

later = set(zipimport.zipimporter("/lifts.zip")._get_files())
for library in ("/lib/python314.zip", "/shortlever.zip"):  # nothing can be imported later: see the empty zip
    for path in sorted(set(zipimport.zipimporter(library)._get_files()) - later):
        if path.endswith(".pyc") and not path.endswith("__main__.pyc"):
            importlib.import_module(path.removesuffix(".pyc").removesuffix("/__init__").replace("/", "."))

example = view.example_request()
for request in (
    example,
    example | {"unit": "in"},
    example | {"want": "doubt"},
    example | {"want": "link"},
    {"unit": "cm", "fields": {"arm_length": "6.1", "shoulder_breadth": "wide"}},
):
    view.answer(json.dumps(request))
view.answer("not JSON")
link = json.loads(view.answer(json.dumps(example | {"want": "link"})))
view.answer(json.dumps({"want": "open", "fragment": link.get("fragment", "")}))
view.answer(json.dumps(view.sets.example_request()))
try:
    raise ZeroDivisionError
except ZeroDivisionError:
    import traceback

    traceback.format_exc()

for path in later:
    name = path.removesuffix(".pyc").removesuffix("/__init__").replace("/", ".")
    assert name not in sys.modules, f"{name} was imported, though no lift of lifts.zip was asked for"
del example, request, link, library, later, path, name
atexit._clear()
for name, module in list(sys.modules.items()):
    if name.startswith(UNUSED):
        for part in [part for part in vars(module) if not part.startswith("__")]:
            delattr(module, part)  # what Pyodide itself holds of it stays
del name, module, part, UNUSED
linecache.clearcache()
re.purge()
zipimport._zip_directory_cache.clear()
sys.path_importer_cache.clear()
sys._clear_internal_caches()
random.seed(0)
gc.collect()


def clear_small_blocks() -> None:
    """What was freed still holds its old bytes: fill every free block with zeros, then free it."""
    head = sys.getsizeof(b"")
    for size in range(48, 513, 16):
        [bytes(size - head) for _ in range(1_500_000 // size)]


clear_small_blocks()
del clear_small_blocks
gc.collect()
