"""The shop's own sheet: who it is, its machines, rates and times; TOML in and out.

Only what differs from the shop defaults need be written. Lengths may carry a unit; bare numbers
are mm. A logo is a PNG picture written in base 64.
"""

from __future__ import annotations

import base64
import binascii
import json
import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import fields
from importlib import resources
from pathlib import Path
from typing import Any

from kb.errors import InputError
from kb.model.shop import BENCH, MACHINES, Machine, Rates, Shop
from kb.quantity import read_length
from kb.rules.loader import processes
from kb.sheets.reading import tables_of, text_of
from kb.sheets.values import refuse_unknown
from kb.standards.materials import FAMILIES

STUFFS = (*FAMILIES, "bronze")  # what is priced and cut
MOST_LOGO = 300_000  # bytes
_PNG = b"\x89PNG\r\n\x1a\n"
_SIZES = tuple(one.name for one in fields(Machine) if one.name not in ("name", "kind", "top_speed_rpm"))  # fmt: skip
_TOP = ("name", "address", "logo", "valid_days", "wanted_chance", "process", "source",
        "machine", "rates", "minutes", "cutting_m_min", "feed")  # fmt: skip
_SHARES = ("margin", "stock_margin", "best", "worst")


def load_shop(path: Path | str) -> Shop:
    """Read a shop's sheet from a file.

    Raises:
        InputError: no such file, not TOML, or a field that cannot be meant; it names the field.
    """
    return read_shop(text_of(path), origin=str(path))


def read_shop(text: str, *, origin: str = "shop") -> Shop:
    """As `load_shop`, for the text of a sheet; what it leaves out is the shop default."""
    given = tables_of(text, origin)
    refuse_unknown(given, _TOP, key="")
    return _shop(_laid_over(_defaults(), given))


def usual_shop() -> Shop:
    """The shop defaults alone."""
    return _shop(_defaults())


def typed_shop(
    old: Shop, *, name: str, address: Sequence[str], machines: Sequence[Mapping[str, Any]],
    tables: Mapping[str, Mapping[str, Any]], logo: bytes, single: Mapping[str, Any],
) -> Shop:  # fmt: skip
    """A shop with what was typed laid over it; read and checked as a sheet is.

    Args:
        machines: A row each; cells left empty are not known.
        tables: By dotted name. single: Figures and words by dotted name.
    Raises:
        InputError: a field that cannot be meant.
    """
    given = tables_of(write_shop(old), "shop")
    given |= {"name": name, "address": list(address), "logo": base64.b64encode(logo).decode("ascii")}  # fmt: skip
    given["machine"] = [{key: value for key, value in row.items() if value not in (None, "")} for row in machines]  # fmt: skip
    for key, value in (*tables.items(), *single.items()):
        table, _, last = key.rpartition(".")
        target = given[table] if table else given
        target[last] = dict(value) if isinstance(value, Mapping) else value
    return _shop(given)


def write_shop(shop: Shop) -> str:
    """The sheet of a shop, whole, in the form `read_shop` takes."""
    rates = shop.rates
    lines = [
        f"source = {_text(shop.source)}",
        f"name = {_text(shop.name)}",
        f"address = [{', '.join(map(_text, shop.address))}]",
        f"logo = {_text(base64.b64encode(shop.logo).decode('ascii'))}",
        f"valid_days = {shop.valid_days}",
        f"wanted_chance = {shop.wanted_chance!r}",
        f"process = {_text(shop.process)}",
        "",
    ]
    for machine in shop.machines:
        lines += ["[[machine]]", f"name = {_text(machine.name)}", f"kind = {_text(machine.kind)}"]
        sizes = {name: getattr(machine, name) for name in (*_SIZES, "top_speed_rpm")}
        lines += [f"{name} = {float(value)!r}" for name, value in sizes.items() if value is not None]  # fmt: skip
        lines.append("")
    lines += ["[rates]", f"currency = {_text(rates.currency)}"]
    lines += [f"{name} = {getattr(rates, name)!r}" for name in _SHARES]
    for name in ("hour", "kilogram", "piece", "outside"):
        lines.append(f"{name} = {_table(getattr(rates, name))}")
    lines += ["", "[minutes]", *_rows(shop.minutes)]
    for tool, rows in shop.cutting_m_min.items():
        lines += ["", f"[cutting_m_min.{_text(tool)}]", *_rows(rows)]
    return "\n".join([*lines, "", "[feed]", *_rows(shop.feed), ""])


def _text(value: str) -> str:
    """A basic TOML string; control signs escaped as JSON does."""
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def _rows(table: Mapping[str, float]) -> list[str]:
    return [f"{_text(name)} = {float(value)!r}" for name, value in table.items()]


def _table(table: Mapping[str, float]) -> str:
    return "{ " + ", ".join(_rows(table)) + " }"


def _defaults() -> dict[str, Any]:
    text = resources.files("kb.rules").joinpath("shop.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def _laid_over(base: dict[str, Any], given: Mapping[str, Any], key: str = "") -> dict[str, Any]:
    """The defaults with what the sheet says laid over them, table by table."""
    merged = dict(base)
    for name, value in given.items():
        spot = f"{key}.{name}" if key else name
        if isinstance(base.get(name), dict):
            if not isinstance(value, dict):
                raise InputError(spot, value, "write it as a table")
            merged[name] = _laid_over(base[name], value, spot)
        else:
            merged[name] = value
    return merged


def _shop(table: Mapping[str, Any]) -> Shop:
    return Shop(
        name=_line(table["name"], "name"),
        address=tuple(_line(one, "address") for one in _list(table["address"], "address")),
        logo=_logo(table.get("logo", "")),
        machines=tuple(
            _machine(one, n) for n, one in enumerate(_list(table["machine"], "machine"), 1)
        ),
        rates=_rates(table["rates"]),
        minutes=_figures(table["minutes"], "minutes", known=_defaults()["minutes"]),
        cutting_m_min={
            tool: _figures(rows, f"cutting_m_min.{tool}", known=STUFFS, least=1e-3)
            for tool, rows in _known(table, "cutting_m_min").items()
        },
        feed=_figures(table["feed"], "feed", known=_defaults()["feed"], least=1e-6),
        valid_days=int(_figure(table["valid_days"], "valid_days", least=1, most=3650)),
        wanted_chance=_figure(table["wanted_chance"], "wanted_chance", least=0.5, most=0.999),
        process=_one_of(table["process"], "process", (*processes(), "none")),
        source=_line(table["source"], "source"),
    )


def _known(table: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    """A table whose own names are those of the defaults."""
    rows: Mapping[str, Any] = table[name]
    refuse_unknown(rows, tuple(_defaults()[name]), key=name)
    return rows


def _rates(table: Mapping[str, Any]) -> Rates:
    usual = _defaults()["rates"]
    refuse_unknown(table, tuple(usual), key="rates")
    shares = {name: _figure(table[name], f"rates.{name}", most=10.0) for name in _SHARES}
    if not 0 < shares["best"] <= 1 <= shares["worst"]:
        raise InputError("rates.best", table["best"], "best is above 0 and at most 1, worst at least 1")  # fmt: skip
    return Rates(
        currency=_line(table["currency"], "rates.currency"), **shares,
        hour=_figures(table["hour"], "rates.hour", known=(*MACHINES, BENCH)),
        kilogram=_figures(table["kilogram"], "rates.kilogram", known=STUFFS),
        piece=_figures(table["piece"], "rates.piece", known=usual["piece"]),
        outside=_figures(table["outside"], "rates.outside", known=usual["outside"]),
    )  # fmt: skip


def _machine(table: object, number: int) -> Machine:
    key = f"machine {number}"
    if not isinstance(table, dict):
        raise InputError(key, table, "write each machine as a table, [[machine]]")
    refuse_unknown(table, ("name", "kind", *_SIZES, "top_speed_rpm"), key=key)
    kind = _one_of(table.get("kind", ""), f"{key}.kind", MACHINES)
    sizes = {name: _size(table[name], f"{key}.{name}") for name in _SIZES if name in table}
    speed = table.get("top_speed_rpm")
    return Machine(
        name=_line(table.get("name") or kind, f"{key}.name"), kind=kind, **sizes,
        top_speed_rpm=None if speed is None else _figure(speed, f"{key}.top_speed_rpm", least=1),
    )  # fmt: skip


def _size(given: object, key: str) -> float:
    read = read_length(given if isinstance(given, str) else str(given), key=key, units="mm")
    if not 0 < read.value < 1e5:
        raise InputError(key, given, "write a length above 0")
    return read.value


def _figures(
    table: object, key: str, *, known: Mapping[str, Any] | tuple[str, ...], least: float = 0.0
) -> dict[str, float]:
    if not isinstance(table, dict):
        raise InputError(key, table, "write it as a table")
    refuse_unknown(table, tuple(known), key=key)
    return {name: _figure(value, f"{key}.{name}", least=least) for name, value in table.items()}


def _figure(given: object, key: str, *, least: float = 0.0, most: float = 1e7) -> float:
    try:
        value = math.nan if isinstance(given, bool) else float(given)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        value = math.nan
    if not least <= value <= most:
        raise InputError(key, given, f"write a number from {least:g} to {most:g}")
    return value


def _list(given: object, key: str) -> list[Any]:
    if not isinstance(given, list):
        raise InputError(key, given, "write a list, [ ]")
    return given


def _line(given: object, key: str) -> str:
    if not isinstance(given, str) or len(given) > 200 or any(ord(char) < 32 for char in given):
        raise InputError(key, given, "write one line of text, at most 200 signs")
    return given


def _one_of(given: object, key: str, accepted: tuple[str, ...]) -> str:
    if given not in accepted:
        raise InputError(key, given, "write one of " + ", ".join(accepted))
    return str(given)


def _logo(given: object) -> bytes:
    try:
        picture = base64.b64decode(str(given), validate=True)
    except (binascii.Error, ValueError):
        raise InputError("logo", str(given)[:20], "a PNG picture in base 64") from None
    if picture and (not picture.startswith(_PNG) or len(picture) > MOST_LOGO):
        raise InputError("logo", f"{len(picture)} bytes", f"a PNG picture of at most {MOST_LOGO} bytes")  # fmt: skip
    return picture
