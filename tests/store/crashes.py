"""Programs killed in the middle of writing: ``python -m tests.store.crashes 500 [URL]``.

Each time a program keeps unit after unit, saying each one when it is kept, and is killed (SIGKILL)
at some moment. Whatever it said must then be there, whole, and the store must go on.
"""

from __future__ import annotations

import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from sqlalchemy import text

from kb.store.catalogue import Catalogue
from kb.store.place import Store, open_store

ROOT = Path(__file__).resolve().parents[2]
WRITER = """
import dataclasses, sys
from kb.store.catalogue import Catalogue
from kb.store.place import open_store
from tests.store.made_units import engine
one = engine()
with open_store(sys.argv[1], patience_s=60) as store:
    print("ready", flush=True)
    for number in range(int(sys.argv[3])):
        name = f"{sys.argv[2]} {number:05d}"
        Catalogue(store).add(dataclasses.replace(one, name=name))
        print(name, flush=True)
"""


def writer(url: str, mark: str, count: int) -> subprocess.Popen[str]:
    """A program that keeps so many units, named by a mark."""
    return subprocess.Popen(
        [sys.executable, "-c", WRITER, url, mark, str(count)],
        cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
    )  # fmt: skip


def killed(url: str, times: int, *, seed: int = 1) -> tuple[int, int]:
    """Kill so many writers, one after another; gives units kept and those the writers did not say.

    Raises:
        AssertionError: something said to be kept is not there, or the store is not whole.
    """
    random_ = random.Random(seed)
    said: set[str] = set()
    with open_store(url):
        pass
    for number in range(times):
        running = writer(url, f"run {number:04d}", 10_000)
        assert running.stdout is not None
        assert running.stdout.readline() == "ready\n"
        time.sleep(random_.uniform(0, 0.12))
        running.kill()
        said |= {line.strip() for line in running.stdout if line.endswith("\n")}
        running.wait()
        running.stdout.close()
    with open_store(url, patience_s=60) as store:
        kept = {ref.name for ref, _ in Catalogue(store).units("engine")}  # every one read whole
        assert said <= kept, f"lost: {sorted(said - kept)[:3]}"
        assert len(kept - said) <= times  # at most the one that was being said
        _whole(store)
        Catalogue(store).add(Catalogue(store).units("engine")[0][1])  # it goes on
    return len(kept), len(kept - said)


def _whole(store: Store) -> None:
    """No row without its unit, and the file is sound."""
    with store.session() as session:
        if store.engine.dialect.name == "sqlite":
            assert session.scalar(text("PRAGMA integrity_check")) == "ok"
            assert session.execute(text("PRAGMA foreign_key_check")).first() is None
        orphans = "SELECT COUNT(*) FROM dimensions WHERE unit_id NOT IN (SELECT id FROM units)"
        assert session.scalar(text(orphans)) == 0


if __name__ == "__main__":
    count = int(sys.argv[1])
    with tempfile.TemporaryDirectory() as folder:
        place = sys.argv[2] if len(sys.argv) > 2 else str(Path(folder) / "s.sqlite")
        units, unsaid = killed(place, count)
    print(
        f"{count} programs killed: {units} units kept whole, {unsaid} of them kept but not yet said, none lost"
    )
