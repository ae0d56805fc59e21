"""An answer on a screen, piece by piece: the same for a job on the table and for one that is kept."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from html import escape
from typing import Any

import streamlit as st

from kb import quantity
from wizard import words
from wizard.app import drawing, page, signs
from wizard.app.cutaway import cutaway
from wizard.app.solid_view import solid_view
from wizard.app.works import works
from wizard.papers.plan import VIEW, plan, ring_plan
from wizard.papers.section import section

Answer = Mapping[str, Any]
POUND = 0.45359237  # kg
_FIRST = ("thickness", "length", "height", "outside", "bore")
DECIDES, GAINS = 0.001, 0.01  # a reading that does less is not worth the walk to the bench
_KEY = re.compile(r"\b[a-z_]+(?:\.[a-z_]+(?:\[\w+\])?)+|\b[a-z]+(?:-[a-z]+)+\b")


def both(value: float, answer: Answer) -> str:
    """A length in both unit systems, the job's own first."""
    return quantity.both(value, first=answer["shop_units"])


def plainly(text: str) -> str:
    """A sentence of the answer, keys and names of checks in it put into the trade's words."""
    return _KEY.sub(
        lambda found: words.label(found[0]) if words.known(found[0]) else found[0], text
    )


def verdict(answer: Answer) -> None:
    """At most seven lines, with shape, word and colour."""
    st.html(signs.verdict(answer["verdict"], [plainly(line) for line in answer["verdict_lines"]]))


def ways_out(answer: Answer) -> None:
    """The ways out that were worked out, as they stood when the job was kept."""
    if remedies := answer.get("remedies"):
        says = (f"{one['says']} Then: {words.label(one['verdict'])}." for one in remedies)
        st.html(signs.folded("Ways out" + _many(len(remedies)), signs.bullets(says)))


# ── how they line up ────────────────────────────────────────────────────────


def lined_up(answer: Answer, which: str) -> None:
    """Both patterns over each other, to scale, with the figures of the turn used.

    Args:
        answer: The answer.
        which: ``"fixed"`` for the housing joint, ``"rotating"`` for what turns.
    """
    shapes = plan(answer) if which == "fixed" else ring_plan(answer)
    if not shapes:
        st.info("Nothing to lay over each other: the holes of this joint are not in the job.")
        return
    name = words.heading(f"lineup.{which}")
    picture, listed = st.columns([6, 5])
    with picture:
        st.plotly_chart(
            drawing.flat(shapes), config=drawing.QUIET, theme=None, key=f"plan.{which}",
            alt=f"{name}: both patterns to scale, seen from behind the engine",
        )  # fmt: skip
    with listed:
        st.html(signs.paragraph(VIEW, quiet=True) + signs.pairs(_line_up(answer, which)))


def _line_up(answer: Answer, which: str) -> list[tuple[str, str]]:
    found = answer.get("lineup", {}).get(which)
    if not found:
        return []
    if found.get("through"):
        return [("both circles", "the same: one long screw goes through both")]
    rows = [(words.label("clocking"), f"{found['clocking']:+.2f}°")] if which == "fixed" else []
    rows += [
        (words.label(key), both(found[key], answer))
        for key in ("wall", "dowel_wall", "required")
        if found.get(key) is not None
    ]
    if windows := found.get("windows"):
        rows.append(("turns that keep every wall", ", ".join(_window(lo, hi) for lo, hi in windows)))  # fmt: skip
    best = found.get("best") or {}
    if best.get("wall") is not None:
        rows.append(("greatest wall in reach", f"{both(best['wall'], answer)} at {best['clocking']:+.2f}°"))  # fmt: skip
    rows += [
        ("clash", f"engine {one['engine']} and gearbox {one['gearbox']} overlap by {both(-one['wall'], answer)}")
        for one in found.get("clashes", ())
    ]  # fmt: skip
    rows += [("shared", f"engine {one} and gearbox {two}") for one, two in found.get("shared", ())]
    rows += [("fewest to leave out", f"{one['side']} {one['id']}") for one in found.get("leave_out", ())]  # fmt: skip
    return rows


def _window(low: float, high: float) -> str:
    return f"{low:+.2f}°" if high - low < 0.005 else f"{low:+.2f}° to {high:+.2f}°"


# ── along the axis ──────────────────────────────────────────────────────────


def along_the_axis(answer: Answer) -> None:
    """The half section to scale, its parts and dimensions beside it."""
    shapes = section(answer)
    if not shapes:
        st.info("Nothing along the axis to draw: the chain is not in the job.")
        return
    seen = cutaway(shapes)
    picture, listed = st.columns([5, 6])
    with picture:
        st.plotly_chart(
            seen.figure, config=drawing.QUIET, theme=None, key="section",
            alt="half section along the crankshaft axis, to scale, engine on the left",
        )  # fmt: skip
    with listed:
        says = ["To scale; engine on the left, gearbox on the right, the axis at the bottom."]
        if not all(known for _, _, known in seen.parts):
            says.append("Dashed: drawn for orientation, a size of it is not in the job.")
        parts = " · ".join(f"{number} {name}" for number, name, _ in seen.parts)
        st.html(
            signs.paragraph(" ".join(says), quiet=True) + signs.keyed(seen.sizes)
            + signs.paragraph(parts, quiet=True)
        )  # fmt: skip
    rest = [
        (words.label(key), both(value, answer))
        for key, value in answer["axial"].items()
        if isinstance(value, float) and words.known(key) and key not in _NOT_LENGTHS
    ]
    st.html(signs.folded("Every figure along the axis", signs.pairs(rest)))


_NOT_LENGTHS = ("chance_any", "chance_these")


def what_works(answer: Answer, *, stock: Sequence[float] = ()) -> None:
    """Plate against spacer: what works, what binds it, or what contradicts."""
    axial = answer.get("axial", {})
    figure = works(axial, stock=stock, first=answer["shop_units"])
    if figure is not None:
        st.plotly_chart(
            figure, config=drawing.QUIET, theme=None, key="works",
            alt="what works: plate thickness across, spacer length up, the chosen point marked",
        )  # fmt: skip
    if conflict := axial.get("conflict"):
        says = (_contradicts(one, answer) for one in conflict)
        st.html(signs.subhead("What contradicts") + signs.bullets(says))
    elif figure is None:
        st.info("The chain is not closed here, so there is nothing to choose between.")
    if limits := axial.get("plate_limits"):
        rows = [
            (f"{says} plate", f"{both(limits[end], answer)}, held by: {words.label(limits[f'binds_{end}'])}")
            for end, says in (("least", "thinnest"), ("most", "thickest"))
        ]  # fmt: skip
        st.html(signs.pairs([*rows, ("why this one", axial.get("why_plate", ""))]))


def _contradicts(one: Mapping[str, Any], answer: Answer) -> str:
    says = f"{words.heading(one['check'])}: short by {both(one['short_by'], answer)}"
    cures = [
        f"{words.label(key)} {'+' if change > 0 else '−'}{both(abs(change), answer)}"
        for key, change in one.get("cures", {}).items()
    ]
    return says + (f". It would go with {' or '.join(cures)}." if cures else ".")


def chances(answer: Answer) -> None:
    """The chance that it will do, and what to read next."""
    axial = answer.get("axial", {})
    rows = [
        (words.label(key), f"{100 * axial[key]:.0f} % (± {100 * axial[f'{key}_error']:.1f})")
        for key in ("chance_any", "chance_these")
        if axial.get(key) is not None
    ]
    if rows:
        st.html(signs.pairs(rows))
    following = [row for row in axial.get("measure_next", ()) if _worth_it(row, axial)]
    if following:
        heads = ["measure next", "chance then", "decides"]
        lines = [
            (
                words.heading(row["dimension"]), f"{100 * row['chance_if_known']:.0f} %",
                f"{100 * row['decides']:+.1f} %",
            )
            for row in following
        ]  # fmt: skip
        st.html(signs.table(heads, lines))
    if missing := [key for key in answer.get("measure", ()) if words.known(key)]:
        st.html(signs.paragraph("Wanted first: " + "; ".join(words.label(key) for key in missing)))
    if not (following or missing):
        page.quiet(
            "Along the axis the readings in hand settle it: none read again would change it."
        )


def _worth_it(row: Mapping[str, Any], axial: Mapping[str, Any]) -> bool:
    """Whether reading that dimension again would change anything."""
    now = axial.get("chance_these", axial.get("chance_any", 1.0))
    return bool(row["decides"] >= DECIDES or row["chance_if_known"] - now >= GAINS)


# ── parts ───────────────────────────────────────────────────────────────────


def solids(answer: Answer) -> None:
    """The parts in three dimensions, worked out when they are asked for."""
    if not st.toggle("Show the parts in three dimensions", key="solids.on"):
        return
    apart = st.toggle("Drawn apart", key="solids.apart")
    figure = solid_view(answer, apart=apart)
    if figure is None:
        st.info("No part has all its sizes yet.")
        return
    st.plotly_chart(figure, config=drawing.QUIET, key="solids")
    page.quiet(
        "To scale; holes and registers as they are made. Turn it with the finger or the mouse."
    )


def parts(answer: Answer) -> None:
    """What is made, how it fits, and what holds it."""
    for part in answer.get("parts", ()):
        body = signs.subhead(words.heading(part["name"])) + signs.pairs(_part(part, answer))
        if part["holes"]:
            heads = ["mark", "for", "kind", "X", "Y", "diameter or thread", "depth", "seat"]
            rows = [_hole(hole, answer) for hole in part["holes"]]
            body += signs.folded(f"{len(rows)} holes", signs.table(heads, rows))
        st.html(body)
    if fits := answer.get("fits"):
        rows = [
            (
                one["joint"], one["class"], _limits(one["hole"], answer),
                _limits(one["shaft"], answer), _limits(one["play"], answer), one["source"],
            )
            for one in fits
        ]  # fmt: skip
        heads = ["joint", "class", "hole", "shaft", "play", "source"]
        st.html(signs.subhead("Fits") + signs.table(heads, rows))
    if joints := answer.get("joints"):
        heads = [
            "joint", "number", "thread", "grade", "length", "head", "tighten to", "under the head",
            "share of a pull on it", "source",
        ]  # fmt: skip
        rows = [_joint(one, answer) for one in joints]
        st.html(signs.subhead("Bolts") + signs.table(heads, rows))
    if both_ways := answer.get("compared"):
        ways = [
            (words.STYLES[name], words.style(row, first=answer["shop_units"]))
            for name, row in both_ways.items()
        ]
        st.html(signs.subhead("Two ways to make what turns") + signs.pairs(ways))


def _part(part: Mapping[str, Any], answer: Answer) -> list[tuple[str, str]]:
    rows = [("material", part["material"])]
    sizes = sorted(part["size"].items(), key=lambda size: _place(size[0]))
    rows += [(words.label(key), both(value, answer)) for key, value in sizes]
    if part.get("mass_kg") is not None:
        rows.append(("mass", f"{part['mass_kg']:.2f} kg ({part['mass_kg'] / POUND:.1f} lb)"))
    if part.get("quantity", 1) != 1:
        rows.append(("quantity", str(part["quantity"])))
    return rows + [("note", note) for note in part.get("notes", ())]


def _place(size: str) -> int:
    """Where a size stands in a list: the ones every part has first, the others as they come."""
    return _FIRST.index(size) if size in _FIRST else len(_FIRST)


def _hole(hole: Mapping[str, Any], answer: Answer) -> tuple[str, ...]:
    seat, sink = hole.get("counterbore"), hole.get("countersink")
    cut = f"⌀ {both(seat['diameter'], answer)}, {both(seat['depth'], answer)} deep" if seat else ""
    if sink:
        cut = f"⌀ {both(sink['diameter'], answer)} × {sink['angle']:g}°"
    size = hole["thread"] or f"⌀ {both(hole['diameter'], answer)}"
    return (
        hole["id"], words.label(hole["for"]), words.label(hole["kind"]), both(hole["x"], answer),
        both(hole["y"], answer), size,
        both(hole["depth"], answer) if hole["depth"] else "right through",
        cut,
    )  # fmt: skip


def _limits(pair: Sequence[float], answer: Answer) -> str:
    return quantity.limits(low=min(pair), high=max(pair), first=answer["shop_units"])


def _joint(one: Mapping[str, Any], answer: Answer) -> tuple[str, ...]:
    return (
        one["name"], str(one["count"]), one["thread"], one.get("grade", ""),
        both(one["length"], answer) if one.get("length") else "to suit", one.get("head", ""),
        quantity.torque(1000 * one["torque_nm"]) if one.get("torque_nm") else "not worked out",
        f"{one['head_mpa']:.0f} MPa" if one.get("head_mpa") else "",
        f"{one['load_share']:.0%}" if one.get("load_share") else "",
        one.get("source", ""),
    )  # fmt: skip


# ── checks ──────────────────────────────────────────────────────────────────


def checks(answer: Answer) -> None:
    """Every question asked of the design, worst first, each opening to its reasons."""
    rows, page_of = answer.get("checks", ()), ""
    for status in signs.STATUSES:
        found = sorted(
            (row for row in rows if row["status"] == status),
            key=lambda row: (row["id"] not in answer["because"], row.get("margin") or 0.0),
        )
        if found:
            body = "".join(_check(row, answer) for row in found)
            page_of += signs.folded(
                signs.badge(status) + _many(len(found)), body, opened=status == "fail"
            )
    if left := answer.get("not_run"):
        says = (
            f"{words.heading(row['check'])}: without {', '.join(words.label(key) for key in row['lacks'])}"
            for row in left
        )
        page_of += signs.folded("Not asked here" + _many(len(left)), signs.bullets(says))
    st.html(page_of)


def _many(count: int | str) -> str:
    return f' <span class="nb-margin">{count}</span>'


def _check(row: Mapping[str, Any], answer: Answer) -> str:
    sign = signs.drawn(signs.STATUSES[row["status"]])
    head = f"{sign}{escape(words.heading(row['id']))}"
    rows = [("settled by", words.label(row["due"]))]
    if row.get("margin") is not None:
        rows.append(("margin", _margin(row, answer)))
    if row.get("chance") is not None:
        rows.append(("chance that it passes", f"{100 * row['chance']:.0f} %"))
    if row["because"]:
        rest = "lacks" if row["status"] == "unknown" else "rests on"
        rows.append((rest, "; ".join(words.label(key) for key in row["because"])))
    rows.append(("limit from", row.get("source") or "common practice, no source"))
    return signs.folded(head, signs.paragraph(plainly(row["says"])) + signs.pairs(rows))


def _margin(row: Mapping[str, Any], answer: Answer) -> str:
    if row.get("unit") == "mm":
        return both(row["margin"], answer)
    return f"{row['margin']:.3g} {row.get('unit', '')}".strip()


def settle(answer: Answer) -> None:
    """What is still to be settled, and by when; the shop's own questions with it."""
    body = ""
    for stage, rows in answer.get("settle", {}).items():
        if rows:
            says = (f"{words.heading(row['id'])}: {plainly(row['says'])}" for row in rows)
            body += signs.subhead(f"Still to settle {words.label(stage)}") + signs.bullets(says)
    asked = answer.get("questions", ())
    if still := [row["asks"] for row in asked if not row["answer"]]:
        head = "Questions for the shop" + _many(f"{len(still)} open")
        body += signs.folded(head, signs.bullets(still))
    if done := [(row["asks"], row["answer"]) for row in asked if row["answer"]]:
        body += signs.folded("Questions answered" + _many(len(done)), signs.pairs(done))
    if body:
        st.html(body)


def grounds(answer: Answer) -> None:
    """What it all rests on: what was taken for granted, every dimension, the cautions."""
    taken = [
        (words.heading(row["key"]), words.label(row["value"]), row["why"])
        for row in answer.get("assumed", ())
    ]
    used = [
        (
            words.heading(row["key"]),
            quantity.both(row["value"], within=(row["high"] - row["low"]) / 2, first=row["unit"]),
            words.label(row["source"]), row.get("how", ""),
        )
        for row in answer.get("lengths", ())
    ]  # fmt: skip
    body = ""
    if taken:
        table = signs.table(["what", "taken as", "why"], taken)
        body += signs.folded("What was taken for granted" + _many(len(taken)), table)
    if used:
        table = signs.table(["what", "figure", "from", "how"], used)
        body += signs.folded("Every dimension used" + _many(len(used)), table)
    st.html(body + signs.folded("Cautions", signs.bullets(answer.get("cautions", ()))))
