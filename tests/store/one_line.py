"""What every message of the store must be."""

from __future__ import annotations


def one_line(error: Exception, place: object) -> str:
    """The message, when it is one line that names the place."""
    said = str(error)
    assert "\n" not in said
    assert said.startswith(f"{place}: ")
    assert "sqlalche.me" not in said
    return said
