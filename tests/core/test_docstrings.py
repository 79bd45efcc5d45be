"""Every example in a docstring of the core runs."""

from __future__ import annotations

import doctest
import importlib
import pkgutil
import re
from pathlib import Path

import pytest

import shortlever

MODULES = [
    name
    for _, name, _ in pkgutil.walk_packages(shortlever.__path__, "shortlever.")
    if not name.endswith("__main__")
]


@pytest.mark.sweep
@pytest.mark.parametrize("name", ["shortlever", *MODULES])
def test_examples_in_docstrings(name: str) -> None:
    module = importlib.import_module(name)
    ran = doctest.testmod(module)
    written = re.findall(r"(?m)^ *>>> ", Path(str(module.__file__)).read_text("utf-8"))
    assert (ran.failed, ran.attempted) == (0, len(written)), "every one of them is found, and holds"
