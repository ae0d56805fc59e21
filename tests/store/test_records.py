"""Kept designs: numbered, issued by letter, never changed.

Sources: SHA-256 by FIPS 180-4 (the "abc" example of its appendix; computed here by hashlib);
issue letters by ASME Y14.35M-1997 (I, O, Q, S, X and Z are not used; AA after Y from memory).
"""

from __future__ import annotations

import hashlib
import json
from datetime import date, datetime
from pathlib import Path
from threading import Thread
from typing import Any

import pytest

from kb.errors import InputError, StoreError
from kb.model.record import Record, digest
from kb.store.place import Store, open_store
from kb.store.records import Records, next_issue
from kb.store.rows import STATES

CONTENT: dict[str, Any] = {
    "format": 1,
    "title": "River launch «Möwe» 🛥",
    "answer": {
        "verdict": "goes",
        "axial": {"plate": 12.7, "spacer": 21.4},
        "parts": [1, 2.5, None],
    },
    "sheet": 'units = "in"\n',
}


@pytest.fixture
def records(store: Store) -> Records:
    return Records(store)


def keep(records: Records, content: dict[str, Any] | None = None, **how: Any) -> Record:
    """Keep a design, most of it the same each time."""
    said = {
        "title": "River launch",
        "engine": "Harbour diesel 6",
        "gearbox": "Three-speed",
        "verdict": "goes with work",
        "stage": "quote",
        "plate": 12.7,
        "spacer": 21.4,
        "by": "Ada",
        "made_on": "2026-03-02",
    }
    return records.keep(CONTENT if content is None else content, **(said | how))


def test_what_is_kept_is_given_back(records: Records) -> None:
    record = keep(records)
    assert records.get(1) == record
    assert (record.number, record.issue, record.state) == (1, "A", "estimate")
    assert (record.made_on, record.made_by, record.title) == ("2026-03-02", "Ada", "River launch")
    assert record.content == CONTENT
    assert record.answer["axial"]["plate"] == 12.7
    assert json.loads(record.document) == CONTENT
    assert record.digest == hashlib.sha256(record.document.encode("utf-8")).hexdigest()


def test_the_digest_is_sha_256() -> None:
    # FIPS 180-4, example of one block
    assert digest("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_numbers_follow_each_other_and_issues_their_letters(records: Records) -> None:
    assert [keep(records).number for _ in range(3)] == [1, 2, 3]
    second = keep(records, {"answer": 2}, issue_of=2, verdict="goes", title="Again")
    assert (second.number, second.issue, second.state) == (2, "B", "estimate")
    assert keep(records).number == 4
    assert records.get(2) == second
    assert records.get(2, "A").content == CONTENT
    assert records.get(2, " b ") == second
    assert [(row.issue, row.verdict) for row in records.history(2)] == [
        ("A", "goes with work"),
        ("B", "goes"),
    ]
    assert [(row.number, row.issue) for row in records.list()] == [
        (4, "A"), (3, "A"), (2, "B"), (1, "A"),
    ]  # fmt: skip


def test_issue_letters() -> None:
    issues = ["A"]
    while len(issues) < 45:
        issues.append(next_issue(issues[-1]))
    assert issues[:20] == list("ABCDEFGHJKLMNPRTUVWY")
    assert issues[20:22] == ["AA", "AB"]
    assert issues[39:42] == ["AY", "BA", "BB"]
    assert next_issue("YY") == "AAA"
    assert not set("".join(issues)) & set("IOQSXZ")


def test_listed_and_found_by_words(records: Records) -> None:
    keep(records, title="Möwe 50%", engine="", gearbox="")
    keep(records, title="Tractor", engine="Größe 4")
    (found,) = records.list("mowe")
    assert (found.number, found.title, found.plate, found.spacer) == (1, "Möwe 50%", 12.7, 21.4)
    assert (found.verdict, found.stage, found.state) == ("goes with work", "quote", "estimate")
    assert (found.made_on, found.made_by, found.torque_nmm) == ("2026-03-02", "Ada", None)
    assert [row.number for row in records.list("GROSSE tractor")] == [2]
    assert [row.number for row in records.list("2A")] == [2]
    assert [row.number for row in records.list("%")] == [1]
    assert records.list("möwe tractor") == []
    assert len(records.list()) == 2


@pytest.mark.parametrize(
    ("made_on", "day"),
    [
        ("2026-03-02", "2026-03-02"),
        (date(2026, 3, 2), "2026-03-02"),
        (datetime(2026, 3, 2, 23, 59), "2026-03-02"),
    ],
)
def test_the_day(made_on: date | str, day: str, records: Records) -> None:
    assert keep(records, made_on=made_on).made_on == day
    assert records.get(1).made_on == day


@pytest.mark.parametrize(
    ("field", "how"),
    [
        ("verdict", {"verdict": "fine"}),
        ("stage", {"stage": "later"}),
        ("made_on", {"made_on": "2 March"}),
        ("made_on", {"made_on": "2026-02-30"}),
        ("made_on", {"made_on": "0226-03-02"}),
        ("plate", {"plate": float("nan")}),
        ("plate", {"plate": -1.0}),
        ("spacer", {"spacer": float("inf")}),
        ("torque", {"torque_nmm": -5.0}),
        ("title", {"title": "a\0"}),
        ("by", {"by": "\ud83d"}),
        ("number", {"issue_of": 9}),
        ("document", {"content": {"answer": float("nan")}}),
        ("document", {"content": {"answer": {"plate": float("inf")}}}),
        ("document", {"content": {"answer": object()}}),
        ("document", {"content": {"answer": "\ud83d"}}),
    ],
)
def test_what_cannot_be_meant_is_named_and_not_kept(
    field: str, how: dict[str, Any], records: Records
) -> None:
    keep(records)
    with pytest.raises(InputError, match=f"^{field}: ") as told:
        keep(records, **how)
    assert "\n" not in str(told.value)
    assert len(records.list()) == 1
    assert keep(records).number == 2  # no number was used up


@pytest.mark.parametrize("number", [0, -1, 2, 10**30])
def test_no_such_number(number: int, records: Records) -> None:
    with pytest.raises(InputError, match=r"^number: .* no design is kept yet"):
        records.get(number)
    keep(records)
    for ask in (records.get, records.history, lambda n: records.advance(n, "agreed")):
        with pytest.raises(InputError, match=r"^number: .* write a number from 1 to 1"):
            ask(number)


def test_no_such_issue(records: Records) -> None:
    keep(records)
    keep(records, issue_of=1)
    with pytest.raises(InputError, match=r"^issue: cannot use “C”; design 1 has issue A, B$"):
        records.get(1, "C")


def test_states_go_one_way(records: Records) -> None:
    kept = keep(records)
    for state in STATES[1:]:
        moved = records.advance(1, state)
        assert (moved.state, moved.document, moved.digest) == (state, kept.document, kept.digest)
    with pytest.raises(InputError, match="the design is closed; it is closed for good"):
        records.advance(1, "agreed")
    keep(records, issue_of=1)
    assert records.advance(1, "made").issue == "B"
    with pytest.raises(InputError, match="the design is made; write one of fitted, closed"):
        records.advance(1, "agreed")
    with pytest.raises(InputError, match=r"^state: .*write one of estimate, agreed, made"):
        records.advance(1, "lost")
    assert [row.state for row in records.history(1)] == ["closed", "made"]


def test_a_changed_document_is_told_on_every_reading(path: Path) -> None:
    with open_store(path) as store:
        records = Records(store)
        keep(records)
        with store.writing() as session:
            connection = session.connection()
            connection.exec_driver_sql("DROP TRIGGER records_keep")
            connection.exec_driver_sql(
                "UPDATE records SET document = replace(document, '12.7', '12.9')"
            )
        for read in (lambda: records.get(1), lambda: records.advance(1, "agreed")):
            with pytest.raises(StoreError) as told:
                read()
            assert str(path) in str(told.value)
            assert "design 1 issue A is not the one that was kept" in str(told.value)
        assert [row.state for row in records.list()] == ["estimate"]


def test_numbers_are_not_given_twice(store: Store) -> None:
    told: list[BaseException] = []

    def keep_four() -> None:
        try:
            for _ in range(4):
                keep(Records(store))
        except (InputError, StoreError) as error:
            told.append(error)

    threads = [Thread(target=keep_four) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert told == []
    assert [row.number for row in Records(store).list()] == list(range(12, 0, -1))


def test_a_large_document(records: Records) -> None:
    content = {"answer": {"checks": [{"says": "so " * 40, "n": n} for n in range(20_000)]}}
    keep(records, content)
    assert records.get(1).content == content
