"""A shop's own limits, read from a file: only what it changes of its rule set.

    [least-wall]
    steel = "1/4 in"

Tables and keys are those of the rule sets; a length may carry its unit, a bare number is in the
limit's own.
"""

from __future__ import annotations

import math
from decimal import Decimal
from pathlib import Path

from kb.errors import InputError
from kb.model.shop import Limit
from kb.quantity import read_length
from kb.rules.loader import rule_set, rule_set_names
from kb.sheets.reading import tables_of, text_of


def load_limits(path: Path | str) -> dict[str, float]:
    """Read a shop's own limits.

    Returns:
        The limits changed, by name, each in the unit of that limit (lengths in mm).
    Raises:
        InputError: no such file, not TOML, no such limit, or a value that cannot be read.
    """
    return read_limits(text_of(path), origin=str(path))


def read_limits(text: str, *, origin: str = "limits") -> dict[str, float]:
    """As `load_limits`, for the text of such a file."""
    changes: dict[str, float] = {}
    for table, rows in tables_of(text, origin).items():
        if not isinstance(rows, dict):
            raise InputError(
                table, rows, "put limits under their check, as [least-wall] then steel = 6"
            )
        for key, given in rows.items():
            name = f"{table}.{key}"
            changes[name] = _value(name, given)
    return changes


def _value(name: str, given: object) -> float:
    """One limit in its own unit, finite and not below nought."""
    limit = _declared(name)
    value = _length(name, given) if limit.unit == "mm" else _number(name, given, limit.unit)
    if not 0 <= value < math.inf:
        raise InputError(name, given, "no limit is below 0 or endless")
    return value


def _declared(name: str) -> Limit:
    """The limit of that name; an unknown one is refused with the nearest known."""
    return rule_set(rule_set_names()[0], changes={name: 0.0}).limits[name]


def _length(name: str, given: object) -> float:
    typed = float(given) if isinstance(given, Decimal) else given
    read = read_length(typed, key=name, units="mm")  # type: ignore[arg-type]
    if read.below is not None:
        raise InputError(name, given, "a limit has no ±; write one length")
    return read.value


def _number(name: str, given: object, unit: str) -> float:
    if isinstance(given, bool):
        raise InputError(name, given, f"write a number, {unit}")
    try:
        return float(given)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        raise InputError(name, given, f"write a number, {unit}") from None
