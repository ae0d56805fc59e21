"""`trialfit app`: started, answering on this machine alone, and ended.

That an address of 127.0.0.0/8 is this machine's own: RFC 1122, 3.2.1.3 (g).
"""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path
from urllib.error import URLError
from urllib.request import ProxyHandler, build_opener

import pytest

from tests.journey.command import INSTALLED, ROOT, refused, surroundings, trialfit

OPEN = build_opener(ProxyHandler({})).open  # straight there, whatever proxy is set
PATIENCE_S = 60


@pytest.fixture
def port() -> int:
    """A port nobody listens on."""
    with socket.socket() as probing:
        probing.bind(("127.0.0.1", 0))
        return int(probing.getsockname()[1])


@pytest.fixture
def running(port: int, tmp_path: Path) -> Iterator[subprocess.Popen[bytes]]:
    """The screens, answering; they heed Ctrl-C even where these tests run in the background."""
    signal.signal(signal.SIGINT, signal.default_int_handler)
    line = [*INSTALLED, "--store", str(tmp_path / "shop.sqlite"), "app", "--port", str(port)]
    with subprocess.Popen(
        line, cwd=ROOT, env=surroundings() | {"PYTHONUNBUFFERED": "1"}, stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    ) as started:  # fmt: skip
        try:
            _until_it_answers(started, port)
            yield started
        finally:
            started.kill()


def _answers(port: int) -> bool:
    try:
        with OPEN(f"http://127.0.0.1:{port}/_stcore/health", timeout=2) as page:
            return bool(page.status == 200)
    except (URLError, OSError):
        return False


def _until_it_answers(started: subprocess.Popen[bytes], port: int) -> None:
    until = time.monotonic() + PATIENCE_S
    while not _answers(port):
        assert started.poll() is None, started.stderr.read() if started.stderr else b""
        assert time.monotonic() < until, "the screens do not answer"
        time.sleep(0.1)


@pytest.mark.skipif(os.name == "nt", reason="Windows ends a program without asking it")
@pytest.mark.parametrize("ask", [signal.SIGINT, signal.SIGTERM], ids=["Ctrl-C", "ended"])
def test_started_and_ended(
    ask: signal.Signals, running: subprocess.Popen[bytes], port: int, tmp_path: Path
) -> None:
    assert running.stdout is not None
    assert f"http://127.0.0.1:{port}" in running.stdout.readline().decode("utf-8")
    said = refused(trialfit("app", "--port", port, store=tmp_path / "other.sqlite"))
    assert said.startswith(f"port: cannot use “{port}”; ")
    _this_machine_alone(port)
    running.send_signal(ask)
    assert running.wait(PATIENCE_S) == 0
    assert not _answers(port)
    assert (tmp_path / "shop.sqlite").is_file()


def _this_machine_alone(port: int) -> None:
    """Nobody answers at the machine's outer addresses, if it has any."""
    named = {str(info[4][0]) for info in socket.getaddrinfo(socket.gethostname(), port)}
    for address in named - {"127.0.0.1", "::1"}:
        if not address.startswith("127."):
            with pytest.raises(OSError), socket.create_connection((address, port), timeout=1):
                pass
