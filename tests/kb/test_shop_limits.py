"""A shop's own limits: read as a sheet is, and refused where nobody can mean them."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.errors import InputError
from kb.rules.loader import rule_set
from kb.sheets.limits import load_limits, read_limits
from wizard.desk.pairing import content, read_job

SHEET = Path(__file__).parents[1] / "data" / "sheets" / "automatic-inch.toml"


def test_lengths_take_units_and_shares_do_not() -> None:
    """An inch is 25.4 mm exactly (ISO/IEC 80000-3)."""
    text = '[least-wall]\nsteel = "1/4 in"\naluminium = 9.5\nfail_share = 0.7\n'
    assert read_limits(text) == {
        "least-wall.steel": 6.35, "least-wall.aluminium": 9.5, "least-wall.fail_share": 0.7,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("steel = 6", "steel"),
        ("[least-wall]\nsteal = 6", "rules"),
        ('[least-wall]\nsteel = "6 ± .1"', "least-wall.steel"),
        ("[least-wall]\nsteel = -1", "least-wall.steel"),
        ("[least-wall]\nfail_share = nan", "least-wall.fail_share"),
        ("[least-wall]\nfail_share = inf", "least-wall.fail_share"),
        ("[least-wall]\nfail_share = true", "least-wall.fail_share"),
        ('[least-wall]\nfail_share = "most"', "least-wall.fail_share"),
        ("[least-wall]\nfail_share = [1]", "least-wall.fail_share"),
        ("[least-wall", "limits"),
    ],
)
def test_refused(text: str, field: str) -> None:
    with pytest.raises(InputError) as refused:
        read_limits(text)
    assert refused.value.field == field


def test_no_such_file(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such file"):
        load_limits(tmp_path / "ours.toml")


def test_a_job_is_worked_to_them_and_keeps_them(tmp_path: Path) -> None:
    """A ring that was long enough is too short for a shop that wants more; the record says whose limit."""
    own = tmp_path / "ours.toml"
    own.write_text("[spacer-length]\nleast = 20\n", encoding="utf-8")
    usual, ours = read_job(SHEET), read_job(SHEET, limits=own)
    assert "spacer-length" not in _lit(usual.answer)
    assert "spacer-length" in _lit(ours.answer)
    kept = content(ours)["rules"]["limits"]
    assert kept["spacer-length.least"] == {
        "value": 20.0, "unit": "mm", "source": "the shop's own limit",
    }  # fmt: skip
    assert rule_set("automatic road car")["spacer-length.least"] == 6.0, "the rule set is as it was"


def _lit(answer: object) -> set[str]:
    assert isinstance(answer, dict)
    return {one["id"] for one in answer["checks"] if one["status"] != "pass"}
