"""The page that is worked by hand: every line again, and the core on the same readings."""

import math
import re
from decimal import Decimal

import numpy as np
import pytest

from tests.external.ledger import PAGE
from validators.reference import (
    bob_weights,
    bores,
    compression,
    deck,
    extremes,
    film_rows,
    fits,
    head_clearance,
    main_clearances,
    masses,
    measuring,
    pistons,
    rings,
    rod_bolts,
    rod_films,
    separation,
    uncertainty,
    volumes,
)
from validators.reference.constants import CONSTANTS
from validators.reference.record import assembly_state, item_state
from validators.reference.verdict import verdict
from validators.reference.words import (
    AssemblyState,
    DialSense,
    EntryForm,
    GaugeUse,
    ItemState,
    Verdict,
    YesNo,
)

LINE = re.compile(r"^    (\w+): (.+) = (-?[\d.]+)$", re.MULTILINE)
LINES = LINE.findall(PAGE.with_name("BY_HAND.md").read_text(encoding="utf-8"))
MM, MICRO, CM3 = 1e-3, 1e-6, 1e-6
WARMTH = [CONSTANTS[key] for key in ("reference_temperature", "temperature_lowest", "temperature_highest")]
BELIEVED = [CONSTANTS[key] for key in ("size_lowest", "size_highest", "dial_travel")]
NONE = math.nan


def worked():
    """Every line, keyed in with all digits."""
    known = {"ln": math.log, "exp": math.exp}
    for name, expression, _ in LINES:
        known[name] = eval(expression, {"__builtins__": {}}, known)
    return known


def half_a_unit(printed):
    return 0.51 * 10.0 ** Decimal(printed).as_tuple().exponent


@pytest.mark.parametrize(("name", "printed"), [(name, printed) for name, _, printed in LINES])
def test_a_line_gives_what_is_printed(name, printed):
    assert worked()[name] == pytest.approx(float(printed), abs=half_a_unit(printed))


def kelvin(celsius):
    return celsius + 273.15


def test_the_core_gives_the_figures_of_the_page():
    page = worked()
    block, ring = (
        measuring.part_factor(11e-6, kelvin(24), *WARMTH),
        measuring.reference_factor(11.5e-6, kelvin(23), *WARMTH),
    )
    dial = np.array([0.012, 0.010, 0.011]) * MM
    master = EntryForm.DEVIATION, 86.0 * MM, 0.0008 * MM, DialSense.PLUS_IS_BIGGER
    bore = bores.bore_size(dial, *master, block, ring, *BELIEVED)
    assert bore / MM == pytest.approx([page[f"bore_{place}"] for place in ("top", "middle", "bottom")])
    piston = pistons.piston_size(
        85.955 * MM,
        EntryForm.SIZE,
        NONE,
        NONE,
        DialSense.PLUS_IS_BIGGER,
        measuring.part_factor(19.4e-6, kelvin(22), *WARMTH),
        measuring.reference_factor(11.5e-6, kelvin(22), *WARMTH),
        *BELIEVED,
    )
    clearance = pistons.piston_clearance(bores.bore_thrust_least(bore), piston)
    assert clearance / MM == pytest.approx(page["clearance"], rel=1e-9)
    guard = guard_of_the_core()
    assert guard / MM == pytest.approx(page["clearance_guard"], rel=1e-9)
    guard = extremes.extreme_guard(guard, 2.0, extremes.chances_of("piston_clearance", 4))
    assert guard / MM == pytest.approx(page["guard_used"], rel=1e-9)
    words = [verdict(clearance, 0.040 * MM, 0.065 * MM, guard, MM)]

    main = main_clearances.main_clearance_computed(64.012 * MM, 1.981 * MM, 1.984 * MM, 59.994 * MM)
    assert main / MM == pytest.approx(page["main_clearance"], rel=1e-9)
    ratio = main_clearances.main_clearance_ratio(main, 59.994 * MM)
    assert ratio == pytest.approx(page["main_to_size"], rel=1e-9)

    low = deck.deck_clearance_mean(-0.20 * MM, -0.22 * MM, NONE, NONE)
    gap = head_clearance.head_clearance_static(1.00 * MM, low, 0.0)
    read = uncertainty.reading_uncertainty(GaugeUse.SET_ON_A_MASTER, 0.01 * MM, 0.005 * MM, 3)
    height = uncertainty.plain_guard(2.0, read, uncertainty.calibration_uncertainty(0.004 * MM, 2.0))
    assert (gap / MM, height / MM) == pytest.approx((page["over_piston"], page["height_guard"]), rel=1e-9)
    words.append(verdict(gap, 0.95 * MM, NONE, height, MM))
    assert words == [Verdict.WITHIN] * 2
    # Two of two within, none under, over, close, missing or open.
    assert item_state(0.0, 0.0, 0.0, 0.0, 0.0) == ItemState.RELEASED

    swept = volumes.swept_volume(86.010 * MM, 86.0 * MM)
    other = volumes.other_volume(
        volumes.gasket_volume(87.0 * MM, 1.00 * MM),
        volumes.deck_volume(86.010 * MM, low),
        5.0 * CM3,
        volumes.crevice_volume(YesNo.NO, 86.010 * MM, NONE, NONE),
    )
    found = compression.compression_ratio(swept, volumes.clearance_volume(42.0 * CM3, other))
    assert found == pytest.approx(page["ratio"], rel=1e-8)


def guard_of_the_core():
    room = uncertainty.thermometer_uncertainty(1.0)
    sides = []
    for use, certificate, expansion, part, gauge in (
        (GaugeUse.SET_ON_A_MASTER, 1.0, 11e-6, 24, 23),
        (GaugeUse.READ_DIRECTLY, 1.5, 19.4e-6, 22, 22),
    ):
        slope = uncertainty.temperature_sensitivity(86 * MM, 11.5e-6, expansion)
        sides.append(
            (
                uncertainty.reading_uncertainty(use, MICRO, MICRO, 3),
                uncertainty.calibration_uncertainty(certificate * MICRO, 2.0),
                slope,
                uncertainty.temperature_uncertainty(86 * MM, 11.5e-6, expansion, slope, room, YesNo.YES),
                uncertainty.expansion_term(86 * MM, 0.5e-6, kelvin(part), kelvin(gauge), 293.15),
            )
        )
    (read, known, slope, warm, grown), (read_2, known_2, slope_2, warm_2, grown_2) = sides
    calibration = fits.fit_calibration_uncertainty(known, known_2, YesNo.NO)
    warmth = fits.fit_temperature_uncertainty(slope, slope_2, warm, warm_2, room, YesNo.YES)
    return fits.fit_guard(2.0, fits.fit_uncertainty(read, read_2, calibration, warmth, grown, grown_2))


def test_the_core_gives_the_figures_of_gap_joint_and_bob_weight():
    page = worked()
    least = page["bore_middle"] * MM
    wanted = rings.ring_gap_wanted(least, 0.0045)
    butting = rings.ring_gap_butting(least, 12e-6, 150.0, 11e-6, 100.0)
    most = rings.ring_gap_most(wanted, 0.1 * MM)
    read = uncertainty.reading_uncertainty(GaugeUse.READ_DIRECTLY, 0.01 * MM, 0.003 * MM, 3)
    guard = uncertainty.plain_guard(2.0, read, uncertainty.calibration_uncertainty(0.004 * MM, 2.0))
    assert [value / MM for value in (wanted, butting, most, guard)] == pytest.approx(
        [page[name] for name in ("gap_wanted", "gap_butting", "gap_most", "gap_guard")], rel=1e-8
    )
    smallest = rings.ring_gap_least(wanted, butting)
    words = [rings.ring_gap_verdict(0.43 * MM, smallest, most, guard, MM)]

    stretch = rod_bolts.bolt_stretch(50.142 * MM, 50.000 * MM)
    length = uncertainty.reading_uncertainty(GaugeUse.READ_DIRECTLY, MICRO, MICRO, 3)
    guard = uncertainty.form_guard(2.0, length)
    assert (stretch / MM, guard / MM) == pytest.approx((page["stretch"], page["stretch_guard"]), rel=1e-9)
    words.append(verdict(stretch, 0.135 * MM, 0.150 * MM, guard, MM))
    compliance = 4.10e-9
    preload = rod_bolts.bolt_preload(stretch, compliance)
    assert preload / 1e3 == pytest.approx(page["preload"], rel=1e-9)
    least = separation.rod_preload_least(np.array([preload, preload]), np.ones(2), 1)
    margin = separation.separation_margin(least, 6e3, 22e3)
    guard = separation.separation_guard(guard, compliance, 22e3)
    guard = extremes.extreme_guard(guard, 2.0, extremes.chances_of("separation_margin", 4))
    assert (margin, guard) == pytest.approx((page["margin"], page["margin_guard"]), rel=1e-9)
    words.append(verdict(margin, 1.5, NONE, guard, 1.0))
    assert words == [Verdict.WITHIN] * 3
    # Nothing held, no mark at fault, no part elsewhere, nothing missing, no point of the fit open.
    assert assembly_state(0.0, 0.0, 0.0, 0.0, 0.0) == AssemblyState.FREE

    gram = 1e-3
    up = masses.cylinder_reciprocating_mass(*(np.array([0.3524, 0.118, 0.0315, 0.0032, 0.1683])))
    round_ = masses.cylinder_rotating_mass(412.6 * gram, 38.0 * gram)
    assert (up / gram, round_ / gram) == pytest.approx((page["reciprocating"], page["rotating"]), rel=1e-9)
    two = np.array([1.0, 1.0])
    bob = bob_weights.bob_weight(
        round_ * two, up * two, np.array([0.5]), np.array([6.0 * gram]), two, np.array([1.0])
    )
    assert bob / gram == pytest.approx(page["bob_weight"], rel=1e-9)


def test_the_core_gives_the_film_of_the_page():
    page = worked()
    load = rod_films.rod_pressure(18e3, 20.0 * MM, 48.0 * MM)
    assert load / 1e6 == pytest.approx(page["load"], rel=1e-9)
    number = rod_films.rod_sommerfeld(load, 48 * MM, 0.055 * MM, 0.009, 200 * math.pi, 2e-6, MM)
    assert number == pytest.approx(page["number"], rel=1e-9)
    eccentricity = np.array([0.92, 0.88])
    ratio = film_rows.rod_film_length_ratio(20.0 * MM, 48.0 * MM)
    bounds_and_fit = [CONSTANTS[f"film_{name}"] for name in (
        "ratio_lowest", "ratio_highest", "end_level", "end_length", "end_gap", "end_linear", "end_square"
    )]
    short = film_rows.node_short(eccentricity)
    rows = film_rows.rod_node_sommerfeld(short, eccentricity, ratio, *bounds_and_fit)
    assert rows == pytest.approx([page["row_92"], page["row_88"]], rel=1e-8)
    away = rod_films.rod_film_eccentricity(np.array([number]), rows, eccentricity)
    film = rod_films.rod_film(away, 0.055 * MM)
    assert film / MICRO == pytest.approx(page["film"], rel=1e-8)


def test_the_page_says_within_where_there_is_room():
    page = worked()
    assert min(page[name] for name in (
        "room_below", "room_above", "gap_room", "gap_above", "gap_below", "stretch_room", "margin_room"
    )) > 0
    assert len(LINES) > 60
