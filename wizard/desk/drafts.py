"""Work in hand: kept as it is typed, found again by its address, thrown away when it is done."""

from __future__ import annotations

from collections.abc import Mapping

from kb.store.drafts import Draft as Draft
from kb.store.drafts import Drafts
from kb.store.drafts import new_mark as new_mark
from kb.store.place import Store

UNIT, PAIRING = "unit", "pairing"


def keep(store: Store, mark: str, *, what: str, title: str, body: Mapping[str, str]) -> None:
    """Keep a draft as it stands; one that stands like that already is left alone.

    Raises:
        InputError: more text than a draft holds. StoreError: the store cannot be written.
    """
    kept = Drafts(store).get(mark)
    if kept is None or kept.title != title or dict(kept.body) != dict(body):
        Drafts(store).keep(mark, what=what, title=title, body=body)


def get(store: Store, mark: str) -> Draft | None:
    """A draft by its address, if it is still there."""
    return Drafts(store).get(mark)


def rows(store: Store, what: str | None = None) -> list[Draft]:
    """The drafts kept, the one touched last first."""
    return Drafts(store).list(what)


def drop(store: Store, mark: str) -> None:
    """Throw a draft away."""
    Drafts(store).drop(mark)
