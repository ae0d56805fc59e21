"""Where the shop's store is."""

from __future__ import annotations

from pathlib import Path

from kb.store.place import Store as Store
from kb.store.place import data_folder, default_url
from kb.store.place import open_store as open_at

DEMO = "demo.sqlite"


def open_store(url: str | Path | None = None) -> Store:
    """Open the store at an address or a path, or the shop's own.

    Raises:
        InputError: the address cannot be read. StoreError: it cannot be opened.
    """
    return open_at(url)


def demo_place() -> Path:
    """Where the demo keeps its invented catalogue: beside the shop's own store, never in it."""
    own = default_url()
    if "://" in own and not own.startswith("sqlite:///"):
        return data_folder() / DEMO
    beside = Path(own.removeprefix("sqlite:///")).with_name(DEMO)
    return beside.with_name(f"trialfit-{DEMO}") if beside == Path(own) else beside
