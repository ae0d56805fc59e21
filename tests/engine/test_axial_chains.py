"""Every axial quantity and station against its equation, written out afresh, at random numbers.

The equations are sums of distances along one axis (closed form). Golden examples: common practice,
no source; their arithmetic is closed form. Rules of who carries the nose: common practice, no source.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.engine.spans import (
    BUSH,
    DEEP,
    FROM_TIP,
    FRONT,
    MOUTH,
    PACKING,
    REAR,
    RECESS,
    SEATED,
    SHIMS,
    SPLINE,
    D,
    F,
    H,
    Job,
    K,
    N,
    Q,
    S,
    W,
    Z,
    close,
    converter_at,
    job_of,
    overlap,
    shaft_at,
    sides,
    solved,
)
from wizard.engine.axial.chain import carrier

SEEDS = range(12)
PLATE, SPACER = "choices.plate", "choices.spacer"


# ── golden examples ─────────────────────────────────────────────────────────

AUTO: Job = {Z: 6.35, D: 28.58, F: 8.0, PLATE: 19.05, "gearbox.converter.gap": [3.2, 4.8]}


@pytest.mark.parametrize(("standoff", "spacer"), [(6.35, 29.28), (-6.35, 41.98)])
def test_golden_example_of_an_automatic(standoff: float, spacer: float) -> None:
    """S = T + p − c − F − G, and back."""
    found = solved({**AUTO, Z: standoff})
    close(found, {"gap": 4.0})
    assert found.spacer == pytest.approx(spacer, abs=1e-9)
    again = solved({**AUTO, Z: standoff, SPACER: spacer})
    close(again, {"gap": 4.0})


def test_golden_example_of_a_nose() -> None:
    """Nose 16, flexplate 8: 8.0 bolted and 4.0 seated; left in the crank −21.28: the spacer carries it."""
    nose = {**AUTO, H: 16.0, "gearbox.converter.hub.diameter": 40}
    own = {"engine.drive.pilot.diameter": 40.05, "engine.drive.pilot.depth": 20}
    for job in (nose, {**nose, **own}):
        found = solved(job)
        close(found, {"nose_engagement": 8.0, "nose_seated": 4.0})
        assert carrier(sides(job), found) == "spacer"
    # in the crank: h − f − L = 16 − 8 − 29.28 = −21.28, so a nose 21.28 + 3.2 longer just does
    longer = {**nose, **own, H: 16 + 21.28 + 4.0 + 0.01}
    found = solved(longer)
    close(found, {"nose_engagement": 4.01, "nose_seated": 0.01})
    assert carrier(sides(longer), found) == "crank"


def test_golden_example_of_a_clutch() -> None:
    """T 15, B 92, c 10, S 5, tf 28, H 60 ⇒ A 4.00."""
    found = solved(
        {Z: 10, Q: 92, W: 28, K: 60, PLATE: 15, SPACER: 5, "gearbox.shaft.reach": 22}
    )  # fmt: skip
    close(found, {"release_gap": 4.0, "clutch_face": 43, "fingers": 103, "bearing": 107})


def test_golden_example_of_an_input_shaft() -> None:
    """T 15, I 22; bush −6 to 9.5, n 20, hole end −12 ⇒ 15.5, 3.5 and 5."""
    found = solved({Z: 4, SPACER: 5.5, PLATE: 15, S: 22, N: 20, MOUTH: 0, BUSH: 15.5, DEEP: 21.5})
    close(found, {"tip_engagement": 15.5, "tip_shoulder": 3.5, "tip_bottom": 5, "shaft_end": -7})


# ── automatic ───────────────────────────────────────────────────────────────


@pytest.mark.parametrize("seed", SEEDS)
def test_automatic(seed: int) -> None:
    """A1, A2 and A3 with the bore bored right through the spacer."""
    draw = np.random.default_rng(seed)
    x = converter_at(draw)
    t, length = draw.uniform(8, 25), draw.uniform(0, 40)
    found = solved(job_of("converter", x) | {PLATE: t, SPACER: length})
    between = t + x[PACKING]
    gap = between + x[D] - x[Z] - length - x[F] - x[SHIMS]
    nose = x[H] - x[F] - x[SHIMS]
    close(
        found,
        {
            "gap": gap,
            "nose_engagement": nose,
            "nose_seated": nose - gap,
            "nose_bottom": length + x[RECESS] - nose,
            "pump_lug_overlap": x[SEATED] - gap,
            "tail_shift": between,
            "plate_rear": t,
            "gearbox_face": between,
            "driving_face": x[Z],
            "driven_face": x[Z] + length,
            "contact": x[Z] + length + x[F],
            "lugs_seated": between + x[D],
            "nose_tip": x[Z] + length + x[F] + x[SHIMS] - x[H],
            "pilot_mouth": x[Z] + length,
        },
    )
    assert (found.plate, found.spacer) == pytest.approx((t, length), abs=1e-6)
    assert found.packing == pytest.approx(x[PACKING], abs=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_adapter_closes_on_the_middle_of_the_gap(seed: int) -> None:
    """L = (t + g) + D − p − z_d − f − w_s with p = 4.0."""
    draw = np.random.default_rng(seed)
    x = converter_at(draw)
    t = draw.uniform(8, 25)
    found = solved(job_of("converter", x) | {PLATE: t})
    length = t + x[PACKING] + x[D] - 4.0 - x[Z] - x[F] - x[SHIMS]
    assert found.spacer == pytest.approx(length, abs=1e-5)
    close(found, {"gap": 4.0})


def test_no_flexplate_means_the_lugs_pull_on_to_the_adapter() -> None:
    found = solved({Z: 5, D: 30, H: 12, PLATE: 12, SPACER: 10})
    close(found, {"gap": 12 + 30 - 5 - 10, "nose_engagement": 12, "contact": 15, "nose_tip": 3})


CRANK: Job = {
    Z: 6.0, D: 28.0, F: 8.0, H: 44.0, PLATE: 14, SPACER: 20,
    "gearbox.converter.hub.diameter": 40, "engine.drive.pilot.diameter": 40.1,
    "engine.drive.pilot.depth": 25, "engine.drive.pilot.mouth": -2.5, SHIMS: 1.0,
}  # fmt: skip


def test_nose_in_the_bore_of_the_crank() -> None:
    """E = h − f − w_s − L + m_c = 44 − 8 − 1 − 20 − 2.5 = 12.5; bottom 25 − 12.5."""
    found = solved(CRANK)
    close(
        found,
        {
            "nose_engagement": 12.5,
            "nose_seated": 12.5 - (14 + 28 - 6 - 20 - 8 - 1),
            "nose_bottom": 12.5,
            "pilot_mouth": 3.5,
        },
    )
    assert carrier(sides(CRANK), found) == "crank"


@pytest.mark.parametrize(
    ("bore", "by"),
    [(40.0, "crank"), (40.15, "crank"), (39.99, "spacer"), (40.16, "spacer"), (None, "spacer")],
)
def test_the_crank_takes_a_nose_only_with_the_play_it_may_have(bore: float | None, by: str) -> None:
    """0 to 0.15 mm of play."""
    job = {**CRANK, "engine.drive.pilot.diameter": bore}
    if bore is None:
        del job["engine.drive.pilot.diameter"]
    assert carrier(sides(job), solved(job)) == by


@pytest.mark.parametrize(
    ("reach", "by"), [(42.0, "crank"), (38.5, "crank"), (38.4, "spacer"), (34.69, "spacer")]
)
def test_a_nose_that_leaves_the_crank_is_carried_by_the_spacer(reach: float, by: str) -> None:
    """h − 31.5 engaged and 7 of that lost while the converter is home: kept above 38.5 mm … or not."""
    job = {**CRANK, H: reach + 0.01}
    found = solved(job)
    assert carrier(sides(job), found) == by
    engaged = reach + 0.01 - (31.5 if by == "crank" else 9.0)
    close(found, {"nose_engagement": engaged})


def test_nose_in_a_spindle() -> None:
    """E = h − f − w_s − (L − ℓ); its bore goes through the spindle and the recess in front of it."""
    job: Job = {
        Z: 6.0, D: 60.0, F: 8.0, H: 16.0, PLATE: 14, SPACER: 48, "choices.spindle_length": 45,
        RECESS: 6.0, "engine.drive.register.form": "bore", "engine.drive.register.diameter": 60,
    }  # fmt: skip
    found = solved(job)
    close(found, {"nose_engagement": 5.0, "nose_bottom": 45 + 6 - 5.0, "pilot_mouth": 51.0})
    assert carrier(sides(job), found) == "spacer"


@pytest.mark.parametrize(
    ("drive", "recess"),
    [
        ({"engine.drive.register.form": "bore", "engine.drive.register.diameter": 60, RECESS: 7}, 7),
        ({"engine.drive.register.form": "bore", "engine.drive.register.diameter": 60}, 0),
        ({"engine.drive.register.form": "spigot", "engine.drive.register.diameter": 60, RECESS: 7}, 0),
        ({"engine.drive.pilot.depth": 9, "engine.drive.pilot.diameter": 50}, 9),
        ({}, 0),
    ],
)  # fmt: skip
def test_room_below_a_nose_in_a_bored_through_spacer(drive: Job, recess: float) -> None:
    """b = L + the open recess before it."""
    found = solved({Z: 6, D: 28, F: 8, H: 16, PLATE: 14, SPACER: 20, **drive})
    close(found, {"nose_bottom": 20 + recess - 8})


# ── preset ──────────────────────────────────────────────────────────────────


@pytest.mark.parametrize("seed", SEEDS)
def test_preset_holds_the_converter_where_it_is(seed: int) -> None:
    """The rim comes back to the lugs by p; nose and lugs stay as they are fully home."""
    draw = np.random.default_rng(seed)
    x = converter_at(draw)
    t, wanted = draw.uniform(8, 25), draw.uniform(0.4, 1.2)
    found = solved(
        job_of("converter", x)
        | {"gearbox.converter.hold": "preset", "gearbox.converter.preset": wanted, PLATE: t}
    )
    length = t + x[PACKING] + x[D] - wanted - x[Z] - x[F] - x[SHIMS]
    assert found.spacer == pytest.approx(length, abs=1e-5)
    home = x[Z] + length - (t + x[PACKING] + x[D] - x[H])  # driven face less end of the nose
    close(
        found,
        {
            "gap": wanted,
            "nose_engagement": home,
            "nose_seated": home,
            "nose_bottom": length + x[RECESS] - home,
            "pump_lug_overlap": x[SEATED],
            "nose_tip": t + x[PACKING] + x[D] - x[H],
        },
    )


@pytest.mark.parametrize("hold", ["gap", "preset"])
@pytest.mark.parametrize("own", [False, True])
def test_engagement_is_from_the_mouth_to_the_end_of_the_nose(hold: str, own: bool) -> None:
    """Stations and quantities are of one picture."""
    job = dict(CRANK) if own else {**AUTO, H: 16.0, SHIMS: 1.0}
    found = solved(job | {"gearbox.converter.hold": hold})
    z = found.stations
    assert z["pilot_mouth"] - z["nose_tip"] == pytest.approx(found.values["nose_engagement"])


@pytest.mark.parametrize(
    ("preset", "low", "high"), [(0.6, 0.38, 0.82), (0.38, 0.38, 0.38), (None, 0.38, 0.76)]
)
def test_band_of_a_preset(preset: float | None, low: float, high: float) -> None:
    """At least 0.38 mm away from the engine, the wanted deflection in the middle."""
    job = {**AUTO, "gearbox.converter.hold": "preset"}
    found = solved(job if preset is None else {**job, "gearbox.converter.preset": preset})
    band = next(row for row in found.requirements if row.check == "converter-gap")
    assert (band.low, band.high) == pytest.approx((low, high))
    close(found, {"gap": (low + high) / 2})


# ── manual ──────────────────────────────────────────────────────────────────


@pytest.mark.parametrize("by", ["spacer", "crank"])
@pytest.mark.parametrize("seed", SEEDS)
def test_manual(seed: int, by: str) -> None:
    """M1 to M4: spans on the axis and their overlaps."""
    draw = np.random.default_rng(seed)
    x = shaft_at(draw)
    t, length = draw.uniform(8, 25), draw.uniform(0, 30)
    x[S] += draw.uniform(-25, 25)
    x[FROM_TIP] += draw.uniform(-30, 30)
    found = solved(
        job_of("shaft", x)
        | {PLATE: t, SPACER: length, "pilot.carried_by": by, "flywheel.bolt_heads": 6.5}
    )
    between = t + x[PACKING]
    end = between - x[S]
    rear = x[Z] + (length if by == "spacer" else 0.0) + x[MOUTH]
    face = x[Z] + length + x[W]
    spline = (end + x[FROM_TIP], end + x[FROM_TIP] + x[SPLINE])
    close(
        found,
        {
            "tip_engagement": overlap((end, end + x[N]), (rear - x[BUSH], rear)),
            "tip_bottom": end - (rear - x[DEEP]),
            "tip_shoulder": end + x[N] - rear,
            "release_gap": between + x[Q] - (face + x[K]),
            "spline_overlap": overlap(spline, (face + x[FRONT], face + x[REAR])),
            "disc_hub_clearance": x[W] + x[FRONT] - 6.5,
            "shaft_end": end,
            "pilot_mouth": rear,
            "clutch_face": face,
            "fingers": face + x[K],
            "bearing": between + x[Q],
        },
    )


@pytest.mark.parametrize(
    ("off", "engaged"), [(-30, -15), (-15, 0), (-10, 5), (0, 15), (3, 15), (12, 12), (24, 0), (30, -6)]
)  # fmt: skip
def test_a_tip_slid_through_its_bush(off: float, engaged: float) -> None:
    """Tip 24 long, bush 15: from before it, into it, through it, and past it; negative: out of reach.

    At ``off`` the shaft's end stands that far in front of the bush's rear end, less 15: by counting.
    """
    end = 100.0 - 15 - off  # z of the shaft's end; bush from 85 to 100
    job: Job = {Z: 100, SPACER: 0, PLATE: 20, S: 20 - end, N: 24, MOUTH: 0, BUSH: 15, DEEP: 60}
    close(solved(job), {"tip_engagement": overlap((end, end + 24), (85, 100))})
    assert overlap((end, end + 24), (85, 100)) == pytest.approx(engaged)


def test_without_a_bush_width_the_depth_of_its_hole_is_taken() -> None:
    job: Job = {Z: 4, SPACER: 5.5, PLATE: 15, S: 16, N: 24, MOUTH: 0, DEEP: 11.0}
    close(solved(job), {"tip_engagement": overlap((-1, 23), (-1.5, 9.5))})


@pytest.mark.parametrize(
    ("preload", "low", "high"), [([12, 15], -15, -12), (None, -15.2, -12.7)]
)  # fmt: skip
def test_a_bearing_in_constant_contact_is_pressed_together(
    preload: list[float] | None, low: float, high: float
) -> None:
    """The gap is negative: the preload; usual 12.7 to 15.2 mm (0.5 to 0.6 in)."""
    job: dict[str, object] = {
        Z: 10, Q: 92, W: 28, K: 60, PLATE: 15, "gearbox.release.kind": "constant contact",
    }  # fmt: skip
    found = solved(job if preload is None else {**job, "gearbox.release.preload": preload})
    band = next(row for row in found.requirements if row.check == "release-gap")
    assert (band.low, band.high) == pytest.approx((low, high))
    close(found, {"release_gap": (low + high) / 2})
    assert found.spacer == pytest.approx(15 + 92 - 10 - 28 - 60 - (low + high) / 2)


@pytest.mark.parametrize(("discs", "middle"), [(1, 3.8), (2, 5.1), (None, 3.8)])
def test_usual_release_gap(discs: int | None, middle: float) -> None:
    job: dict[str, object] = {Z: 10, Q: 92, W: 28, K: 60, PLATE: 15}
    found = solved(job if discs is None else {**job, "clutch.discs": discs})
    band = next(row for row in found.requirements if row.check == "release-gap")
    assert (band.low, band.high) == pytest.approx((middle - 0.8, middle + 0.8))
    close(found, {"release_gap": middle})
    asked = solved({**job, "clutch.release_gap": [2, 3]})
    close(asked, {"release_gap": 2.5})
