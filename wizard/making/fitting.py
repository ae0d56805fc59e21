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
    "tip_shoulder", "release_gap", "spline_overlap", "pinion_overlap", "pinion_rest",
)  # fmt: skip


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
        "gaps": list(_gaps(answer)), "fits": list(_fits(answer)), "joints": list(_joints(answer)),
        "speeds": _speeds(answer), "retorque": RETORQUE,
        "sweeps": {what: limits[name] for what, name in SWEEPS.items() if name in limits},
    }  # fmt: skip


def _gaps(answer: Row) -> Iterator[dict[str, Any]]:
    axial = answer.get("axial") or {}
    uncertain = axial.get("uncertain") or {}
    for name in _GAPS:
        if (value := axial.get(name)) is not None:
            within = uncertain.get(name)
            yield {"name": name, "value": value, "within": within, "band": _band(answer, name)}


def _band(answer: Row, name: str) -> list[float] | None:
    """The band wanted, where the job says one."""
    keys = {"gap": "gearbox.converter.gap", "release_gap": "clutch.release_gap"}
    ends = [next((row["value"] for row in answer.get("lengths", ()) if row["key"] == f"{keys.get(name)}.{end}"), None) for end in ("low", "high")]  # fmt: skip
    return None if None in ends else [float(str(end)) for end in ends]


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


def _speeds(answer: Row) -> list[float]:
    top = (answer.get("engine") or {}).get("max_speed_rpm")
    return [round(float(top) * share, -1) for share in RUN_UP] if top else []
