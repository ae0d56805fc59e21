"""One archive holds a whole store: put back it is the same store, in a file or on a server.

Second method: the archive is opened with nothing but zipfile and json, as another program would.
"""

from __future__ import annotations

import hashlib
import json
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import text

from kb.errors import InputError, StoreError
from kb.store import archive, files
from kb.store.catalogue import Catalogue
from kb.store.place import STEPS, open_store
from kb.store.records import Records
from tests.store.conftest import KINDS, new_database
from tests.store.made_units import engine
from wizard.desk import afterwards, demo, drafts, keeping, units
from wizard.desk.pairing import keep, pair

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with the demo's units in two revisions, a job with what followed, a draft."""
    place = tmp_path_factory.mktemp("full") / "shop.sqlite"
    with open_store(place) as store:
        demo.load(store)
        catalogue = Catalogue(store)
        catalogue.add(catalogue.units("engine")[0][1], by="Å. Fenn 🙂 عمر")
        catalogue.remove("clutch", catalogue.list("clutch")[0].name)
        pairs = [
            (e.name, g.name) for e in catalogue.list("engine") for g in catalogue.list("gearbox")
        ]
        record = keep(store, pair(store, engine=pairs[0][0], gearbox=pairs[0][1]), by="B. Marl")
        afterwards.attach(
            store, record.number, "../../photo.png", b"\x89PNG not quite", by="B. Marl"
        )
        Records(store).advance(record.number, "agreed", by="B. Marl")
        Records(store).write(record.number, kind="note", text="=SUM(A1)\nsecond line", by="B. Marl")
        drafts.keep(store, "abc", what="unit", title="half", body={"name": "x"})
    return place


@pytest.fixture(scope="module")
def packed(full: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("packed") / "shop.zip"
    with open_store(full) as store:
        keeping.back_up(store, file)
    return file


def files_of(place: Path) -> Path:
    return place.with_name(place.name + ".files")


def tables(about: archive.About) -> dict[str, str]:
    return {name: one.sha256 for name, one in about.members.items()}


@pytest.mark.parametrize("kind", KINDS)
def test_there_and_back_again_is_the_same_to_the_byte(
    kind: str,
    packed: Path,
    tmp_path: Path,
    request: pytest.FixtureRequest,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("kb.store.files.data_folder", lambda: tmp_path / "server files")
    first = tmp_path / "first.sqlite"
    put = keeping.put_back(first, packed)
    other: str | Path = tmp_path / "other.sqlite"
    if kind == "postgresql":
        other = new_database(request.getfixturevalue("server"), "moved", "template0")
    with open_store(first) as store:
        moved = keeping.move(store, other)
    back = tmp_path / "back.sqlite"
    with open_store(other) as store:
        returned = keeping.move(store, back)
        # and it goes on: new rows are counted on from the last
        ref = Catalogue(store).add(engine())
        assert ref.revision == 1
        Records(store).write(1, kind="note", text="after the move")
    assert tables(put) == tables(moved) == tables(returned)
    with open_store(back) as store:
        assert Records(store).get(1).state == "agreed"
        name = Records(store).entries(1, kind="file")[0].key
        assert files.get(store, name) == b"\x89PNG not quite"
        assert drafts.get(store, "abc") is not None
        with (
            pytest.raises(StoreError, match="what is kept does not change"),
            store.writing() as session,
        ):
            session.execute(text("DELETE FROM records"))


def test_any_program_can_read_it(packed: Path, full: Path) -> None:
    with zipfile.ZipFile(packed) as kept:
        about = json.loads(kept.read("about.json"))
        assert about["step"] == STEPS[-1]
        for name, said in about["members"].items():
            held = kept.read(name)
            assert (hashlib.sha256(held).hexdigest(), len(held)) == (said["sha256"], said["bytes"])
        named = [json.loads(line)["name"] for line in kept.read("tables/units.jsonl").splitlines()]
        sheet = kept.read(
            "units/engine/000001.toml"
            if "units/engine/000001.toml" in kept.namelist()
            else next(n for n in kept.namelist() if n.startswith("units/engine"))
        ).decode()
    with open_store(full) as store:
        assert set(named) >= {row.name for row in Catalogue(store).list()}
    with open_store("sqlite://") as fresh:
        (ref,) = units.add_from_text(fresh, sheet)
        assert ref.kind == "engine"


def test_it_is_of_one_moment_while_others_write(full: Path, tmp_path: Path) -> None:
    """A second program keeps unit after unit; each archive holds whole units and can be put back."""
    place = tmp_path / "shop.sqlite"
    shutil.copy(full, place)
    shutil.copytree(files_of(full), files_of(place))
    writer = subprocess.Popen([sys.executable, "-c", (
        "import sys\nfrom kb.store.place import open_store\nfrom kb.store.catalogue import Catalogue\n"
        "from tests.store.made_units import engine\n"
        "with open_store(sys.argv[1]) as store:\n"
        "    while True:\n        Catalogue(store).add(engine()); print('.', flush=True)\n"
    ), str(place)], cwd=ROOT, stdout=subprocess.PIPE)  # fmt: skip
    assert writer.stdout is not None
    try:
        seen = []
        for number in range(4):
            writer.stdout.readline()
            with open_store(place) as store:
                keeping.back_up(store, tmp_path / f"{number}.zip")
            keeping.put_back(tmp_path / f"{number}.sqlite", tmp_path / f"{number}.zip")
            with open_store(tmp_path / f"{number}.sqlite") as store:
                seen.append(len(Catalogue(store).history("engine", engine().name)))
                Catalogue(store).units()
        assert seen == sorted(seen)
        assert seen[-1] > seen[0] > 0
    finally:
        writer.kill()
        writer.wait()


# ── what is refused ─────────────────────────────────────────────────────────


def changed(packed: Path, to: Path, change: Callable[[dict[str, bytes]], None]) -> Path:
    """A copy of an archive with its members changed."""
    with zipfile.ZipFile(packed) as kept:
        held = {name: kept.read(name) for name in kept.namelist()}
    change(held)
    with zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as out:
        for name, data in held.items():
            out.writestr(name, data)
    return to


def about_with(**said: Any) -> Callable[[dict[str, bytes]], None]:
    def change(held: dict[str, bytes]) -> None:
        held["about.json"] = json.dumps(json.loads(held["about.json"]) | said).encode()

    return change


def member_with(name: str, data: bytes, **said: Any) -> Callable[[dict[str, bytes]], None]:
    """A member replaced, its digest told anew so that only what it holds is wrong."""

    def change(held: dict[str, bytes]) -> None:
        held[name] = data
        about = json.loads(held["about.json"])
        about["members"][name] = {"rows": data.count(b"\n"), "bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()} | said  # fmt: skip
        held["about.json"] = json.dumps(about).encode()

    return change


def first_row(packed: Path, table: str, **to: Any) -> bytes:
    with zipfile.ZipFile(packed) as kept:
        lines = kept.read(f"tables/{table}.jsonl").splitlines()
    return b"\n".join([json.dumps(json.loads(lines[0]) | to).encode(), *lines[1:]]) + b"\n"


def drop(name: str) -> Callable[[dict[str, bytes]], None]:
    return lambda held: held.pop(name) and None  # type: ignore[func-returns-value]


BAD: dict[str, tuple[Callable[[Path], Callable[[dict[str, bytes]], None]], str]] = {
    "from the future": (lambda p: about_with(format=99), "newer trialfit"),
    "a step from the future": (lambda p: about_with(step="trialfit_9999"), "newer trialfit"),
    "a format that is no number": (lambda p: about_with(format="x"), "newer trialfit"),
    "nothing said of it": (lambda p: drop("about.json"), "no archive of this program"),
    "said of it what is no table": (lambda p: about_with(members=[1, 2]), "no archive of this program"),
    "a member said twice as long": (lambda p: about_with(members={"tables/units.jsonl": {"rows": 1, "bytes": "x", "sha256": ""}}), "no archive of this program"),
    "less than nothing": (lambda p: about_with(members={"tables/units.jsonl": {"rows": 1, "bytes": -5, "sha256": ""}}), "GB"),
    "a member taken out": (lambda p: drop("tables/units.jsonl"), "not what it says"),
    "a member put in": (lambda p: lambda held: held.update({"tables/more.jsonl": b"{}\n"}), "not what it says"),
    "a byte changed": (lambda p: lambda held: held.update({"tables/units.jsonl": held["tables/units.jsonl"].replace(b"engine", b"enginE", 1)}), "is not what was written"),
    "a path that leads out": (lambda p: member_with("../../evil.toml", b"x"), "which no archive does"),
    "a path from the root": (lambda p: member_with("/etc/passwd", b"x"), "which no archive does"),
    "another system's path": (lambda p: member_with("files\\..\\x", b"x"), "which no archive does"),
    "a file of another digest": (lambda p: member_with("files/" + "a" * 64, b"x"), "not what its name says"),
    "more than it says": (lambda p: member_with("tables/units.jsonl", b"{}\n" * 5000, bytes=3), "longer than it says"),
    "larger than any store": (lambda p: about_with(members={"tables/units.jsonl": {"rows": 1, "bytes": 10**12, "sha256": ""}}), "GB"),
    "a row that is no row": (lambda p: member_with("tables/drafts.jsonl", b"[1, 2]\n"), "cannot be read"),
    "a row cut off": (lambda p: member_with("tables/drafts.jsonl", b'{"mark": "x"'), "cannot be read"),
    "brackets without end": (lambda p: member_with("tables/drafts.jsonl", b"[" * 200_000), "cannot be read"),
    "a column nobody knows": (lambda p: member_with("tables/units.jsonl", first_row(p, "units", colour="red")), "has no colour"),
    "a day that is none": (lambda p: member_with("tables/units.jsonl", first_row(p, "units", made_on="yesterday")), "cannot be read"),
    "a kind that is none": (lambda p: member_with("tables/units.jsonl", first_row(p, "units", kind="boat")), "kind_known|nothing was written"),
    "text for a number": (lambda p: member_with("tables/units.jsonl", first_row(p, "units", revision="many")), "nothing was written|cannot|invalid"),
    "a row of no unit": (lambda p: member_with("tables/facts.jsonl", first_row(p, "facts", unit_id=999_999)), "nothing was written|foreign"),
    "one row twice": (lambda p: member_with("tables/drafts.jsonl", first_row(p, "drafts") * 2), "nothing was written|unique"),
    "rows said that are not there": (lambda p: member_with("tables/drafts.jsonl", first_row(p, "drafts"), rows=7), "not all of drafts"),
    "a job changed": (lambda p: member_with("tables/records.jsonl", first_row(p, "records", document="{}")), "not the one that was kept"),
}  # fmt: skip


@pytest.mark.parametrize("what", BAD)
def test_a_bad_archive_is_one_clear_line_and_nothing_is_taken(
    what: str, packed: Path, tmp_path: Path
) -> None:
    make, says = BAD[what]
    bad = changed(packed, tmp_path / "bad.zip", make(packed))
    with pytest.raises(StoreError, match=says) as caught:
        keeping.put_back(tmp_path / "new.sqlite", bad)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 400
    with open_store(tmp_path / "new.sqlite") as store:
        assert not Catalogue(store).any()
        assert not Records(store).any()
    assert not (tmp_path.parent / "evil.toml").exists()


@pytest.mark.parametrize("cut", [0, 1, 100, 5_000, -1, -30])
def test_an_archive_cut_off_is_refused(cut: int, packed: Path, tmp_path: Path) -> None:
    bad = tmp_path / "cut.zip"
    bad.write_bytes(packed.read_bytes()[:cut])
    with pytest.raises(StoreError, match=r"cut off|no archive"):
        keeping.put_back(tmp_path / "new.sqlite", bad)
    assert not (tmp_path / "new.sqlite").exists()


def test_a_bomb_is_not_unfolded(tmp_path: Path) -> None:
    """A gigabyte of noughts in a megabyte, said to be a short table: reading stops where it should end."""
    import tracemalloc

    bomb, name = tmp_path / "bomb.zip", "tables/units.jsonl"
    said = {name: {"rows": 1, "bytes": 1000, "sha256": "0" * 64}}
    about = {"format": 1, "step": STEPS[-1], "made_on": "", "members": said}
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as out:
        with out.open(name, "w") as raw:
            for _ in range(1000):
                raw.write(bytes(1_000_000))
        out.writestr("about.json", json.dumps(about))
    tracemalloc.start()
    with pytest.raises(StoreError, match="longer than it says"):
        keeping.put_back(tmp_path / "new.sqlite", bomb)
    assert tracemalloc.get_traced_memory()[1] < 20e6
    tracemalloc.stop()


def test_a_row_without_end_is_not_held(packed: Path, tmp_path: Path) -> None:
    bad = changed(packed, tmp_path / "bad.zip", member_with("tables/drafts.jsonl", b" " * (archive.LARGEST_LINE + 10)))  # fmt: skip
    with pytest.raises(StoreError, match="too long"):
        keeping.put_back(tmp_path / "new.sqlite", bad)


def test_nothing_is_laid_over_what_is_there(full: Path, packed: Path, tmp_path: Path) -> None:
    with open_store(full) as store:
        with pytest.raises(StoreError, match="there already"):
            keeping.back_up(store, packed)
        with pytest.raises(StoreError, match="cannot be written"):
            keeping.back_up(store, packed / "below a file" / "x.zip")
        with pytest.raises(InputError, match="another place"):
            keeping.move(store, full)
    with pytest.raises(StoreError, match="holds something already"):
        keeping.put_back(full, packed)
    with pytest.raises(StoreError, match="cannot be read"):
        keeping.put_back(tmp_path / "new.sqlite", tmp_path / "nowhere.zip")
    with pytest.raises(StoreError, match="cannot be read"):
        keeping.put_back(tmp_path / "new.sqlite", tmp_path)


def test_a_disk_that_is_full_leaves_no_half_archive(full: Path, tmp_path: Path) -> None:
    """Files of this process may not grow beyond a few kilobytes (RLIMIT_FSIZE)."""
    resource = pytest.importorskip("resource")
    code = (
        "import resource, signal, sys\nfrom pathlib import Path\n"
        "from kb.errors import StoreError\nfrom wizard.desk import keeping\nfrom kb.store.place import open_store\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "with open_store(sys.argv[1]) as store:\n"
        "    resource.setrlimit(resource.RLIMIT_FSIZE, (5000, 5000))\n"
        "    try:\n        keeping.back_up(store, Path(sys.argv[2]))\n"
        "    except StoreError as error:\n        print(error)\n"
    )
    assert resource
    told = subprocess.run(
        [sys.executable, "-c", code, str(full), str(tmp_path / "b.zip")],
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert "cannot be written" in told.stdout
    assert list(tmp_path.iterdir()) == []


def test_an_archive_of_an_older_step_is_put_back(packed: Path, tmp_path: Path) -> None:
    """Its readings have no mark of a chosen one yet: none is chosen."""
    with zipfile.ZipFile(packed) as held:
        lines = [json.loads(line) for line in held.read("tables/dimensions.jsonl").splitlines()]
    data = b"".join(json.dumps({k: v for k, v in row.items() if k != "chosen"}).encode() + b"\n" for row in lines)  # fmt: skip

    def older(members: dict[str, bytes]) -> None:
        member_with("tables/dimensions.jsonl", data, rows=len(lines))(members)
        about_with(step=STEPS[-2])(members)

    keeping.put_back(tmp_path / "new.sqlite", changed(packed, tmp_path / "older.zip", older))
    with open_store(tmp_path / "new.sqlite") as store, store.session() as session:
        assert session.scalar(text("SELECT COUNT(*) FROM dimensions WHERE NOT chosen")) == len(
            lines
        )
