"""Half-entered work comes back as it was typed, on both databases."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.errors import InputError
from kb.store import drafts
from kb.store.drafts import Drafts, new_mark
from kb.store.place import Store, open_store

TYPED = {"name": "Märk ½ \U0001f527", "face.opening": "13 3/4", "holes": "1, 0, 2\n2, -1/8, 3"}


def test_a_draft_comes_back_as_it_was_typed(store: Store) -> None:
    kept = Drafts(store)
    mark = new_mark()
    kept.keep(mark, what="unit", title="half an engine", body={"name": "x"})
    kept.keep(mark, what="unit", title="half an engine", body=TYPED)
    found = kept.get(mark)
    assert found is not None
    assert (found.title, dict(found.body)) == ("half an engine", TYPED)
    assert [one.mark for one in kept.list("unit")] == [mark]
    kept.drop(mark)
    kept.drop(mark)
    assert kept.get(mark) is None


def test_the_one_touched_last_stands_first_and_the_oldest_makes_room(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(drafts, "MOST", 3)
    kept = Drafts(store)
    for number in range(5):
        kept.keep(f"m{number}", what="unit", title=str(number), body={})
    assert [one.mark for one in kept.list()] == ["m4", "m3", "m2"]
    kept.keep("m2", what="unit", title="2", body={"name": "again"})
    assert kept.list()[0].mark == "m2"


@pytest.mark.parametrize(
    ("mark", "body", "field"),
    [("", {}, "draft"), ("x" * 33, {}, "draft"), ("a", {"b": "c" * 1_000_001}, "draft"),
     ("a", {"b": "\ud800"}, "draft")],
)  # fmt: skip
def test_what_cannot_be_kept_is_refused_and_the_draft_stays(
    tmp_path: Path, mark: str, body: dict[str, str], field: str
) -> None:
    with open_store(tmp_path / "s.sqlite") as store:
        Drafts(store).keep("a", what="unit", title="a", body={"b": "1"})
        with pytest.raises(InputError) as told:
            Drafts(store).keep(mark, what="unit", title="a", body=body)
        assert told.value.field == field
        still = Drafts(store).get("a")
        assert still is not None
        assert dict(still.body) == {"b": "1"}
