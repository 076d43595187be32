"""Sizes at 20 degrees Celsius: hand-worked cases, forty-digit arithmetic, unit conversions."""

from decimal import Decimal, localcontext

import numpy as np
import pint
import pytest

from validators.reference.constants import CONSTANTS, MATERIALS
from validators.reference.measuring import (
    body_expansion,
    part_factor,
    reference_factor,
    rod_modulus,
    rod_modulus_listed,
    size_at_reference,
    temperature_state,
)
from validators.reference.words import DialSense, EntryForm, TemperatureState

UNITS = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
NAN = float("nan")
BELIEVED = (CONSTANTS["size_lowest"], CONSTANTS["size_highest"], CONSTANTS["dial_travel"])
LIMITS = (
    CONSTANTS["reference_temperature"],
    CONSTANTS["temperature_lowest"],
    CONSTANTS["temperature_highest"],
)


def si(number, unit):
    return UNITS.Quantity(number, unit).to_base_units().magnitude


def factors(part_expansion, part_celsius, gauge_expansion, gauge_celsius):
    part = part_factor(part_expansion, si(part_celsius, "degC"), *LIMITS)
    gauge = reference_factor(gauge_expansion, si(gauge_celsius, "degC"), *LIMITS)
    return part, gauge


def from_size(reading, unit, *conditions):
    """Size in its own unit from a whole size in that unit."""
    size = size_at_reference(
        si(reading, unit), EntryForm.SIZE, NAN, NAN, NAN, *factors(*conditions), *BELIEVED
    )
    return UNITS.Quantity(float(size), "m").to(unit).magnitude


def from_deviation(setting, error, deviation, sense, unit, *conditions):
    """Size in its own unit from a deviation in that unit."""
    size = size_at_reference(
        si(deviation, unit),
        EntryForm.DEVIATION,
        si(setting, unit),
        si(error, unit),
        sense,
        *factors(*conditions),
        *BELIEVED,
    )
    return UNITS.Quantity(float(size), "m").to(unit).magnitude


@pytest.mark.parametrize(
    ("reading", "unit", "conditions", "figure"),
    [
        (86.012, "mm", (21.5e-6, 26, 11.5e-6, 24), "86.00486192"),
        (60.000, "mm", (11.5e-6, 23, 11.5e-6, 23), "60.0000000"),
        (100.000, "mm", (23.0e-6, 27, 11.5e-6, 28), "99.99310111"),
        (4.0405, "inch", (11.0e-6, 25, 11.5e-6, 20), "4.040277785"),
    ],
)
def test_whole_sizes(reading, unit, conditions, figure, printed):
    """Hand-worked cases, made with forty-digit arithmetic."""
    assert from_size(reading, unit, *conditions) == printed(figure)


PLUS, MINUS = DialSense.PLUS_IS_BIGGER, DialSense.PLUS_IS_SMALLER


@pytest.mark.parametrize(
    ("setting", "unit", "conditions", "figure"),
    [
        ((86.000, 0.0013, 0.0105, PLUS), "mm", (21.5e-6, 26, 11.5e-6, 24), "86.00466146"),
        ((86.000, 0.0013, -0.0105, MINUS), "mm", (21.5e-6, 26, 11.5e-6, 24), "86.00466146"),
        ((86.0013, 0.0, 0.0105, PLUS), "mm", (21.5e-6, 20, 11.5e-6, 20), "86.0118"),
        ((4.0400, 0.0, 0.0005, PLUS), "inch", (11e-6, 22, 11e-6, 22), "4.040499989"),
    ],
)
def test_deviations(setting, unit, conditions, figure, printed):
    """Hand-worked cases, made with forty-digit arithmetic."""
    assert from_deviation(*setting, unit, *conditions) == printed(figure)


@pytest.mark.parametrize(
    ("deviation", "figure"),
    [
        (0.012, "93.011916"),
        (0.010, "93.00991609"),
        (0.007, "93.00691622"),
        (0.009, "93.00891614"),
        (0.008, "93.00791618"),
        (0.006, "93.00591627"),
    ],
)
def test_deviations_of_a_worked_build(deviation, figure, printed):
    """Hand-worked build, flat four: ring 93.0000 +0.0008, liner at 24, ring at 23 degrees."""
    size = from_deviation(93.0, 0.0008, deviation, PLUS, "mm", 11e-6, 24, 11.5e-6, 23)
    assert size == printed(figure)


@pytest.mark.outside(
    source="Python standard library",
    place="decimal.Decimal, forty digits",
    covers="200 readings, sizes 5 to 390 mm",
)
def test_sizes_and_deviations_in_forty_digits():
    """Second route: the same growth, worked in decimal arithmetic with forty digits."""
    random = np.random.default_rng(20)
    for _ in range(200):
        size, error = random.uniform(5, 390), random.uniform(-0.01, 0.01)
        deviation = random.uniform(-1.4, 1.4)
        alphas = random.uniform(4e-6, 30e-6, 2)
        kelvins = random.uniform(*LIMITS[1:], 2)
        part = part_factor(alphas[0], kelvins[0], *LIMITS)
        gauge = reference_factor(alphas[1], kelvins[1], *LIMITS)
        rest = (part, gauge, *BELIEVED)
        whole = size_at_reference(size / 1e3, EntryForm.SIZE, NAN, NAN, NAN, *rest)
        dial = size_at_reference(
            deviation / 1e3, EntryForm.DEVIATION, size / 1e3, error / 1e3, MINUS, *rest
        )
        with localcontext() as context:
            context.prec = 40
            zero = Decimal(LIMITS[0])
            grown_part = 1 + Decimal(alphas[0]) * (Decimal(kelvins[0]) - zero)
            grown_gauge = 1 + Decimal(alphas[1]) * (Decimal(kelvins[1]) - zero)
            exact_whole = Decimal(size) * grown_gauge / grown_part
            master = (Decimal(size) + Decimal(error)) * grown_gauge
            exact_dial = (master - Decimal(deviation)) / grown_part
        assert whole * 1e3 == pytest.approx(float(exact_whole), rel=1e-12)
        assert dial * 1e3 == pytest.approx(float(exact_dial), rel=1e-12)


@pytest.mark.parametrize(
    ("reading", "form"),
    [
        (0.0004, EntryForm.SIZE),
        (0.401, EntryForm.SIZE),
        (-0.086, EntryForm.SIZE),
        (0.0016, EntryForm.DEVIATION),
        (-0.0016, EntryForm.DEVIATION),
        (0.086, NAN),
        (NAN, EntryForm.SIZE),
    ],
)
def test_what_is_not_believed_gives_no_size(reading, form):
    """The ranges that are stated beside the constants."""
    assert np.isnan(size_at_reference(reading, form, 0.086, 0.0, PLUS, 1.0, 1.0, *BELIEVED))


@pytest.mark.parametrize("celsius", [4.99, 45.01, 68.0, NAN])
def test_a_temperature_that_is_not_believed_gives_no_factor(celsius):
    """68 degrees Fahrenheit looks like 68 degrees Celsius."""
    assert np.isnan(factors(11e-6, celsius, 11e-6, celsius)).all()


@pytest.mark.parametrize(
    ("part", "gauge", "word"),
    [
        (20, 20, "GOOD"),
        (5, 40, "GOOD"),
        (40.1, 20, "SUSPECT"),
        (20, 45, "SUSPECT"),
        (20, 45.1, "CHECK_ENTRY"),
        (4.9, 20, "CHECK_ENTRY"),
        (NAN, 68, "WAITING"),
        (20, NAN, "WAITING"),
    ],
)
def test_words_for_temperatures(part, gauge, word):
    """5 to 40 good, above 40 to 45 suspect, beyond that to be checked."""
    limits = [CONSTANTS[f"temperature_{name}"] for name in ("lowest", "good", "highest")]
    found = temperature_state(si(part, "degC"), si(gauge, "degC"), *limits)
    assert found == TemperatureState[word]


def test_the_constants_are_those_of_the_trade_units():
    """Unit conversions by the pint library."""
    stated = {
        "reference_temperature": (20, "degC"),
        "temperature_lowest": (5, "degC"),
        "temperature_good": (40, "degC"),
        "temperature_highest": (45, "degC"),
        "size_lowest": (0.5, "mm"),
        "size_highest": (400, "mm"),
        "dial_travel": (1.5, "mm"),
        "height_lowest": (-10, "mm"),
        "height_highest": (3, "mm"),
        "gap_highest": (3, "mm"),
    }
    for name, (number, unit) in stated.items():
        assert CONSTANTS[name] == pytest.approx(si(number, unit), rel=1e-14)


NAMES = np.arange(float(len(MATERIALS)))
EXPANSIONS = np.array([material.expansion for material in MATERIALS])
MODULI = np.array([material.modulus for material in MATERIALS])


def test_a_body_takes_its_own_figure_before_that_of_its_material():
    """One body per case: typed, from the table, out of range, no material, unlisted material."""
    own = np.array([12e-6, NAN, 31e-6, NAN, NAN])[:, np.newaxis]
    material = np.array([3.0, 5.0, 0.0, NAN, 99.0])[:, np.newaxis]
    found = body_expansion(own, material, NAMES, EXPANSIONS, 4e-6, 30e-6)
    assert found == pytest.approx([12e-6, 19.4e-6, NAN, NAN, NAN], nan_ok=True)


def test_a_rod_takes_its_own_modulus_before_that_of_its_material():
    """One rod per case: typed, steel, a material without a modulus, none."""
    own = np.array([200e9, NAN, NAN, NAN])
    material = np.array([8.0, 1.0, 2.0, NAN])[:, np.newaxis]
    found = rod_modulus(own, rod_modulus_listed(material, NAMES, MODULI))
    assert found == pytest.approx([200e9, 206e9, NAN, NAN], nan_ok=True)
