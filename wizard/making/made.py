"""Everything the bench needs of one answer, as it goes into the record."""

from __future__ import annotations

import base64
from collections.abc import Mapping
from typing import Any

from kb.model.shop import Shop
from wizard.making import buying, fitting, holding, layout, order, points, quote, route

Answer = Mapping[str, Any]


def made(answer: Answer, *, limits: Mapping[str, float], shop: Shop) -> dict[str, Any]:
    """The bench's part of a record, from its answer, its rule set and the shop [mm, °, kg, N·m].

    Args:
        answer: The answer document. limits: Of the rule set it was judged by, by name.
        shop: Machines, rates and times; its name and picture go on the papers.
    """
    bought, measured = buying.buying(answer), points.points(answer)
    settings = route.route(answer, shop)
    return {
        "layout": layout.layout(answer),
        "points": measured,
        "fitting": fitting.fitting(answer, limits=limits),
        "buying": bought,
        "route": route.gauged(settings, measured),
        "order": order.order(answer, settings, shop),
        "follow": order.follow(answer),
        "quote": quote.quote(answer, route=settings, buying=bought, points=measured, shop=shop),
        "tooling": {
            part["name"]: holding.tooling(part)
            for part in answer.get("parts", ())
            if part["name"].endswith("plate") and part.get("outline")
        },
        "shop": {
            "name": shop.name, "address": list(shop.address), "process": shop.process,
            "logo": base64.b64encode(shop.logo).decode("ascii"),
        },
    }  # fmt: skip
