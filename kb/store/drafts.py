"""Half-entered work: kept as it is typed, so that a reload or a lost connection loses nothing."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from secrets import token_urlsafe

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from kb.errors import InputError
from kb.store.names import check_text
from kb.store.place import Store
from kb.store.rows import DraftRow

LONGEST = 1_000_000  # characters of one draft
MOST = 200  # drafts kept; the one left longest goes first


@dataclass(frozen=True, kw_only=True)
class Draft:
    """What was typed so far.

    Attributes:
        mark: Its address, hard to guess. what: The kind of work. title: How a list names it.
        body: What was typed, by field. touched_on: When it was last typed at.
    """

    mark: str
    what: str
    title: str
    body: Mapping[str, str]
    touched_on: datetime


def new_mark() -> str:
    """An address for a new draft."""
    return token_urlsafe(9)


class Drafts:
    """The drafts of one store."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def keep(self, mark: str, *, what: str, title: str, body: Mapping[str, str]) -> None:
        """Keep a draft as it stands now, in place of what stood under that mark.

        Raises:
            InputError: no mark, more text than a draft holds, or text that cannot be saved.
            StoreError: the store cannot be written; the draft stays as it was.
        """
        if not 0 < len(mark) <= 32:
            raise InputError("draft", mark, "write the address of a draft")
        text = json.dumps(dict(body), ensure_ascii=False, sort_keys=True)
        if len(text) > LONGEST:
            raise InputError("draft", f"{len(text)} characters", f"a draft holds {LONGEST}")
        check_text(text, key="draft")
        check_text(title, key="title")
        row = DraftRow(mark=mark, what=what, title=title, body=text, touched_on=datetime.now(UTC))
        with self._store.writing() as session:
            session.merge(row)
            session.flush()
            _make_room(session)

    def get(self, mark: str) -> Draft | None:
        """The draft under a mark, if there is one."""
        with self._store.session() as session:
            row = session.get(DraftRow, mark)
            return None if row is None else _draft(row)

    def list(self, what: str | None = None) -> list[Draft]:
        """The drafts kept, the one touched last first."""
        asked = select(DraftRow).order_by(DraftRow.touched_on.desc(), DraftRow.mark)
        if what is not None:
            asked = asked.where(DraftRow.what == what)
        with self._store.session() as session:
            return [_draft(row) for row in session.scalars(asked)]

    def drop(self, mark: str) -> None:
        """Throw a draft away; one that is gone already is no matter."""
        with self._store.writing() as session:
            session.execute(delete(DraftRow).where(DraftRow.mark == mark))


def _make_room(session: Session) -> None:
    over = select(DraftRow.mark).order_by(DraftRow.touched_on.desc(), DraftRow.mark).offset(MOST)
    session.execute(delete(DraftRow).where(DraftRow.mark.in_(list(session.scalars(over)))))


def _draft(row: DraftRow) -> Draft:
    return Draft(
        mark=row.mark, what=row.what, title=row.title, body=json.loads(row.body),
        touched_on=row.touched_on,
    )  # fmt: skip
