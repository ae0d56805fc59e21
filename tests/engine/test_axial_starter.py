"""Rigid flange, tail and starter against their equations, written out afresh, at random numbers.

The equations are sums of distances along one axis and overlaps of two spans on it (closed form).
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.engine.spans import (
    PACKING,
    POSITION,
    D,
    F,
    Job,
    Z,
    close,
    flange_at,
    job_of,
    overlap,
    solved,
)

SEEDS = range(12)
PLATE, SPACER = "choices.plate", "choices.spacer"
AUTO: Job = {Z: 6.35, D: 28.58, F: 8.0, PLATE: 19.05, "gearbox.converter.gap": [3.2, 4.8]}


# ── rigid flange and tail ───────────────────────────────────────────────────


@pytest.mark.parametrize("seed", SEEDS)
def test_rigid_flange(seed: int) -> None:
    """z_d + L = (t + g) + N, in the middle of what is allowed."""
    draw = np.random.default_rng(seed)
    x = flange_at(draw)
    t, length = draw.uniform(8, 25), draw.uniform(0, 40)
    between = t + x[PACKING]
    found = solved(job_of("flange", x) | {PLATE: t, SPACER: length})
    close(
        found,
        {
            "flange_offset": x[Z] + length - between - x[POSITION],
            "contact": between + x[POSITION],
            "driven_face": x[Z] + length,
        },
    )
    closed = solved(job_of("flange", x) | {PLATE: t})
    assert closed.spacer == pytest.approx(between + x[POSITION] - x[Z] + 0.1, abs=1e-5)


def test_a_rigid_flange_allowed_nothing_said_gets_a_quarter_of_a_millimetre() -> None:
    found = solved({Z: 4, POSITION: 10, PLATE: 12, "choices.rules": "automatic road car"})
    band = next(row for row in found.requirements if row.check == "flange-position")
    assert (band.low, band.high) == pytest.approx((-0.25, 0.25))


def test_tail_against_the_gearbox_as_it_stood() -> None:
    """It moves back by t + g, or by t + g and what the new gearbox is longer."""
    close(solved({**AUTO, PACKING: 1.5}), {"tail_shift": 20.55})
    tail = {"gearbox.tail_length": 610, "installation.tail_before": 640}
    close(solved({**AUTO, PACKING: 1.5, **tail}), {"tail_shift": 20.55 - 30})


# ── starter ─────────────────────────────────────────────────────────────────


@pytest.mark.parametrize("mounts", ["engine", "plate", "gearbox"])
@pytest.mark.parametrize("behind", ["engine.drive", "flexplate"])
@pytest.mark.parametrize("seed", range(8))
def test_starter(seed: int, behind: str, mounts: str) -> None:
    """Pinion and ring as spans, the pinion moving out from either side."""
    draw = np.random.default_rng(seed)
    outward = bool(seed % 2)
    t, g, length, z = (
        draw.uniform(8, 25),
        draw.uniform(0, 2),
        draw.uniform(0, 30),
        draw.uniform(-5, 9),
    )
    standoff, face, width = draw.uniform(-6, 22), draw.uniform(8, 14), draw.uniform(8, 20)
    ring = z + standoff + (length if behind == "flexplate" else 0.0)
    base = {"engine": 0.0, "plate": t, "gearbox": t + g}[mounts]
    home, engaged = draw.uniform(-30, 40, 2)
    if (engaged > home) != outward:
        home, engaged = engaged, home
    found = solved(
        {
            Z: z, D: 30.0, F: 8.0, PLATE: t, SPACER: length, PACKING: g,
            "engine.starter.mounts_on": mounts, "engine.starter.home": home,
            "engine.starter.engaged": engaged, "engine.starter.pinion_width": width,
            f"{behind}.ring.standoff": standoff, f"{behind}.ring.face": face,
        }
    )  # fmt: skip
    out = base + engaged
    pinion = (out - width, out) if outward else (out, out + width)
    rest = ring - (base + home) if outward else (base + home) - (ring + face)
    close(
        found,
        {
            "pinion_overlap": overlap(pinion, (ring, ring + face)),
            "pinion_rest_gap": rest,
            "ring_front": ring,
            "ring_rear": ring + face,
        },
    )
