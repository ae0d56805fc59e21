"""How a verdict and a status look: a shape, a word and a colour, each enough without the others.

Everything a person typed is escaped here before it becomes part of a page.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

from wizard import words

GOOD, MIND, BAD, OPEN = "#2e6f40", "#8a5a00", "#a3241c", "#5b6470"
ENGINE, GEARBOX, ADAPTER, INK = "#1f5f8b", "#b4541a", "#7a5c12", "#22303c"


@dataclass(frozen=True)
class Sign:
    """A shape in a colour; the word beside it is the key's own."""

    shape: str
    colour: str


VERDICTS = {
    "goes": Sign("disc", GOOD),
    "goes with work": Sign("diamond", MIND),
    "measure first": Sign("ring", OPEN),
    "does not go": Sign("square", BAD),
}
STATUSES = {
    "fail": Sign("square", BAD),
    "unknown": Sign("ring", OPEN),
    "warn": Sign("triangle", MIND),
    "pass": Sign("disc", GOOD),
}  # worst first


def drawn(sign: Sign, *, large: bool = False) -> str:
    """The shape of a sign, to stand in a line of a page; its word must stand beside it."""
    size = " nb-large" if large else ""
    return f'<span class="nb-sign nb-{sign.shape}{size}" style="color:{sign.colour}" aria-hidden="true"></span>'  # fmt: skip


def verdict(word: str, lines: Sequence[str]) -> str:
    """The verdict, as at most seven lines with its shape, its word and its colour."""
    sign = VERDICTS[word]
    rest = "".join(f"<li>{escape(line)}</li>" for line in lines[1:7])
    below = f"<ul>{rest}</ul>" if rest else ""
    head = escape(lines[0] if lines else words.heading(word))
    return (
        f'<section class="nb-verdict" style="border-color:{sign.colour}" role="status">'
        f'<p class="nb-word" style="color:{sign.colour}">{drawn(sign, large=True)}'
        f"<strong>{head}</strong></p>{below}</section>"
    )


def badge(word: str) -> str:
    """A verdict or a status in one line: shape and word."""
    sign = VERDICTS.get(word) or STATUSES[word]
    return (
        f'<span class="nb-badge" style="color:{sign.colour}">{drawn(sign)}'
        f"{escape(words.label(word))}</span>"
    )


def folded(head: str, body: str, *, opened: bool = False) -> str:
    """A line that opens to its reasons; both parts are pieces of a page already."""
    state = " open" if opened else ""
    return f'<details class="nb-fold"{state}><summary>{head}</summary><div>{body}</div></details>'


def table(heads: Sequence[str], rows: Iterable[Sequence[str]], *, raw: int | None = None) -> str:
    """A table that scrolls sideways by itself where the screen is narrow.

    Args:
        heads: Its columns. rows: Texts, escaped here.
        raw: The column whose texts are pieces of a page already.
    """
    top = "".join(f"<th>{escape(head)}</th>" for head in heads)
    body = "".join(
        "<tr>"
        + "".join(f"<td>{text if at == raw else escape(text)}</td>" for at, text in enumerate(row))
        + "</tr>"
        for row in rows
    )
    return (
        '<div class="nb-scroll" tabindex="0"><table class="nb-table">'
        f"<thead><tr>{top}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def pairs(rows: Iterable[tuple[str, str]]) -> str:
    """Names and what stands beside them, in two columns."""
    lines = "".join(f"<dt>{escape(name)}</dt><dd>{escape(says)}</dd>" for name, says in rows)
    return f'<dl class="nb-pairs">{lines}</dl>'


def keyed(rows: Iterable[tuple[str, str, str]]) -> str:
    """What the letters of a drawing stand for: letter, name, figure."""
    lines = "".join(
        f'<dt><span class="nb-key">{escape(letter)}</span>{escape(name)}</dt><dd>{escape(figure)}</dd>'
        for letter, name, figure in rows
    )
    return f'<dl class="nb-pairs">{lines}</dl>'


def subhead(text: str) -> str:
    """A small heading inside a chapter."""
    return f'<p class="nb-subhead">{escape(text)}</p>'


def bullets(rows: Iterable[str]) -> str:
    """Sentences, one below the other."""
    return '<ul class="nb-list">' + "".join(f"<li>{escape(row)}</li>" for row in rows) + "</ul>"


def paragraph(text: str, *, quiet: bool = False) -> str:
    """One sentence or two."""
    return f'<p class="nb-quiet">{escape(text)}</p>' if quiet else f"<p>{escape(text)}</p>"
