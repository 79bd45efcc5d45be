"""Runs the tests of the core inside Pyodide, or only names them (see test_core_in_pyodide.py)."""

import json
import sys

import pytest


class Count:
    def __init__(self) -> None:
        self.named: list[str] = []
        self.passed: list[str] = []
        self.other: list[str] = []

    def pytest_collection_finish(self, session: pytest.Session) -> None:
        self.named = sorted(item.nodeid for item in session.items)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.when == "call" and report.passed:
            self.passed.append(report.nodeid)
        elif not report.passed:
            self.other.append(f"{report.nodeid}: {report.outcome}\n{report.longrepr}")

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        if not report.passed:
            self.other.append(f"{report.nodeid}: {report.outcome}\n{report.longrepr}")


def run(root: str, which: str, *more: str) -> str:
    """Returns JSON: pytest's status, the names of all tests and of those that passed, what every other said.

    Property tests stay out: Hypothesis holds native code that no Pyodide can load.
    """
    count = Count()
    options = [
        "-q",
        "--assert=plain",  # what rewritten assertions would tell costs a fifth of the time; CPython tells it
        "-m",
        f"not slow and {which}",
        *more,
        f"--rootdir={root}",
        "-c",
        f"{root}/pyproject.toml",
    ]
    status = pytest.main(
        [*options, f"--ignore-glob={root}/tests/core/*test_properties*.py", f"{root}/tests/core"],
        plugins=[count],
    )
    found = {"named": count.named, "passed": sorted(count.passed), "other": count.other}
    return json.dumps({"status": int(status), **found})


if __name__ == "__main__":
    result = run(*sys.argv[1:])
    print("\n" + result)
