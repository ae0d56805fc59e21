"""Records that papers are made of: real designs of the example sheets, worked out once."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from kb.model.record import Record
from kb.sheets.reading import read
from wizard.desk.pairing import read_job, unkept, work_out
from wizard.engine.remedies import changed

SHEETS = Path(__file__).parents[1] / "data" / "sheets"
DAY = date(2026, 3, 2)


@pytest.fixture(scope="session")
def designed() -> dict[str, Record]:
    """Five designs: spacer in inches, clutch in mm, standard housings, two plates, posts."""
    records = {
        name: unkept(read_job(SHEETS / f"{name}.toml"), by="J. Müßig", on=DAY)
        for name in ("automatic-inch", "manual-metric", "standard-housings")
    }
    manual = read((SHEETS / "manual-metric.toml").read_text(encoding="utf-8"))
    two = changed(manual, {"choices.plates": 2, "choices.plate": None, "choices.spacer": None})
    records["two-plates"] = unkept(work_out(two), by="J. Müßig", on=DAY)
    automatic = read((SHEETS / "automatic-inch.toml").read_text(encoding="utf-8"))
    sunk = {"engine.drive.standoff": "-1.250 in ± 0.004 in", "choices.plate": "1.0 in",
            "flexplate.circle.diameter": "6.25 in", "choices.rotating_style": "posts"}  # fmt: skip
    records["posts"] = unkept(work_out(changed(automatic, sunk)), by="J. Müßig", on=DAY)
    return records
