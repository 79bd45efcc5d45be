"""Run inside the Pyodide whose memory is kept: imports the core and uses every door of it once."""

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

for library in ("/lib/python314.zip", "/shortlever.zip"):  # nothing can be imported later: see the empty zip
    for path in sorted(zipimport.zipimporter(library)._get_files()):
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

del example, request, link, library, path
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
