"""Kept designs: numbered, issued by letter, and never changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session, defer

from kb.errors import InputError, StoreError
from kb.model.check import VERDICTS
from kb.model.record import ENTRIES, Entry, Record, canonical, digest
from kb.model.request import STAGES
from kb.quantity import LARGEST
from kb.store.names import check_text, folded, words
from kb.store.place import Store
from kb.store.rows import STATES, EntryRow, RecordRow

LETTERS = "ABCDEFGHJKLMNPRTUVWY"  # ASME Y14.35-2014: not I, O, Q, S, X, Z (from memory)
DAY = "write a day as 2026-03-02"
LIGHT = defer(RecordRow.document)  # what a list leaves unread


@dataclass(frozen=True, kw_only=True)
class RecordSummary:
    """What a list shows of a kept design, without reading its document.

    Attributes:
        plate, spacer: Plate thickness and length of the rotating adapter [mm], if it has one.
        torque_nmm: Peak torque it was worked out for [N·mm], if known.
        made_on: Day, ISO 8601. state: estimate · agreed · made · fitted · closed.
    """

    number: int
    issue: str
    state: str
    title: str
    engine: str
    gearbox: str
    verdict: str
    stage: str
    plate: float | None
    spacer: float | None
    torque_nmm: float | None
    made_on: str
    made_by: str


Summaries = list[RecordSummary]  # `list` is a verb of the records
Entries = list[Entry]


class Records:
    """The kept designs of one store.

    Each design has a number of its own in the store; the same job worked out again is the
    next issue of that number. A document is never changed: its digest is checked whenever
    it is read.
    """

    def __init__(self, store: Store) -> None:
        self._store = store

    def keep(
        self,
        content: Mapping[str, Any],
        *,
        title: str,
        engine: str,
        gearbox: str,
        verdict: str,
        stage: str,
        plate: float | None = None,
        spacer: float | None = None,
        torque_nmm: float | None = None,
        by: str,
        made_on: date | str,
        issue_of: int | None = None,
    ) -> Record:
        """Keep a design under the next number, or as the next issue of a number.

        Args:
            content: The document, nested tables of texts and figures.
            title: What the job is called. engine, gearbox: Names of the two units, or empty.
            verdict: As the answer gives it. stage: quote, cut or start.
            plate, spacer: Plate thickness and length of the rotating adapter [mm], if any.
            torque_nmm: Peak torque [N·mm], if known.
            by: Who keeps it. made_on: The day, or its ISO 8601 text.
            issue_of: Number of the design this is a new issue of; ``None`` for a new one.
        Raises:
            InputError: a field that cannot be meant, or no design of that number.
            StoreError: the store cannot be written; nothing was kept.
        """
        _one_of("verdict", verdict, VERDICTS)
        _one_of("stage", stage, STAGES)
        for key, text in (("title", title), ("engine", engine), ("gearbox", gearbox), ("by", by)):
            check_text(text, key=key)
        document = _document(content)
        with self._store.writing() as session:
            number, issue = self._next(session, issue_of)
            row = RecordRow(
                number=number,
                issue=issue,
                state=STATES[0],
                title=title,
                engine=engine,
                gearbox=gearbox,
                words=folded(f"{number}{issue} {title} {engine} {gearbox}"),
                verdict=verdict,
                stage=stage,
                plate=_size("plate", plate, most=LARGEST),
                spacer=_size("spacer", spacer, most=LARGEST),
                torque_nmm=_size("torque", torque_nmm, most=1e11),
                made_on=_day(made_on),
                made_by=by,
                document=document,
                digest=digest(document),
            )
            session.add(row)
            return _record(row)

    def take_over(
        self, theirs: Records, issues: Summaries, *, onto: int | None, note: str, by: str
    ) -> int:
        """Keep issues of another store's design, with what was written to them; all or nothing.

        Their documents stay as they were kept there; how far the job is here starts anew.

        Args:
            theirs: The other store. issues: Issues of one of its designs, the first one first.
            onto: Number here they are further issues of; ``None`` for the next number.
            note: Where they come from, written to each with its number there. by: Who takes them.
        Returns:
            The number here.
        Raises:
            InputError: no design of the number. StoreError: a document is not the one that was
                kept, or the store cannot be written; nothing was kept.
        """
        found = [
            (theirs.get(one.number, one.issue), theirs.entries(one.number, one.issue), one)
            for one in issues
        ]
        with self._store.writing() as session:
            for record, entries, one in found:
                number, issue = self._next(session, onto)
                row = RecordRow(
                    number=number, issue=issue, state=STATES[0], title=one.title, engine=one.engine,
                    gearbox=one.gearbox, words=folded(f"{number}{issue} {one.title} {one.engine} {one.gearbox}"),
                    verdict=one.verdict, stage=one.stage, plate=one.plate, spacer=one.spacer,
                    torque_nmm=one.torque_nmm, made_on=_day(one.made_on), made_by=one.made_by,
                    document=record.document, digest=record.digest,
                )  # fmt: skip
                session.add(row)
                session.flush()
                says = f"{note}, where it is job {one.number}{one.issue}, {one.state}."
                session.add(_entry_row(row.id, kind="note", key="", text=says, figure=None, by=by))
                session.add_all(
                    EntryRow(record_id=row.id, kind=e.kind, key=e.key, text=e.text, figure=e.figure, by=e.by, on=e.on)
                    for e in entries
                    if e.kind != "state"
                )  # fmt: skip
                onto = number
        assert onto is not None
        return onto

    def get(self, number: int, issue: str | None = None) -> Record:
        """A kept design: its newest issue, or the one asked for.

        Raises:
            InputError: no design of that number, or no such issue of it.
            StoreError: the document is not the one that was kept.
        """
        with self._store.session() as session:
            return self._whole(self._row(session, number, issue))

    def list(self, text: str = "") -> Summaries:
        """The newest issue of every kept design, the newest number first.

        Args:
            text: Words that must all stand in number, title, engine or gearbox.
        """
        with self._store.session() as session:
            newest = select(func.max(RecordRow.id)).group_by(RecordRow.number)
            asked = select(RecordRow).where(RecordRow.id.in_(newest))
            for word in words(text):
                asked = asked.where(RecordRow.words.contains(word, autoescape=True))
            asked = asked.order_by(RecordRow.number.desc())
            return [_summary(row) for row in session.scalars(asked.options(LIGHT))]

    def any(self) -> bool:
        """Whether anything is kept at all."""
        with self._store.session() as session:
            return session.scalar(select(RecordRow.id).limit(1)) is not None

    def history(self, number: int) -> Summaries:
        """Every issue of a design, the first one first.

        Raises:
            InputError: no design of that number.
        """
        with self._store.session() as session:
            _known(session, number)
            asked = select(RecordRow).where(RecordRow.number == number).order_by(RecordRow.id)
            return [_summary(row) for row in session.scalars(asked.options(LIGHT))]

    def advance(self, number: int, state: str, *, by: str = "") -> Record:
        """Move the newest issue of a design on to a later state, signed and dated; the document stays.

        Raises:
            InputError: no such design, no such state, or not a later one.
        """
        _one_of("state", state, STATES)
        with self._store.writing() as session:
            row = self._row(session, number, None)
            if STATES.index(state) <= STATES.index(row.state):
                later = STATES[STATES.index(row.state) + 1 :]
                accepted = "write one of " + ", ".join(later) if later else "it is closed for good"
                raise InputError("state", state, f"the design is {row.state}; {accepted}")
            row.state = state
            session.add(_entry_row(row.id, kind="state", key="", text=state, figure=None, by=by))
            return self._whole(row)

    def write(
        self, number: int, *, kind: str, key: str = "", text: str = "", figure: float | None = None,
        by: str = "", issue: str | None = None,
    ) -> None:  # fmt: skip
        """Write a line to a design: its newest issue, or the one asked for.

        Args:
            number: The design's number. issue: An earlier issue.
            kind, key, text, figure, by: As `kb.model.record.Entry`.
        Raises:
            InputError: no such design, no such kind, or a text that cannot be saved.
        """
        _one_of("kind", kind, ENTRIES)
        for field, said in (("key", key), ("text", text), ("by", by)):
            check_text(said, key=field)
        with self._store.writing() as session:
            row = self._row(session, number, issue)
            session.add(_entry_row(row.id, kind=kind, key=key, text=text, figure=figure, by=by))

    def entries(self, number: int, issue: str | None = None, *, kind: str | None = None) -> Entries:
        """What was written to a design since it was kept, the first line first.

        Raises:
            InputError: no such design, or no such issue of it.
        """
        with self._store.session() as session:
            row = self._row(session, number, issue)
            asked = select(EntryRow).where(EntryRow.record_id == row.id).order_by(EntryRow.id)
            if kind is not None:
                asked = asked.where(EntryRow.kind == kind)
            return [_entry(one) for one in session.scalars(asked)]

    def _next(self, session: Session, issue_of: int | None) -> tuple[int, str]:
        if issue_of is None:
            return (session.scalar(select(func.max(RecordRow.number))) or 0) + 1, LETTERS[0]
        return issue_of, next_issue(self._row(session, issue_of, None).issue)

    def _row(self, session: Session, number: int, issue: str | None) -> RecordRow:
        _known(session, number)
        asked = select(RecordRow).where(RecordRow.number == number).order_by(RecordRow.id.desc())
        if issue is not None:
            asked = asked.where(RecordRow.issue == issue.strip().upper())
        row = session.scalars(asked.limit(1)).first()
        if row is None:
            held = select(RecordRow.issue).where(RecordRow.number == number).order_by(RecordRow.id)
            accepted = f"design {number} has issue " + ", ".join(session.scalars(held))
            raise InputError("issue", issue, accepted)
        return row

    def _whole(self, row: RecordRow) -> Record:
        if digest(row.document) != row.digest:
            raise StoreError(
                f"{self._store.place}: the document of design {row.number} issue {row.issue} is "
                "not the one that was kept (its digest differs); put back a copy of the store"
            )
        return _record(row)


def next_issue(issue: str) -> str:
    """The letter after an issue's: A, B, … H, J, … Y, AA, AB, … (ASME Y14.35, from memory)."""
    if not issue:
        return LETTERS[0]
    if issue[-1] != LETTERS[-1]:
        return issue[:-1] + LETTERS[LETTERS.index(issue[-1]) + 1]
    return next_issue(issue[:-1]) + LETTERS[0]


def _entry_row(
    record_id: int, *, kind: str, key: str, text: str, figure: float | None, by: str
) -> EntryRow:
    return EntryRow(record_id=record_id, kind=kind, key=key, text=text, figure=figure, by=by, on=datetime.now(UTC))  # fmt: skip


def _entry(row: EntryRow) -> Entry:
    return Entry(kind=row.kind, key=row.key, text=row.text, figure=row.figure, by=row.by, on=row.on)


def _one_of(field: str, word: str, accepted: tuple[str, ...]) -> None:
    if word not in accepted:
        raise InputError(field, word, "write one of " + ", ".join(accepted))


def _document(content: Mapping[str, Any]) -> str:
    try:
        return check_text(canonical(content), key="document")
    except (TypeError, ValueError) as error:
        raise InputError("document", error, "it must hold texts and finite figures only") from error


def _day(made_on: date | str) -> date:
    try:
        day = date.fromisoformat(made_on) if isinstance(made_on, str) else made_on
    except ValueError:
        raise InputError("made_on", made_on, DAY) from None
    if not 1900 <= day.year <= 2999:
        raise InputError("made_on", made_on, DAY)
    return day.date() if isinstance(day, datetime) else day


def _known(session: Session, number: int) -> None:
    # numbers follow each other and none is ever taken out
    last = session.scalar(select(func.max(RecordRow.number))) or 0
    if not 1 <= number <= last:
        accepted = f"write a number from 1 to {last}" if last else "no design is kept yet"
        raise InputError("number", number, accepted)


def _size(key: str, value: float | None, *, most: float) -> float | None:
    if value is not None and not 0 <= value <= most:
        raise InputError(key, value, f"write a figure from 0 to {most:g}")
    return value


def _record(row: RecordRow) -> Record:
    return Record(
        number=row.number,
        issue=row.issue,
        state=row.state,
        title=row.title,
        made_on=row.made_on.isoformat(),
        made_by=row.made_by,
        document=row.document,
        digest=row.digest,
    )


def _summary(row: RecordRow) -> RecordSummary:
    return RecordSummary(
        number=row.number,
        issue=row.issue,
        state=row.state,
        title=row.title,
        engine=row.engine,
        gearbox=row.gearbox,
        verdict=row.verdict,
        stage=row.stage,
        plate=row.plate,
        spacer=row.spacer,
        torque_nmm=row.torque_nmm,
        made_on=row.made_on.isoformat(),
        made_by=row.made_by,
    )
