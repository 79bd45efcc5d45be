"""References marked slow take minutes to an hour; they run when asked for: ``pytest tests/reference -m slow``."""

from __future__ import annotations

from pathlib import Path

import pytest

HERE = Path(__file__).parent


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if "slow" in config.option.markexpr:
        return
    long = [item for item in items if HERE in item.path.parents and item.get_closest_marker("slow")]
    if long:
        config.hook.pytest_deselected(items=long)
        items[:] = [item for item in items if item not in long]
