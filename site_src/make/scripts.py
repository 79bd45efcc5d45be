"""The scripts, checked and tested: TypeScript reads their JSDoc, ESLint seeks faults, Node runs tests."""

import os
import subprocess
import sys

from site_src.make.ground import CORE, ROOT, SITE, VENV, WORK
from site_src.make.setup import fetch_npm

PROJECTS = (".",)  # each with the globals of where it runs


def check_scripts() -> int:
    """0 where every type fits and ESLint finds nothing."""
    modules = fetch_npm(checks=True)
    node = VENV / "bin" / "node"
    tsc = modules / "typescript" / "bin" / "tsc"
    eslint = modules / "eslint" / "bin" / "eslint.js"
    kept = ("--cache", "--cache-location", WORK / "eslint")
    checks = [(tsc, "--pretty", "false", "-p", SITE / name) for name in PROJECTS]
    checks += [(eslint, "--config", SITE / "eslint.config.mjs", *kept, SITE, ROOT / "tests")]
    return max(subprocess.run([node, *check], cwd=ROOT).returncode for check in checks)


def test_scripts() -> int:
    """0 where every test of tests/page holds. The site is built before: the scripts' words come from it."""
    told = [sys.executable, "-m", "tests.page.from_core"]
    subprocess.run(told, cwd=ROOT, env={**os.environ, "PYTHONPATH": str(CORE)}, check=True)
    tests = sorted((ROOT / "tests" / "page").glob("*.test.mjs"))
    hook = ("--import", (ROOT / "tests" / "page" / "resolve.mjs").as_uri())
    return subprocess.run([VENV / "bin" / "node", *hook, "--test", *tests], cwd=ROOT).returncode
