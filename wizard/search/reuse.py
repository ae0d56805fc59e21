"""An earlier design for a new job: as it is, with a listed change, or for one side only.

Both are answers, so that what is compared is what was agreed. Two readings agree when they differ
by no more than their combined uncertainty; how far they differ is given in its standard deviations.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from wizard.engine.axial.region import lengths_at

Answer = Mapping[str, Any]
HOWS = ("as it is", "with changes", "one side")
SLACK = 0.5  # mm: two holes nearer than this are one, by hand and calliper
AGREES = 1.96  # standard deviations
ROUND = 1e-6
PATTERNS = ("engine", "gearbox", "driving", "driven")


@dataclass(frozen=True, kw_only=True)
class Differs:
    """A dimension that is not the same: then and now [mm], and by how many standard deviations."""

    key: str
    then: float
    now: float
    z: float


@dataclass(frozen=True, kw_only=True)
class Reuse:
    """How an earlier design serves a new job.

    Attributes:
        how: Of `HOWS`. stays: Parts that can be used as they were made.
        changes: What has to be made otherwise, in words with sizes [mm].
        same: Hole patterns that agree. differs: Dimensions beyond their combined uncertainty.
    """

    how: str
    stays: tuple[str, ...]
    changes: tuple[str, ...]
    same: tuple[str, ...]
    differs: tuple[Differs, ...]


def compare(now: Answer, then: Answer) -> Reuse | None:
    """How an earlier answer serves a new one; ``None`` where not even one side is the same."""
    same = tuple(name for name in PATTERNS if _alike(now, then, name))
    differs = tuple(_differing(now, then))
    if "engine" not in same and "gearbox" not in same and not {"driving", "driven"} <= set(same):
        return None
    stays, changes = _parts(now, then, same, differs)
    if not changes and {"engine", "gearbox"} <= set(same):
        how = "as it is"
    elif stays:
        how = "with changes"
    else:
        how = "one side"
    return Reuse(how=how, stays=stays, changes=changes, same=same, differs=differs)


def rank(one: Reuse) -> tuple[int, int, float]:
    """The more of it can be used, the lower."""
    return (HOWS.index(one.how), len(one.changes), sum(min(d.z, 1e3) ** 2 for d in one.differs))


def _alike(now: Answer, then: Answer, name: str) -> bool:
    """The same holes at the same places, threads and all; both absent says nothing."""
    here, there = ((answer.get("patterns") or {}).get(name) or () for answer in (now, then))
    return bool(here) and len(here) == len(there) and all(_has(there, hole) for hole in here)


def _has(pattern: Sequence[Mapping[str, Any]], hole: Mapping[str, Any]) -> bool:
    return any(
        math.dist((hole["x"], hole["y"]), (one["x"], one["y"])) <= SLACK
        and (hole.get("thread") or "") == (one.get("thread") or "")
        for one in pattern
    )


def _differing(now: Answer, then: Answer) -> list[Differs]:
    earlier = {row["key"]: row for row in then.get("lengths") or ()}
    found = []
    for row in now.get("lengths") or ():
        before = earlier.get(row["key"])
        if before is None or row["key"].startswith("choices."):
            continue
        sigma = math.hypot(*((one["high"] - one["low"]) / 4 for one in (row, before)))
        off = abs(row["value"] - before["value"])
        z = off / sigma if sigma > 0 else (0.0 if off < ROUND else math.inf)
        if z > AGREES and off > ROUND:
            found.append(Differs(key=row["key"], then=before["value"], now=row["value"], z=min(z, 1e6)))  # fmt: skip
    return sorted(found, key=lambda one: -one.z)


def _parts(
    now: Answer, then: Answer, same: Sequence[str], differs: Sequence[Differs]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What stays and what changes: the plate by both faces, the rotating adapter by both drives."""
    axial, before = now.get("axial") or {}, then.get("axial") or {}
    plate, spacer = before.get("plate"), before.get("spacer")
    stays: list[str] = []
    changes = [*_harder(now, then)]
    if "engine" in same and "gearbox" in same and plate is not None:
        low, high = _band(axial)
        if low - ROUND <= plate <= high + ROUND:
            stays.append("adapter plate")
        else:
            changes.append(f"plate {axial.get('plate', 0):.2f} mm thick, not {plate:.2f}")
    else:
        missing = [name for name in ("engine", "gearbox") if name not in same]
        changes.append(f"plate made anew: {' and '.join(missing)} face differs" if missing else "plate made anew")  # fmt: skip
    turning = _turning(now, then, same, differs)
    if turning:
        changes.append(turning)
    elif spacer is not None and plate is not None:
        beside = plate if "adapter plate" in stays else axial.get("plate")
        corners = [(x, y) for x, y in axial.get("region") or ()]
        wanted = lengths_at(corners, beside) if corners and beside is not None else None
        if wanted and wanted[0] - ROUND <= spacer <= wanted[1] + ROUND:
            stays.append("rotating adapter")
        else:
            changes.append(f"rotating adapter {axial.get('spacer', 0):.2f} mm long, not {spacer:.2f}")  # fmt: skip
    return tuple(stays), tuple(changes)


def _harder(now: Answer, then: Answer) -> list[str]:
    """Where the new job asks more of it than the earlier one did, or one of them does not say."""
    found = []
    for key, what, unit in (("peak_torque_nm", "torque", "N·m"), ("max_speed_rpm", "speed", "rpm")):
        asked, stood = ((answer.get("engine") or {}).get(key) for answer in (now, then))
        if asked is None and stood is None:
            found.append(f"{what} is not known of either job: strength to be worked out")
        elif asked is None or stood is None:
            found.append(f"{what} is known of one job only: strength to be worked out")
        elif asked > stood * (1 + ROUND):
            found.append(f"{what} {asked:.0f} {unit}, not {stood:.0f}: strength to be worked out again")  # fmt: skip
    return found


def _turning(now: Answer, then: Answer, same: Sequence[str], differs: Sequence[Differs]) -> str:
    """Why the rotating adapter cannot be the same one; empty where it can, or where there is none."""
    drives = ("driving", "driven")
    if not any((answer.get("patterns") or {}).get(name) for answer in (now, then) for name in drives):  # fmt: skip
        return ""
    missing = [name for name in drives if name not in same]
    if missing:
        return f"rotating adapter made anew: {' and '.join(missing)} holes differ"
    fits = [one.key for one in differs if _locates(one.key)]
    if fits:
        return f"registers turned anew: {', '.join(fits)}"
    here, there = ({row["key"] for row in answer.get("lengths") or () if _locates(row["key"])} for answer in (now, then))  # fmt: skip
    unknown = sorted(here ^ there)
    return f"known of one job only, to be compared on the parts: {', '.join(unknown)}" if unknown else ""  # fmt: skip


def _locates(key: str) -> bool:
    """Whether a dimension locates or carries what turns."""
    return any(word in key for word in ("register.", "hub.diameter", ".pilot.", "pilot.bore"))


def _band(axial: Answer) -> tuple[float, float]:
    """Thicknesses that work now [mm]."""
    limits = axial.get("plate_limits") or {}
    plate = axial.get("plate")
    if limits.get("least") is not None and limits.get("most") is not None:
        return limits["least"], limits["most"]
    return (plate, plate) if plate is not None else (math.inf, -math.inf)
