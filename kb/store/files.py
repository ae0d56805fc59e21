"""Photos and files of kept designs: in a folder beside the store, each under the SHA-256 of what it holds."""

from __future__ import annotations

import hashlib
from pathlib import Path

from kb.errors import InputError, StoreError
from kb.store.place import Store, data_folder

LARGEST = 20_000_000  # bytes


def folder(store: Store) -> Path:
    """Where the files of a store are: beside its file, or in the user's data folder for a server."""
    place = Path(store.place)
    return place.with_name(place.name + ".files") if "://" not in store.place else data_folder() / "files"  # fmt: skip


def put(store: Store, written: bytes) -> str:
    """Keep what a file holds; gives its SHA-256. What is there already is not written again.

    Raises:
        InputError: empty, or too large. StoreError: the folder cannot be written.
    """
    if not 0 < len(written) <= LARGEST:
        raise InputError("file", f"{len(written)} bytes", f"attach from 1 to {LARGEST} bytes")
    name = hashlib.sha256(written).hexdigest()
    path = _path(store, name)
    try:
        if not path.is_file():
            path.parent.mkdir(parents=True, exist_ok=True)
            fresh = path.with_suffix(".part")
            fresh.write_bytes(written)
            fresh.replace(path)
    except OSError as error:
        raise StoreError(
            f"{path.parent}: the file cannot be kept there ({error.strerror})"
        ) from None
    return name


def get(store: Store, name: str) -> bytes:
    """What a file holds, its digest checked.

    Args:
        name: Its SHA-256.
    Raises:
        InputError: no such digest. StoreError: it is gone, or it is not what was kept.
    """
    if len(name) != 64 or not all(sign in "0123456789abcdef" for sign in name):
        raise InputError("file", name, "write the SHA-256 of a kept file")
    path = _path(store, name)
    try:
        written = path.read_bytes()
    except OSError:
        raise StoreError(
            f"{path}: the file is no longer there; put back a copy of the folder"
        ) from None
    if hashlib.sha256(written).hexdigest() != name:
        raise StoreError(f"{path}: the file is not the one that was kept (its digest differs)")
    return written


def _path(store: Store, name: str) -> Path:
    return folder(store) / name[:2] / name
