"""The shop's own sheet, and what a quote came to in the end."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kb.errors import InputError
from kb.model.shop import Shop
from kb.rules import loader
from kb.sheets.shop import load_shop, typed_shop, write_shop
from kb.store.place import Store
from kb.store.shops import Shops
from wizard.desk import afterwards, jobs


def current(store: Store) -> Shop:
    """The shop as it was kept last; the shop defaults where none was."""
    return Shops(store).current()


def keep(store: Store, path: Path, *, by: str = "") -> Shop:
    """Keep the sheet of a file as the shop's own; later jobs are quoted and routed by it.

    Raises:
        InputError: the sheet cannot be read or meant; nothing was kept.
    """
    shop = load_shop(path)
    Shops(store).keep(shop, by=by)
    return shop


def keep_typed(
    store: Store, *, name: str, address: str, machines: Sequence[Mapping[str, Any]],
    tables: Mapping[str, Mapping[str, Any]], logo: bytes | None = None, by: str = "", **single: Any,
) -> Shop:  # fmt: skip
    """Keep the shop as it was typed on a screen; nothing is kept unless all of it can be meant.

    Args:
        name, address: As typed; the address in lines.
        machines: A row each: name, kind, and sizes as typed; empty ones are not known.
        tables: The tables of the sheet, ``rates.hour``, ``minutes`` and so on.
        logo: A PNG picture; ``None`` leaves the one there is.
        single: Single figures and words: ``valid_days``, ``wanted_chance``, ``process``, ``rates.margin`` …
    Raises:
        InputError: a field that cannot be meant.
    """
    old = current(store)
    shop = typed_shop(
        old, name=name, address=[line.strip() for line in address.splitlines() if line.strip()],
        machines=machines, tables=tables, logo=old.logo if logo is None else logo, single=single,
    )  # fmt: skip
    Shops(store).keep(shop, by=by)
    return shop


def sheet(store: Store) -> str:
    """The shop's sheet as text, whole, to be edited and kept again."""
    return write_shop(current(store))


@dataclass(frozen=True, kw_only=True)
class Outturn:
    """One heading of a quote beside what was spent on it: hours, and money given out."""

    heading: str
    quoted_hours: float
    spent_hours: float | None
    quoted_cost: float
    spent_cost: float | None


def outturn(store: Store, number: int) -> list[Outturn]:
    """A job's quote, heading by heading, beside what was written down as spent.

    What was spent under a word no heading begins with stands on a line of its own; the last line
    is the sum.

    Raises:
        InputError: no such job, or a record older than quotes.
    """
    record = jobs.show(store, number)
    quote = (record.content.get("making") or {}).get("quote")
    if quote is None:
        raise InputError("number", number, "a job kept with a quote: keep it again, as a new issue")
    spent = [one for one in afterwards.history(store, number) if one.kind == "spent"]
    rows = [_row(line, spent) for line in quote["lines"]]
    named = [line["heading"] for line in quote["lines"]]
    others = dict.fromkeys(
        one.key for one in spent if not any(_meant(one.key, name) for name in named)
    )
    rows += [_row({"heading": key, "hours": [0.0] * 3, "cost": [0.0] * 3}, spent) for key in others]
    return [*rows, _sum(rows)]


def _meant(key: str, heading: str) -> bool:
    return bool(key.strip()) and key.strip().casefold() == heading.casefold()


def _row(line: Mapping[str, Any], spent: Sequence[Any]) -> Outturn:
    mine = [one for one in spent if _meant(one.key, line["heading"])]
    return Outturn(
        heading=line["heading"], quoted_hours=line["hours"][1], quoted_cost=line["cost"][1],
        spent_hours=_total(mine, "hours"), spent_cost=_total(mine, "cost"),
    )  # fmt: skip


def _total(rows: Sequence[Any], text: str) -> float | None:
    found = [one.figure for one in rows if one.text == text]
    return sum(found) if found else None


def _sum(rows: Sequence[Outturn]) -> Outturn:
    def total(values: Sequence[float | None]) -> float | None:
        known = [one for one in values if one is not None]
        return sum(known) if known else None

    return Outturn(
        heading="in all", quoted_hours=sum(one.quoted_hours for one in rows),
        quoted_cost=sum(one.quoted_cost for one in rows),
        spent_hours=total([one.spent_hours for one in rows]), spent_cost=total([one.spent_cost for one in rows]),
    )  # fmt: skip


def processes() -> tuple[str, ...]:
    """Ways of cutting a plate to its outline."""
    return tuple(loader.processes())


def instruments() -> list[tuple[str, str, str]]:
    """Every instrument with its honest ± [mm] and who says so."""
    return [(one.name, f"{one.within:g}", one.source) for one in loader.instruments().values()]


def rule_sets() -> list[tuple[str, list[tuple[str, str, str, str]]]]:
    """Every rule set by title, its limits with unit and source."""
    found = []
    for name in loader.rule_set_names():
        rules = loader.rule_set(name)
        rows = [(one.name, f"{one.value:g}", one.unit, one.source) for one in rules.limits.values()]
        found.append((rules.title, rows))
    return found
