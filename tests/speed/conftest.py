"""Speed is measured when it is asked for: ``pytest tests/speed --benchmark-only``.

Each measure stands beside the best short script a careful user would write instead, run in the
same session on the same data. The table at the end gives both times, how many times faster, peak
memory of both, and how far each is from the exact answer; ``--benchmark-json FILE`` keeps it, and
``--benchmark-autosave --benchmark-compare`` sets a later run beside it.
"""

from __future__ import annotations

import resource
import sys
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import pytest

_ROWS = pytest.StashKey[list["Row"]]()


@dataclass
class Row:
    """One line of the table: ours beside another way, or against an aim."""

    work: str
    ours: float  # s
    our_peak: float  # MB
    other: str = ""
    others: float | None = None  # s
    other_peak: float | None = None  # MB
    aim: str = ""
    accuracy: str = ""
    curve: str = ""
    size: float = 0.0


@dataclass
class Beside:
    """Times a piece of work and sets another way of doing it beside it."""

    benchmark: Any
    rows: list[Row]
    work: str = ""
    made: Any = field(default=None, init=False)

    def ours(
        self, work: str, run: Callable[[], Any], *, aim: str = "", curve: str = "", size: float = 0
    ) -> Any:
        """Time our way; gives back what it made. Points of one ``curve`` tell how it grows."""
        self.work = work
        self.made = self.benchmark(run)
        took = self.benchmark.stats.stats.median
        row = Row(work=work, ours=took, our_peak=_peak(run), aim=aim, curve=curve, size=size)
        self.rows.append(row)
        self._note()
        return self.made

    def other(self, name: str, run: Callable[[], Any], *, times: float = 1.0, aim: str = "") -> Any:
        """Time another way, once; ``times`` scales a run on part of the data to the whole."""
        begin = time.perf_counter()
        made = run()
        took = (time.perf_counter() - begin) * times
        last = self.rows[-1]
        if last.other:
            last = Row(work=last.work, ours=last.ours, our_peak=last.our_peak)
            self.rows.append(last)
        last.other, last.others, last.aim = name, took, aim or last.aim
        last.other_peak = _peak(run) if took < 2.0 * times else None
        self._note()
        return made

    def accuracy(self, says: str) -> None:
        """How far both are from the exact answer, in words."""
        self.rows[-1].accuracy = says
        self._note()

    def _note(self) -> None:
        mine = [row for row in self.rows if row.work == self.work]
        self.benchmark.extra_info["beside"] = [vars(row) for row in mine]


def _peak(run: Callable[[], Any]) -> float:
    """Most memory a run holds at once [MB]."""
    tracemalloc.start()
    run()
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return peak / 1e6


def pytest_configure(config: pytest.Config) -> None:
    config.stash[_ROWS] = []


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Nothing here belongs to the tests of what is right."""
    return None if config.getoption("benchmark_only") else True


@pytest.fixture
def beside(benchmark: Any, request: pytest.FixtureRequest) -> Beside:
    return Beside(benchmark=benchmark, rows=request.config.stash[_ROWS])


def pytest_terminal_summary(terminalreporter: Any, config: pytest.Config) -> None:
    rows = config.stash[_ROWS]
    if not rows:
        return
    write = terminalreporter.write_line
    terminalreporter.section("beside what would be done instead")
    write(f"{'work':44} {'ours':>10} {'peak MB':>8}  {'beside':34} {'took':>10} {'times':>8}  aim")
    for row in rows:
        other = _shown(row.others) if row.others is not None else ""
        ratio = f"{row.others / row.ours:,.0f}×" if row.others is not None else ""
        write(
            f"{row.work:44} {_shown(row.ours):>10} {row.our_peak:8.2f}  {row.other:34} "
            f"{other:>10} {ratio:>8}  {row.aim}"
        )
        if row.accuracy:
            write(f"{'':44}   {row.accuracy}")
    for curve in dict.fromkeys(row.curve for row in rows if row.curve):
        points = [(row.size, row.ours) for row in rows if row.curve == curve]
        slope = np.polyfit(*np.log(np.array(points)).T, 1)[0]
        write(f"{curve}: time grows as the {slope:.2f}th power of it, {len(points)} sizes")
    if sys.platform != "win32":
        most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (1e6 if sys.platform == "darwin" else 1e3)  # fmt: skip
        write(f"most memory of this process: {most:.0f} MB")


def _shown(seconds: float) -> str:
    for unit, size in (("s", 1.0), ("ms", 1e-3)):
        if seconds >= size:
            return f"{seconds / size:.3g} {unit}"
    return f"{seconds / 1e-6:.3g} µs"
