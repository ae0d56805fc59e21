"""The papers' screen: every kind looked at, each one taken along; and the shop's screen."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from pypdf import PdfReader

from kb.errors import InputError
from kb.model.record import Record
from kb.store.catalogue import Catalogue
from tests.app.conftest import SHEET, Open, press, written
from wizard.desk import keeping, pairing, papers
from wizard.desk import shop as desk
from wizard.desk.place import open_store


@pytest.fixture
def record(shop: Path) -> Record:
    with open_store(shop) as store:
        return pairing.keep(
            store, pairing.read_text('title = "Dredger"\n' + SHEET, store=store), by="B. Rook"
        )


def test_without_a_job_there_is_nothing_to_print(screen: Open, shop: Path) -> None:
    assert "papers are made from a kept job" in written(screen("papers"))


def test_every_kind_is_offered_and_shown(screen: Open, record: Record) -> None:
    app = screen("papers", job="1")
    assert not app.exception
    kinds = {one.kind for one in papers.offers(record)}
    for kind in sorted(kinds):
        app.session_state["papers.kind"] = kind
        app.run()
        assert not app.exception, kind
        names = [one.name for one in papers.offers(record) if one.kind == kind]
        assert all(name in written(app) for name in names), kind


def test_a_page_is_shown_as_it_is_printed(record: Record) -> None:
    """As wide to high as the page, by pypdf; and not blank."""
    for one in papers.offers(record):
        if one.ending == "pdf":
            body = papers.body(record, one.name)
            sizes = [page.mediabox for page in PdfReader(io.BytesIO(body)).pages]
            pictures = list(papers.pages(body))
            assert len(pictures) == len(sizes)
            for picture, box in zip(pictures, sizes, strict=True):
                high, wide, _ = picture.shape
                assert wide / high == pytest.approx(float(box.width) / float(box.height), rel=0.01)
                assert np.ptp(picture) > 100


def test_a_drawing_is_shown_from_its_file(record: Record) -> None:
    name = next(one.name for one in papers.offers(record) if one.ending == "dxf")
    assert papers.as_svg(papers.body(record, name)).startswith("<svg")


def test_a_paper_there_is_none_of_is_refused(record: Record) -> None:
    with pytest.raises(InputError, match="poster"):
        papers.body(record, "poster")


# ── the shop ────────────────────────────────────────────────────────────────


def test_the_shop_is_kept_as_typed_and_counts_for_later_jobs(screen: Open, shop: Path) -> None:
    app = screen("shop")
    assert "common practice, no source" in written(app)
    app.text_input[0].set_value("Weir Works")
    app.text_area[0].set_value("Mill Lane 3\n\nWeirton")
    hour = next(one for one in app.number_input if one.key == "shop.rates.hour.lathe")
    hour.set_value(99.0)
    app = press(app, "Keep the shop")
    assert "Kept, with 4 machines" in written(app)
    with open_store(shop) as store:
        kept = desk.current(store)
        assert (kept.name, kept.address, kept.rates.hour["lathe"]) == ("Weir Works", ("Mill Lane 3", "Weirton"), 99.0)  # fmt: skip
        record = pairing.keep(store, pairing.read_text('title = "Dredger"\n' + SHEET, store=store))
    assert record.content["making"]["shop"]["name"] == "Weir Works"
    body = papers.body(record, next(one.name for one in papers.offers(record) if one.name.endswith("quote.pdf")))  # fmt: skip
    text = PdfReader(io.BytesIO(body)).pages[0].extract_text()
    assert "Weir Works" in text
    assert "Mill Lane 3" in text


def test_a_machine_nobody_can_mean_keeps_nothing(shop: Path) -> None:
    with open_store(shop) as store:
        with pytest.raises(InputError, match="swing"):
            desk.keep_typed(store, name="", address="", tables={}, machines=[{"name": "L", "kind": "lathe", "swing": "wide"}])  # fmt: skip
        assert len(desk.current(store).machines) == 4
        kept = desk.keep_typed(store, name="", address="", tables={}, machines=[{"name": "L", "kind": "lathe", "swing": "13 in", "chuck": ""}])  # fmt: skip
    assert kept.machines[0].swing == pytest.approx(330.2)
    assert kept.machines[0].chuck is None


def test_a_backup_is_made_on_the_shops_screen(screen: Open, shop: Path, tmp_path: Path) -> None:
    app = press(screen("shop"), "Make a backup now")
    held = app.session_state["shop.packed"]
    assert any("The backup" in one.proto.label for one in app.get("download_button"))
    with keeping.uploaded("../../b.zip", held) as file:
        assert file.name == "b.zip"
        keeping.put_back(tmp_path / "again.sqlite", file)
    with open_store(tmp_path / "again.sqlite") as store:
        assert [row.name for row in Catalogue(store).list("engine")] == ["Marl four"]
