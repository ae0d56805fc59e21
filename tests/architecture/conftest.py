"""The project's own house, and a way to build a small one that breaks a rule."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from tests.architecture.house import ROOT, House, Sketch, read_house


@pytest.fixture(scope="session")
def house() -> House:
    """The project's own house."""
    return read_house(ROOT)


@pytest.fixture
def sketch(tmp_path: Path) -> Sketch:
    """Builds a small house out of `path: text`, for a guard to be tried on."""

    def build(files: Mapping[str, str]) -> House:
        for name, text in files.items():
            path = tmp_path / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        return read_house(tmp_path)

    return build
