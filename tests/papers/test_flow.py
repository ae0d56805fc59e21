"""One page of blocks: what is set and what is counted add up to what was given."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.errors import OutOfScope
from wizard.papers.flow import Block, flow
from wizard.papers.frames import Frame
from wizard.papers.paper import PORTRAIT, Paper

FRAMES = (Frame(10, 20, 103, 250), Frame(107, 20, 200, 250))

rows = st.lists(
    st.tuples(st.sampled_from(["", "name", "a longer name of something"]), st.text("abc de", min_size=1, max_size=400)),
    min_size=1, max_size=60,
)  # fmt: skip
blocks = st.lists(st.tuples(rows, st.booleans()), min_size=1, max_size=15)


@settings(max_examples=25, deadline=None)
@given(blocks)
def test_nothing_is_dropped_unsaid_and_nothing_overlaps(
    given_blocks: list[tuple[list[tuple[str, str]], bool]],
) -> None:
    paper = Paper(PORTRAIT["mm"], title="page")
    made = [Block.of(f"HEADING {n}", rows, spare=spare) for n, (rows, spare) in enumerate(given_blocks)]  # fmt: skip
    set_blocks = flow(paper, made, FRAMES)
    assert len(set_blocks) == len(made)
    for before, after in zip(made, set_blocks, strict=True):
        assert len(after.rows) + after.left_out == len(before.rows)
        assert after.rows == before.rows[: len(after.rows)]
    said = [box.text for box in paper.lettering if box.text.startswith("and ")]
    counted = [f"and {block.left_out} more, see the answer" for block in set_blocks if block.left_out]  # fmt: skip
    assert sorted(said) == sorted(counted)
    assert paper.overlaps() == []
    for box in paper.lettering:
        assert any(
            frame.left <= box.left and box.right <= frame.right + 0.01
            and frame.bottom - 0.7 <= box.bottom and box.top <= frame.top + 0.7
            for frame in FRAMES
        )  # fmt: skip


def test_spare_blocks_give_up_their_rows_first() -> None:
    paper = Paper(PORTRAIT["mm"], title="page")
    kept = Block.of("BOLTS", [("bolt", "eight off")] * 30)
    spare = Block.of("ASSUMED", [("why", "what " * 30)] * 200, spare=True)
    bolts, assumed = flow(paper, [kept, spare], FRAMES)
    assert bolts.left_out == 0
    assert assumed.left_out > 0


def test_blocks_without_rows_leave_no_heading() -> None:
    paper = Paper(PORTRAIT["mm"], title="page")
    flow(paper, [Block.of("EMPTY", []), Block.of("FULL", [("", "a row")])], FRAMES)
    assert [box.text for box in paper.lettering] == ["FULL", "a row"]


def test_more_headings_than_a_page_holds_is_refused() -> None:
    paper = Paper(PORTRAIT["mm"], title="page")
    with pytest.raises(OutOfScope, match="200 headings"):
        flow(paper, [Block.of(f"H{n}", [("", "row")]) for n in range(200)], FRAMES)
