"""What there is to show: screens with nothing in them are not offered yet."""

from __future__ import annotations

from dataclasses import dataclass

from kb.errors import InputError, StoreError
from kb.store.catalogue import Catalogue
from kb.store.records import Records
from wizard.desk.place import kept_open


@dataclass(frozen=True, kw_only=True)
class Holdings:
    """Whether the shop has units, and whether it has kept jobs."""

    units: bool
    jobs: bool


def holdings() -> Holdings:
    """What the shop's store holds; nothing where it cannot be opened, which the screen then says."""
    try:
        store = kept_open()
        return Holdings(units=Catalogue(store).any(), jobs=Records(store).any())
    except (InputError, StoreError):
        return Holdings(units=False, jobs=False)
