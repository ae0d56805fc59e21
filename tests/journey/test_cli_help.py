"""What the command says of itself is true: every example can be typed, every status is named."""

from __future__ import annotations

import re
import shlex
from importlib import metadata
from pathlib import Path

import click
import pytest

from tests.journey.command import ROOT, installed, trialfit
from wizard.cli.main import COMMANDS, main
from wizard.desk.pairing import EXIT

TEXTS = {
    "help": lambda: trialfit("--help").stdout,
    "no sheet": lambda: trialfit("pair").stderr,
    "README": lambda: (ROOT / "README.md").read_text(encoding="utf-8"),
}
# a line of its own, after a colon, or between backticks; what follows two spaces explains it
SHOWN = re.compile(
    r"(?:^ +|(?<!Usage): )(trialfit .+?)(?: {2,}.*)?$|`(trialfit [^`]+)`", re.MULTILINE
)


def examples(text: str) -> list[str]:
    """The commands a text shows."""
    return [alone or quoted for alone, quoted in SHOWN.findall(text)]


def deepest(words: list[str]) -> tuple[click.Command, list[str]]:
    """The command the words lead to, and the words left over."""
    here: click.Command = main
    context = click.Context(main)
    while isinstance(here, click.Group) and words and not words[0].startswith("-"):
        inner = here.get_command(context, words[0])
        assert inner is not None, f"there is no command {words[0]}"
        here, words = inner, words[1:]
    return here, words


@pytest.mark.parametrize("where", TEXTS)
def test_every_example_can_be_typed(where: str) -> None:
    found = examples(TEXTS[where]())
    assert len(found) >= 2
    for line in found:
        words = [word for word in shlex.split(line)[1:] if word != "SHEET"]
        command, rest = deepest(words)
        options = {name for option in command.params for name in option.opts} | {"--help"}
        for word in rest:
            assert not word.startswith("--") or word in options, f"{line}: no {word}"


def test_the_help_teaches() -> None:
    said = trialfit("--help").stdout
    for name in ("demo", "pair", "units", "jobs", "bench", "scan", "find", "shop", "store", "app"):
        assert re.search(rf"^  {name} +\S", said, re.MULTILINE)
    assert "TRIALFIT_STORE" in said
    assert len(examples(said)) == 5
    (statuses,) = [line for line in said.splitlines() if "status" in line]
    for status in {*EXIT.values(), 2}:
        assert re.search(rf"\b{status}\b", statuses)


@pytest.mark.parametrize("words", [[name] for name in COMMANDS] + [
    ["units", name] for name in ("add", "list", "show", "remove")
] + [["jobs", name] for name in ("list", "show", "papers")], ids=" ".join)  # fmt: skip
def test_every_command_explains_itself_and_its_options(words: list[str]) -> None:
    said = trialfit(*words, "--help")
    assert said.exit_code == 0
    command, _ = deepest(words)
    assert command.help
    for option in command.params:
        if isinstance(option, click.Option):
            assert option.help, f"{words}: {option.name}"


def test_the_commands_are_these() -> None:
    assert main.list_commands(click.Context(main)) == [
        "demo",
        "pair",
        "units",
        "jobs",
        "bench",
        "scan",
        "find",
        "shop",
        "store",
        "app",
    ]


@pytest.mark.parametrize("words", [["pear"], ["--no-such"], ["pair", "--no-such"], ["jobs", "show", "x"], ["units", "list", "--kind", "wing"]])  # fmt: skip
def test_a_word_that_is_none(words: list[str], tmp_path: Path) -> None:
    done = trialfit(*words, store=tmp_path / "s.sqlite")
    assert done.exit_code == 2
    assert done.stdout == ""
    assert "Error: " in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_help_can_be_printed_anywhere() -> None:
    """Help is printed before any command runs: also on a terminal that knows ASCII alone."""
    ascii_only = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONIOENCODING": "ascii"}
    for words in (["--help"], ["pair", "--help"], ["pair"], ["pair", "nö.toml"], ["ö"]):
        done = installed(*words, around=ascii_only)
        assert done.returncode == (0 if "--help" in words else 2)
        assert "Traceback" not in (done.stdout + done.stderr).decode("utf-8")


def test_version() -> None:
    done = installed("--version")
    assert metadata.version("trialfit") in done.stdout.decode("utf-8")
