"""Where the shop's store is."""

from __future__ import annotations

import threading
from pathlib import Path

from kb.store.place import Store as Store
from kb.store.place import data_folder
from kb.store.place import default_url as default_url
from kb.store.place import open_store as open_at

DEMO = "demo.sqlite"


def open_store(url: str | Path | None = None) -> Store:
    """Open the store at an address or a path, or the shop's own.

    Raises:
        InputError: the address cannot be read. StoreError: it cannot be opened.
    """
    return open_at(url)


_OPEN: dict[tuple[str, int], Store] = {}
_OPENING = threading.Lock()
SCREENS_WAIT_S = 20.0  # how long a screen waits for another program to finish writing [s]


def kept_open() -> Store:
    """The shop's own store for a program that runs on, opened once for all its sessions.

    Do not close it. A file that was moved away or put back is opened anew.

    Raises:
        InputError: the address cannot be read. StoreError: it cannot be opened.
    """
    with _OPENING:
        url = default_url()
        key = (url, _file_mark(url))
        if key not in _OPEN:
            opened = open_at(url, patience_s=SCREENS_WAIT_S)
            key = (url, _file_mark(url))
            _OPEN[key] = opened
        return _OPEN[key]


def _file_mark(url: str) -> int:
    """What tells one file of that name from another; 0 where there is none."""
    try:
        return Path(url.removeprefix("sqlite:///")).stat().st_ino
    except OSError:
        return 0


def demo_place() -> Path:
    """Where the demo keeps its invented catalogue: beside the shop's own store, never in it."""
    own = default_url()
    if "://" in own and not own.startswith("sqlite:///"):
        return data_folder() / DEMO
    beside = Path(own.removeprefix("sqlite:///")).with_name(DEMO)
    return beside.with_name(f"trialfit-{DEMO}") if beside == Path(own) else beside
