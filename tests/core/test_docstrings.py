"""Every example in a docstring of the core runs."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import shortlever

MODULES = [
    name
    for _, name, _ in pkgutil.walk_packages(shortlever.__path__, "shortlever.")
    if not name.endswith("__main__")
]


@pytest.mark.parametrize("name", ["shortlever", *MODULES])
def test_examples_in_docstrings(name: str) -> None:
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def test_there_are_examples() -> None:
    finder = doctest.DocTestFinder(exclude_empty=True)
    found = [test for name in ["shortlever", *MODULES] for test in finder.find(importlib.import_module(name))]
    assert sum(len(test.examples) for test in found) > 10
