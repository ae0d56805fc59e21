"""Shape, word and colour of verdicts and statuses, and that nothing typed becomes markup."""

from __future__ import annotations

import pytest

from kb.errors import InputError, NotTabulated, OutOfScope, StoreError
from kb.model.check import STATUSES, VERDICTS
from wizard import words
from wizard.app import answered, page, signs

GROUND = "#f3f0e7"  # what the verdict stands on, as look.css has it
HOSTILE = "<script>alert(1)</script>&\"'"


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.1, definitions."""
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)  # fmt: skip
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("sign", [*signs.VERDICTS.values(), *signs.STATUSES.values()])
def test_colours_can_be_read(sign: signs.Sign) -> None:
    """WCAG 2.1, success criterion 1.4.3: contrast of at least 4.5 to 1."""
    light, dark = sorted((luminance(sign.colour), luminance(GROUND)), reverse=True)
    assert (light + 0.05) / (dark + 0.05) >= 4.5


@pytest.mark.parametrize(
    ("held", "wanted"), [(signs.VERDICTS, VERDICTS), (signs.STATUSES, STATUSES)]
)
def test_every_word_has_a_shape_and_a_colour_of_its_own(
    held: dict[str, signs.Sign], wanted: tuple[str, ...]
) -> None:
    assert set(held) == set(wanted)
    assert len({sign.shape for sign in held.values()}) == len(held)
    assert len({sign.colour for sign in held.values()}) == len(held)
    assert len({words.label(word) for word in held}) == len(held)


def test_the_verdict_never_takes_more_than_seven_lines() -> None:
    shown = signs.verdict("does not go", [f"line {n}" for n in range(20)])
    assert 1 + shown.count("<li>") == 7


def test_typed_text_never_becomes_markup() -> None:
    pieces = (
        signs.verdict("goes", [HOSTILE, HOSTILE]),
        signs.table([HOSTILE], [[HOSTILE]]),
        signs.pairs([(HOSTILE, HOSTILE)]),
        signs.keyed([(HOSTILE, HOSTILE, HOSTILE)]),
        signs.bullets([HOSTILE]),
        signs.paragraph(HOSTILE),
        signs.subhead(HOSTILE),
        page.refusal(InputError(HOSTILE, HOSTILE, HOSTILE)),
        page.refusal(StoreError(HOSTILE)),
    )
    for piece in pieces:
        assert "<script" not in piece
        assert "&lt;script&gt;" in piece


@pytest.mark.parametrize(
    "error",
    [
        OutOfScope("speed", 9, "0 to 5", "a book"),
        NotTabulated("Threads", "M99", "M5 to M20"),
        StoreError("shop.sqlite: another program is writing to it"),
    ],
)
def test_every_error_a_shop_can_meet_is_told_in_its_own_words(error: Exception) -> None:
    assert isinstance(error, page.SHOWN)
    assert str(error) in page.refusal(error).replace("&quot;", '"')


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        ("Not known yet: engine.drive.ring.", "Not known yet: ring gear (crank flange)."),
        ("tip-engagement against tip-bottoming", "input shaft's tip in its bush against room ahead of the input shaft"),
        ("a two-piece plate of 1.5 mm, e.g. re-cut", "a two-piece plate of 1.5 mm, e.g. re-cut"),
    ],
)  # fmt: skip
def test_keys_in_a_sentence_become_words(said: str, shown: str) -> None:
    """What they are called is the shop's own; what is no key stays as it was written."""
    assert answered.plainly(said) == shown
