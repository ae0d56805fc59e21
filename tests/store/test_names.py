"""What makes two names the same.

Source: Unicode Standard 15.0, section 3.13, D146 (compatibility caseless match); the pairs are
the standard's own kind of example: full case folding (CaseFolding.txt, status F and C), canonical
and compatibility equivalence (UAX #15, figures 3 to 6). That accents are dropped as well is the
project's own decision.
"""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.errors import InputError
from kb.store.names import LONGEST, check_name, folded, words

SAME = [
    ("MASSE", "Maße"),  # ß folds to ss (F)
    ("ΌΣΟΣ", "όσος"),  # both small sigmas fold to one (C)
    ("ΟΔΟΣ", "οδος"),
    ("İzmir", "izmir"),  # İ folds to i with a dot above (F), the dot is a mark
    ("Å", "Å"),  # ångström sign and letter (UAX #15, figure 3)
    ("Ω", "Ω"),  # ohm sign and omega (UAX #15, figure 3)
    ("e\u0301tude", "étude"),  # canonical composition (UAX #15, figure 4)
    ("ﬁne", "fine"),  # ligature (UAX #15, figure 6)
    ("Type ２", "type 2"),  # full width digit
    ("Čapek Ł-4", "capek Ł-4"),
    ("  Two   spaces ", "two spaces"),
    ("no\u00a0break", "No Break"),
    ("שָׁלוֹם", "שלום"),  # points are marks
    ("\u202eabc\u202c", "abc"),  # direction marks are not seen
    ("🛥️", "🛥"),  # the variation selector is not seen
]
OTHER = [("Ø", "O"), ("Type 2", "Type 22"), ("की", "कु"), ("🛥", "🚜"), ("אב", "בא"), ("a b", "ab")]


@pytest.mark.parametrize(("one", "two"), SAME)
def test_same_name(one: str, two: str) -> None:
    assert folded(one) == folded(two) != ""


@pytest.mark.parametrize(("one", "two"), OTHER)
def test_other_name(one: str, two: str) -> None:
    assert folded(one) != folded(two)


@given(st.text(alphabet=st.characters(exclude_categories=("Cs",))))
def test_folding_again_changes_nothing_and_forms_make_no_difference(text: str) -> None:
    key = folded(text)
    assert key == key.lower() == " ".join(key.split())
    assert key == folded(unicodedata.normalize("NFC", text))
    assert key == folded(unicodedata.normalize("NFD", text))
    assert key == folded(key)


@pytest.mark.parametrize(
    "name",
    ["", "   ", "\u0301", "\u200d\ufe0f", "a\nb", "a\tb", "a\0", "\ud83d", "x" * (LONGEST + 1),
     "\N{ARABIC LIGATURE SALLALLAHOU ALAYHE WASALLAM}" * 20],
)  # fmt: skip
def test_no_name(name: str) -> None:
    with pytest.raises(InputError, match=r"^engine\.name: .*; write ") as told:
        check_name(name, key="engine.name")
    assert "\n" not in str(told.value)
    str(told.value).encode("utf-8")


@pytest.mark.parametrize("name", ["x" * LONGEST, "🛥️", "محرك ١٢", "Ł", "K-4 / 2 % _"])
def test_a_name(name: str) -> None:
    assert check_name(name, key="engine.name") == name


def test_words_looked_for() -> None:
    assert words(" Große  KISTE ") == ["grosse", "kiste"]
    assert words("") == []
    assert words("\u0301") == ["\u0301"]  # not seen, and so never found
