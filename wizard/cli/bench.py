"""`trialfit bench`: aids that turn raw readings into a dimension, each with what it asks."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from wizard.cli import show

FILES = ("table", "rounds", "at", "angles", "lengths", "stepped")  # may stand in a file as well
LARGEST = 1_000_000  # bytes


class Aids(click.Group):
    """A group with one command for every aid the desk declares."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names of the aids, in the order they are met."""
        from wizard.desk.bench import AIDS

        return list(AIDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The aid of that name."""
        from wizard.desk.bench import AIDS

        return _command(cmd_name) if cmd_name in AIDS else None


command = Aids(
    name="bench",
    help="Aids at the bench: from raw readings to a dimension with its ±, and the reading that is wrong.",
)  # fmt: skip


def _command(name: str) -> click.Command:
    from wizard.desk.bench import AIDS

    aid = AIDS[name]
    options: list[click.Parameter] = [
        click.Option(
            [f"--{one.name.replace('_', '-')}", one.name], default="", metavar=one.kind.upper(),
            required=one.required, help=_help(one),
        )
        for one in aid.fields
    ]  # fmt: skip
    options += [
        click.Option(["--units"], type=click.Choice(["mm", "in"]), default="mm", show_default=True,
                     help="Unit of bare figures."),
        click.Option(["--json", "as_json"], is_flag=True, help="As JSON, nothing else."),
    ]  # fmt: skip
    if aid.gives is not None:
        options += [
            click.Option(["--into"], nargs=2, default=None, metavar="UNIT KEY",
                         help="Put it into a unit, as “NAME” engine.drive.standoff."),
            click.Option(["--by"], default="", metavar="NAME", help="Whose hand."),
        ]  # fmt: skip
    example = " ".join(
        f'--{one.name.replace("_", "-")} "{one.example}"' for one in aid.fields if one.required
    )
    epilog = f"\b\nExample:\n  trialfit bench {name} {example or _first(aid)}"
    return click.Command(name, params=options, callback=_answer(name), help=aid.says, epilog=epilog)


def _first(aid: Any) -> str:
    one = next(one for one in aid.fields if one.name != "count")
    return f'--{one.name} "{one.example}"'


def _help(one: Any) -> str:
    said = [one.label[:1].upper() + one.label[1:] + "."]
    if one.says:
        said.append(one.says)
    if one.words:
        said.append("One of " + ", ".join(one.words) + ".")
    if one.kind == "flag":
        said.append("yes or no.")
    if one.columns:
        named = ", ".join(one.name + ("" if one.required else "?") for one in one.columns)
        said.append(f"Columns {named}; a file, or rows parted by “;”.")
    elif one.example:
        said.append(f"Such as {one.example}.")
    return " ".join(said)


def _answer(name: str) -> Callable[..., None]:
    @click.pass_context
    def answer(ctx: click.Context, /, **given: Any) -> None:
        from wizard.desk import bench

        unit, as_json = given.pop("units"), given.pop("as_json")
        into, by = given.pop("into", None), given.pop("by", "")
        kinds = {one.name: one.kind for one in bench.AIDS[name].fields}
        typed = {key: _text(key, text, kinds[key]) for key, text in given.items()}
        found = bench.run(name, typed, unit=unit)
        done = ""
        if into:
            from wizard.desk.place import open_store

            with open_store(ctx.obj) as store:
                ref = bench.into_unit(store, found, name=into[0], key=into[1], by=by)
            done = (
                f"Put into {ref.kind} “{ref.name}”, {into[1]}; it is now revision {ref.revision}."
            )
        if as_json:
            show.document(found.document)
        else:
            show.bench(found.says, found.document)
        if done:
            click.echo(done, err=as_json)

    return answer


def _text(key: str, text: str, kind: str) -> str:
    """The text itself, or that of the file it names."""
    from kb.errors import InputError

    if kind not in FILES or not text or any(mark in text for mark in ",;:\n") or len(text) > 400:
        return text
    path = Path(text)
    if not path.is_file():
        if kind in ("table", "rounds") and path.suffix:
            raise InputError(key, text, "no such file")
        return text
    if path.stat().st_size > LARGEST:
        raise InputError(key, text, f"a file of at most {LARGEST} bytes")
    try:
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(key, text, "it is not UTF-8 text; save it as CSV, UTF-8") from None
