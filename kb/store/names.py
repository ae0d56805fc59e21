"""Names as a shop writes them, and what makes two of them the same name."""

from __future__ import annotations

import unicodedata

from kb.errors import InputError

LONGEST = 200  # characters in a name

_UNSEEN = {chr(code) for code in range(0xFE00, 0xFE10)}  # variation selectors
_PLAIN = "write a name of one line, up to 200 characters, with at least one that can be seen"
_TEXT = "write text that can be saved: no NUL and no half of a character"


def folded(text: str) -> str:
    """The text as two names are compared: no capitals, no accents, single spaces.

    Caseless matching for compatibility (Unicode Standard 15.0, section 3.13, D146), after
    which combining marks and invisible format characters are dropped.
    """
    loose = unicodedata.normalize("NFD", text)
    for _ in range(2):
        loose = unicodedata.normalize("NFKD", loose.casefold())
    seen = "".join(char for char in loose if not _is_mark(char))
    return " ".join(seen.lower().split())


def _is_mark(char: str) -> bool:
    return unicodedata.combining(char) != 0 or unicodedata.category(char) == "Cf" or char in _UNSEEN


def words(text: str) -> list[str]:
    """The words to look for in folded text; of what cannot be seen, one that is never found."""
    return folded(text).split() or text.split()


def check_name(name: str, *, key: str) -> str:
    """The name itself, when a unit can be kept under it.

    Raises:
        InputError: empty, longer than ``LONGEST``, of several lines, or nothing to be seen.
    """
    check_text(name, key=key)
    controls = any(unicodedata.category(char) in ("Cc", "Zl", "Zp") for char in name)
    if controls or not folded(name) or max(len(name), len(folded(name))) > LONGEST:
        raise InputError(key, " ".join(name.split())[:60], _PLAIN)
    return name


def check_text(text: str, *, key: str) -> str:
    """The text itself, when every database can hold it.

    Raises:
        InputError: it holds a NUL or half of a surrogate pair.
    """
    if "\0" in text or any(unicodedata.category(char) == "Cs" for char in text):
        shown = text.replace("\0", "␀").encode("utf-8", "replace").decode("utf-8")
        raise InputError(key, shown[:60], _TEXT)
    return text
