"""The shop's own sheet in the store: every version kept, the last one in force."""

from __future__ import annotations

from datetime import UTC, datetime

from sqlalchemy import select

from kb.model.shop import Shop
from kb.sheets.shop import read_shop, usual_shop, write_shop
from kb.store.names import check_text
from kb.store.place import Store
from kb.store.rows import ShopRow


class Shops:
    """The shop sheets of one store."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def current(self) -> Shop:
        """The shop as it was kept last; the shop defaults where none was.

        Raises:
            StoreError: the store cannot be read. InputError: a sheet this program cannot read.
        """
        with self._store.session() as session:
            row = session.scalars(select(ShopRow).order_by(ShopRow.id.desc()).limit(1)).first()
        return usual_shop() if row is None else read_shop(row.sheet)

    def keep(self, shop: Shop, *, by: str = "") -> None:
        """Keep a new version of the shop's sheet; earlier ones stay.

        Raises:
            InputError: text that cannot be saved. StoreError: the store cannot be written.
        """
        sheet = write_shop(shop)
        check_text(sheet, key="shop")
        with self._store.writing() as session:
            session.add(ShopRow(sheet=sheet, by=by, on=datetime.now(UTC)))

    def any(self) -> bool:
        """Whether the shop has put in its own sheet."""
        with self._store.session() as session:
            return session.scalars(select(ShopRow.id).limit(1)).first() is not None
