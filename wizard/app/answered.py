"""An answer on a screen, piece by piece: the same for a job on the table and for one that is kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from typing import Any

import streamlit as st

from kb import quantity
from wizard import words
from wizard.app import drawing, page, signs
from wizard.app.cutaway import cutaway
from wizard.app.works import works
from wizard.papers.plan import VIEW, plan, ring_plan
from wizard.papers.section import section

Answer = Mapping[str, Any]
POUND = 0.45359237  # kg


def both(value: float, answer: Answer) -> str:
    """A length in both unit systems, the job's own first."""
    return quantity.both(value, first=answer["shop_units"])


def verdict(answer: Answer) -> None:
    """At most seven lines, with shape, word and colour."""
    st.html(signs.verdict(answer["verdict"], answer["verdict_lines"]))


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
    page.quiet(VIEW)
    name = words.heading(f"lineup.{which}")
    st.plotly_chart(
        drawing.flat(shapes), config=drawing.QUIET, theme=None, key=f"plan.{which}",
        alt=f"{name}: both patterns to scale, seen from behind the engine",
    )  # fmt: skip
    st.html(signs.pairs(_line_up(answer, which)))


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
        rows.append(("turns that keep every wall", ", ".join(f"{lo:+.2f}° to {hi:+.2f}°" for lo, hi in windows)))  # fmt: skip
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
        page.quiet("To scale; engine on the left, gearbox on the right, the axis at the bottom.")
        sizes = [(f"{letter}  {says}", figure) for letter, says, figure in seen.sizes]
        st.html(signs.pairs(sizes))
        parts = " · ".join(f"{number} {name}" for number, name, _ in seen.parts)
        page.quiet(parts)
        if not all(known for _, _, known in seen.parts):
            page.quiet("Dashed: drawn for orientation, a size of it is not in the job.")
    rest = [
        (words.label(key), both(value, answer))
        for key, value in answer["axial"].items()
        if isinstance(value, float) and words.known(key) and key not in _NOT_LENGTHS
    ]
    st.html(signs.folded("Every figure along the axis", signs.pairs(rest)))


_NOT_LENGTHS = ("chance_any", "chance_these")


def what_works(answer: Answer, *, stock: Sequence[float]) -> None:
    """Plate against spacer: what works, what binds it, or what contradicts."""
    axial = answer.get("axial", {})
    figure = works(axial, stock=stock, first=answer["shop_units"])
    if figure is not None:
        st.plotly_chart(
            figure, config=drawing.QUIET, theme=None, key="works",
            alt="what works: plate thickness across, spacer length up, the chosen point marked",
        )  # fmt: skip
    if limits := axial.get("plate_limits"):
        rows = [
            (f"{says} plate", f"{both(limits[end], answer)}, held by: {words.label(limits[f'binds_{end}'])}")
            for end, says in (("least", "thinnest"), ("most", "thickest"))
        ]  # fmt: skip
        st.html(signs.pairs([*rows, ("why this one", axial.get("why_plate", ""))]))
    if conflict := axial.get("conflict"):
        st.html("<strong>What contradicts</strong>")
        st.html(signs.bullets(_contradicts(one, answer) for one in conflict))
    elif figure is None:
        st.info("The chain is not closed here, so there is nothing to choose between.")


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
    if following := axial.get("measure_next"):
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
    if not (rows or following or missing):
        st.info("No reading would change this answer.")


# ── parts ───────────────────────────────────────────────────────────────────


def parts(answer: Answer) -> None:
    """What is made, how it fits, and what holds it."""
    for part in answer.get("parts", ()):
        st.html(f"<strong>{escape(words.heading(part['name']))}</strong>")
        st.html(signs.pairs(_part(part, answer)))
        if part["holes"]:
            heads = ["mark", "for", "kind", "X", "Y", "diameter or thread", "depth", "seat"]
            rows = [_hole(hole, answer) for hole in part["holes"]]
            st.html(signs.folded(f"{len(rows)} holes", signs.table(heads, rows)))
    if fits := answer.get("fits"):
        st.html("<strong>Fits</strong>")
        rows = [
            (
                one["joint"], one["class"], _limits(one["hole"], answer),
                _limits(one["shaft"], answer), _limits(one["play"], answer), one["source"],
            )
            for one in fits
        ]  # fmt: skip
        st.html(signs.table(["joint", "class", "hole", "shaft", "play", "source"], rows))
    if joints := answer.get("joints"):
        st.html("<strong>Bolts</strong>")
        heads = ["joint", "number", "thread", "grade", "length", "head", "tighten to", "source"]
        st.html(signs.table(heads, [_joint(one, answer) for one in joints]))


def _part(part: Mapping[str, Any], answer: Answer) -> list[tuple[str, str]]:
    rows = [("material", part["material"])]
    rows += [(words.label(key), both(value, answer)) for key, value in part["size"].items()]
    if part.get("mass_kg") is not None:
        rows.append(("mass", f"{part['mass_kg']:.2f} kg ({part['mass_kg'] / POUND:.1f} lb)"))
    if part.get("quantity", 1) != 1:
        rows.append(("quantity", str(part["quantity"])))
    return rows + [("note", note) for note in part.get("notes", ())]


def _hole(hole: Mapping[str, Any], answer: Answer) -> tuple[str, ...]:
    seat = hole.get("counterbore")
    size = hole["thread"] or f"⌀ {both(hole['diameter'], answer)}"
    return (
        hole["id"], words.label(hole["for"]), words.label(hole["kind"]), both(hole["x"], answer),
        both(hole["y"], answer), size,
        both(hole["depth"], answer) if hole["depth"] else "right through",
        f"⌀ {both(seat['diameter'], answer)}, {both(seat['depth'], answer)} deep" if seat else "",
    )  # fmt: skip


def _limits(pair: Sequence[float], answer: Answer) -> str:
    return quantity.limits(low=min(pair), high=max(pair), first=answer["shop_units"])


def _joint(one: Mapping[str, Any], answer: Answer) -> tuple[str, ...]:
    return (
        one["name"], str(one["count"]), one["thread"], one.get("grade", ""),
        both(one["length"], answer) if one.get("length") else "to suit", one.get("head", ""),
        quantity.torque(1000 * one["torque_nm"]) if one.get("torque_nm") else "not worked out",
        one.get("source", ""),
    )  # fmt: skip


# ── checks ──────────────────────────────────────────────────────────────────


def checks(answer: Answer) -> None:
    """Every question asked of the design, worst first, each opening to its reasons."""
    rows = answer.get("checks", ())
    for status in signs.STATUSES:
        found = sorted(
            (row for row in rows if row["status"] == status),
            key=lambda row: (row["id"] not in answer["because"], row.get("margin") or 0.0),
        )
        if not found:
            continue
        body = "".join(_check(row, answer) for row in found)
        head = f"{signs.badge(status)} <span class='nb-margin'>{len(found)}</span>"
        st.html(signs.folded(head, body, opened=status == "fail"))
    if left := answer.get("not_run"):
        says = (
            f"{words.heading(row['check'])}: {', '.join(words.label(key) for key in row['lacks'])} "
            "not in the job"
            for row in left
        )
        head = f"Not asked here <span class='nb-margin'>{len(left)}</span>"
        st.html(signs.folded(head, signs.bullets(says)))


def _check(row: Mapping[str, Any], answer: Answer) -> str:
    sign = signs.drawn(signs.STATUSES[row["status"]], size=11)
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
    return signs.folded(head, signs.paragraph(row["says"]) + signs.pairs(rows))


def _margin(row: Mapping[str, Any], answer: Answer) -> str:
    if row.get("unit") == "mm":
        return both(row["margin"], answer)
    return f"{row['margin']:.3g} {row.get('unit', '')}".strip()


def settle(answer: Answer) -> None:
    """What is still to be settled, and by when; the shop's own questions with it."""
    for stage, rows in answer.get("settle", {}).items():
        if rows:
            st.html(f"<strong>Still to settle {escape(words.label(stage))}</strong>")
            st.html(signs.bullets(f"{words.heading(row['id'])}: {row['says']}" for row in rows))
    if asked := answer.get("questions"):
        open_ones = [row["asks"] for row in asked if not row["answer"]]
        answered = [(row["asks"], row["answer"]) for row in asked if row["answer"]]
        if open_ones:
            head = f"Questions for the shop <span class='nb-margin'>{len(open_ones)} open</span>"
            st.html(signs.folded(head, signs.bullets(open_ones)))
        if answered:
            st.html(signs.folded("Questions answered", signs.pairs(answered)))


def assumed(answer: Answer) -> None:
    """What the job left open, and what was taken for it."""
    rows = [
        (words.heading(row["key"]), words.label(row["value"]), row["why"])
        for row in answer.get("assumed", ())
    ]
    if rows:
        head = f"What was taken for granted <span class='nb-margin'>{len(rows)}</span>"
        st.html(signs.folded(head, signs.table(["what", "taken as", "why"], rows)))
    lengths = [
        (
            words.heading(row["key"]),
            quantity.both(row["value"], within=(row["high"] - row["low"]) / 2, first=row["unit"]),
            words.label(row["source"]), row.get("how", ""),
        )
        for row in answer.get("lengths", ())
    ]  # fmt: skip
    if lengths:
        head = f"Every dimension used <span class='nb-margin'>{len(lengths)}</span>"
        st.html(signs.folded(head, signs.table(["what", "figure", "from", "how"], lengths)))


def cautions(answer: Answer) -> None:
    """What no arithmetic can answer for."""
    st.html(signs.folded("Cautions", signs.bullets(answer.get("cautions", ()))))
