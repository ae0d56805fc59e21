"""Fitting: what is tried dry, in which order it goes together, how tight, and what is checked after."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

Row = Mapping[str, Any]
STAGES = (0.3, 0.7, 1.0)  # of the full torque, crosswise (common practice, no source)
SWEEPS = {"housing bore": "register-tir.housing", "driven register": "register-tir.drive"}
RETORQUE = "after the first heat cycle, and again after about 10 hours' running (common practice, no source)"
RUN_UP = (0.25, 0.5, 0.75)  # of the highest speed, each held and listened to (common practice)
_GAPS = (
    "gap", "nose_engagement", "nose_seated", "nose_bottom", "tip_engagement", "tip_bottom",
    "tip_shoulder", "release_gap", "spline_overlap", "pinion_overlap", "pinion_rest_gap",
)  # fmt: skip
# the check that judges each quantity by what it is at least
_CHECKED = {
    "nose_engagement": "nose-engagement", "nose_bottom": "nose-bottoming",
    "tip_engagement": "tip-engagement", "tip_bottom": "tip-bottoming", "tip_shoulder": "tip-shoulder",
    "spline_overlap": "spline-overlap", "pinion_overlap": "pinion-overlap",
}  # fmt: skip


def fitting(answer: Row, *, limits: Mapping[str, float]) -> dict[str, Any]:
    """The fitting of one job [mm, N·m, rpm].

    Args:
        answer: The answer document. limits: Of the rule set it was judged by, by name.

    Returns:
        ``gaps``: quantities along the axis to be met, with their spread; ``fits``: registers tried
        dry with the play they may have; ``joints``: torques by stages; ``speeds``: run-up steps;
        ``sweeps``: the most runout each surface may have once it is fitted, TIR.
    """
    return {
        "gaps": list(_gaps(answer, limits)), "fits": list(_fits(answer)), "joints": list(_joints(answer)),
        "between": list(_between(answer)), "speeds": _speeds(answer), "retorque": RETORQUE,
        "sweeps": {what: limits[name] for what, name in SWEEPS.items() if name in limits},
    }  # fmt: skip


def _gaps(answer: Row, limits: Mapping[str, float]) -> Iterator[dict[str, Any]]:
    axial = answer.get("axial") or {}
    uncertain = axial.get("uncertain") or {}
    for name in _GAPS:
        if (value := axial.get(name)) is not None:
            within = uncertain.get(name)
            band = _band(answer, name, limits)
            least = None if band else _least(answer, name, float(value))
            yield {"name": name, "value": value, "within": within, "band": band, "least": least}


def _band(answer: Row, name: str, limits: Mapping[str, float]) -> list[float] | None:
    """The band wanted, where the job or the rule set says one."""
    if name == "pinion_rest_gap" and "pinion-rest-gap.low" in limits:
        return [limits["pinion-rest-gap.low"], limits["pinion-rest-gap.high"]]
    keys = {"gap": "gearbox.converter.gap", "release_gap": "clutch.release_gap"}
    ends = [next((row["value"] for row in answer.get("lengths", ()) if row["key"] == f"{keys.get(name)}.{end}"), None) for end in ("low", "high")]  # fmt: skip
    return None if None in ends else [float(str(end)) for end in ends]


def _least(answer: Row, name: str, value: float) -> float | None:
    """What the check of this quantity asks at least: its value less the margin it passed by [mm]."""
    if name == "nose_seated":
        return 0.0  # the nose is guided while the converter is still home
    asked: Row = next(
        (one for one in answer.get("checks", ()) if one["id"] == _CHECKED.get(name)), {}
    )
    if asked.get("margin") is None or asked.get("unit") != "mm":
        return None
    return max(float(value - asked["margin"]), 0.0)


def _fits(answer: Row) -> Iterator[dict[str, Any]]:
    for fit in answer.get("fits", ()):
        yield {
            "joint": fit["joint"], "class": fit["class"], "play": list(fit["play"]),
            "tight": fit["play"][0] < 0, "press_n": fit.get("press_n"), "warm_k": fit.get("warm_k"),
        }  # fmt: skip


def _joints(answer: Row) -> Iterator[dict[str, Any]]:
    for joint in answer.get("joints", ()):
        torque = joint.get("torque_nm")
        yield {
            "joint": joint["name"], "count": joint["count"], "thread": joint["thread"], "grade": joint.get("grade", ""),
            "stages": [round(torque * share, 1) for share in STAGES] if torque else [],
            "source": joint.get("source", ""),
        }  # fmt: skip


def _between(answer: Row) -> Iterator[dict[str, Any]]:
    """What goes between adapter and gearbox, with the figures it is fitted by [mm]."""
    known = {row["key"]: row["value"] for row in answer.get("lengths", ())}
    axial = answer.get("axial") or {}
    if answer.get("kind") == "converter":
        yield {"what": "flexplate", "offset": known.get("flexplate.offset")}
        yield {
            "what": "converter", "seat_depth": known.get("gearbox.converter.seat_depth"),
            "gap": axial.get("gap"),
        }  # fmt: skip
    elif answer.get("kind") == "shaft":
        yield {"what": "flywheel", "height": known.get("flywheel.height")}
        yield {"what": "clutch", "fingers": known.get("clutch.fingers"), "gap": axial.get("release_gap")}  # fmt: skip
    elif answer.get("kind") == "flange":
        yield {"what": "driven flange", "position": known.get("gearbox.driven.position")}


def _speeds(answer: Row) -> list[float]:
    top = (answer.get("engine") or {}).get("max_speed_rpm")
    return [round(float(top) * share, -1) for share in RUN_UP] if top else []
