"""A worked-out design, and the record that is kept of it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from kb.model.chain import Assumption, Chain, Length
from kb.model.check import Check, Remedy, Verdict
from kb.model.lineup import LineUp, Pattern
from kb.model.parts import Adapter
from kb.model.request import Request, Settled
from kb.model.shop import RuleSet


@dataclass(frozen=True, kw_only=True)
class Sides:
    """Two faces and two drives, normalised: frame P, one value for each dimension.

    Attributes:
        kind: What turns on the gearbox's side: ``converter``, ``shaft``, ``flange`` or ``""``.
        lengths: Every dimension of the sheet by key [mm].
        driving, driven: Hole patterns that meet the two faces of the rotating adapter.
        driven_part: What ``driven`` belongs to: flexplate, flywheel, converter, driven flange.
        through: Driving and driven circles are the same and take one long screw.
        lacks: What each pattern lacks to be lined up, by pattern.
        best_within: ± of the best instrument in the shop [mm].
    """

    request: Request
    chosen: Settled
    kind: str
    rules: RuleSet
    lengths: Mapping[str, Length]
    engine_face: Pattern | None
    gearbox_face: Pattern | None
    driving: Pattern | None
    driven: Pattern | None
    driven_part: str
    through: bool
    lacks: Mapping[str, tuple[str, ...]]
    assumed: tuple[Assumption, ...]
    best_within: float

    @property
    def whole(self) -> bool:
        """Both units with faces and drives: a job to be judged whole, not a part of one."""
        return bool(self.engine_face and self.gearbox_face and self.kind and self.driving)

    def value(self, key: str) -> float | None:
        """Nominal value of a dimension [mm], or ``None`` when the sheet does not have it."""
        found = self.lengths.get(key)
        return None if found is None else found.value


@dataclass(frozen=True, kw_only=True)
class Design:
    """Everything worked out for one request; complete, never filled in later."""

    sides: Sides
    fixed: LineUp | None
    rotating: LineUp | None
    chain: Chain | None
    adapter: Adapter
    checks: tuple[Check, ...]
    not_run: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, kw_only=True)
class Advice:
    """A design with its verdict and the ways out that were run again."""

    design: Design
    remedies: tuple[Remedy, ...]
    verdict: Verdict


@dataclass(frozen=True, kw_only=True)
class Record:
    """A kept design: a frozen document and what identifies it.

    ``document`` is the canonical text; ``digest`` its SHA-256. Papers are made from it alone.
    """

    number: int
    issue: str
    state: str
    title: str
    made_on: str
    made_by: str
    document: str
    digest: str

    @property
    def content(self) -> Mapping[str, Any]:
        """The document as nested tables: ``sheet`` (text), ``answer``, ``rules``, ``program``."""
        content: Mapping[str, Any] = json.loads(self.document)
        return content

    @property
    def answer(self) -> Mapping[str, Any]:
        """The answer that was agreed."""
        answer: Mapping[str, Any] = self.content["answer"]
        return answer


ENTRIES = ("state", "built", "note", "change", "spent", "file")


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One line written to a kept design after it was kept; never changed, never taken out.

    Attributes:
        kind: ``state``; ``built``, a figure measured on the finished part; ``note``; ``change``
            made at fitting; ``spent``, hours or money; ``file``.
        key: The inspection point, what the time went into, or the SHA-256 of a file.
        text: What was written: the state, the reading as typed, the note, the file's name.
        figure: The reading [mm], or how much was spent.
        by: Whose hand. on: When.
    """

    kind: str
    key: str
    text: str
    figure: float | None
    by: str
    on: datetime


def canonical(content: Mapping[str, Any]) -> str:
    """The one text of a document: keys sorted, no spaces, figures as Python prints them."""
    return json.dumps(
        content, sort_keys=True, ensure_ascii=False, separators=(",", ":"), allow_nan=False
    )


def digest(document: str) -> str:
    """SHA-256 of a canonical document, in hexadecimal."""
    return hashlib.sha256(document.encode("utf-8")).hexdigest()
