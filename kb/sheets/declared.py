"""What the nouns of `kb.model` declare about their keys, ready for reader and writer."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, get_args, get_type_hints

from kb.model.unit import Unit

UNIT_NOUNS: tuple[type[Any], ...] = get_args(Unit)


@dataclass(frozen=True, kw_only=True)
class Key:
    """One key of a noun.

    Attributes:
        name: The key as written.
        kind: How its value is read: length, band, thread, part, …
        rules: What else its declaration says (bounds, accepted words).
        default: Its value when left out.
        required: Whether it must be given.
        noun: The noun of a part, or of each of a list of parts.
    """

    name: str
    kind: str
    rules: Mapping[str, Any]
    default: Any
    required: bool
    noun: type[Any] | None


_LOOKED_UP: dict[type[Any], Mapping[str, Key]] = {}


def keys_of(noun: type[Any]) -> Mapping[str, Key]:
    """The keys a noun declares, by name, in the order of its declaration."""
    if noun not in _LOOKED_UP:
        hints = get_type_hints(noun)
        items = dataclasses.fields(noun)
        _LOOKED_UP[noun] = {item.name: _key(item, hints[item.name]) for item in items}
    return _LOOKED_UP[noun]


def _key(item: dataclasses.Field[Any], hint: Any) -> Key:
    choices = get_args(hint) or (hint,)
    nouns = [choice for choice in choices if dataclasses.is_dataclass(choice)]
    return Key(
        name=item.name,
        kind=item.metadata["kind"],
        rules=item.metadata,
        default=item.default,
        required=item.default is None and type(None) not in choices,
        noun=nouns[0] if item.metadata["kind"] in ("part", "parts") else None,  # type: ignore[arg-type]
    )
