"""Numbers that the physics needs and nobody measures, in coherent SI.

Each is stated here a second time, independently of the constants sheet. All are from memory unless
the note beside them says otherwise.
"""

from math import nan, sqrt
from types import MappingProxyType
from typing import NamedTuple

_ZERO_CELSIUS = 273.15  # K, exact by definition of the Celsius scale
_KSI = 1000 * 0.45359237 * 9.80665 / 0.0254**2  # Pa, a thousand pounds-force on a square inch

CONSTANTS = MappingProxyType(
    {
        # ISO 1: sizes hold at 20 degrees Celsius (from memory).
        "reference_temperature": _ZERO_CELSIUS + 20.0,
        # Workshop temperatures in kelvin: common practice, no source. Above the highest a figure
        # looks like degrees Fahrenheit.
        "temperature_lowest": _ZERO_CELSIUS + 5.0,
        "temperature_good": _ZERO_CELSIUS + 40.0,
        "temperature_highest": _ZERO_CELSIUS + 45.0,
        # What is believed of an entry: common practice, no source.
        "size_lowest": 0.5e-3,
        "size_highest": 0.4,
        "dial_travel": 1.5e-3,
        "expansion_lowest": 4e-6,
        "expansion_highest": 30e-6,
        "height_lowest": -10e-3,
        "height_highest": 3e-3,
        "gap_highest": 3e-3,
        # What is usual: common practice, no source.
        "rod_ratio_lowest": 1.2,
        "rod_ratio_highest": 2.6,
        "compression_height_share": 0.15,
        "ratio_lowest": 5.0,
        "ratio_highest": 20.0,
        # Two routes to one figure disagree beyond three standard uncertainties; a measured rock is
        # believed between these shares of the predicted one: common practice, no source.
        "closure_factor": 3.0,
        "rock_ratio_lowest": 0.3,
        "rock_ratio_highest": 1.5,
        # By how many pitches the stress diameter of a thread is smaller than its size: ISO 898-1,
        # half way between pitch diameter and core of the 60 degree thread; ASME B1.1.
        "metric_thread_factor": 13 * sqrt(3) / 24,
        "unified_thread_factor": 0.9743,
        # Where the drawing says thrust side, and what is outside its frame, in radii of the piston.
        "dial_label": 1.25,
        "dial_away": 9.0,
        # Chart of the bores: diameter from one cylinder to the next, and the edge of each.
        "profile_span": 0.05e-3,
        "profile_reach": 0.45,
        # Edges of the chart of clearances, in widths of the band between the limits.
        "place_least": -0.4,
        "place_most": 1.4,
        "place_apart": 2e-6,
        # Up to two hundredths of a cylinder's mass left over, equal masses count as balanced: common
        # practice, no source.
        "layout_balanced": 0.02,
        # Oil: the line of Walther in mm²/s as ASTM D341 has it, and the temperatures of data sheets.
        "viscosity_unit": 1e-6,
        "viscosity_shift": 0.7e-6,
        "viscosity_lowest": 2e-6,
        "oil_warm_point": _ZERO_CELSIUS + 40.0,
        "oil_hot_point": _ZERO_CELSIUS + 100.0,
        "oil_shear_point": _ZERO_CELSIUS + 150.0,
        "oil_density_point": _ZERO_CELSIUS + 15.0,
        "oil_density_slope": 0.65,
        # What is believed of a film: common practice, no source.
        "oil_temperature_lowest": _ZERO_CELSIUS,
        "oil_temperature_highest": _ZERO_CELSIUS + 200.0,
        "film_clearance_lowest": 2e-6,
        # The finite bearing: a form fitted to solutions of the Reynolds equation, and its range.
        "film_ratio_lowest": 0.2,
        "film_ratio_highest": 1.0,
        "film_end_level": -1.238,
        "film_end_length": 1.806,
        "film_end_gap": -0.878,
        "film_end_linear": 0.138,
        "film_end_square": 0.8,
        # A figure that is typed, not measured, has no uncertainty.
        "exact_guard": 0.0,
    }
)


class Material(NamedTuple):
    """One row of the material table."""

    name: str
    expansion: float  # [1/K], mean from 20 to about 150 degrees Celsius
    modulus: float  # [Pa], nan where none is given


# From memory; where a range is usual, the value in its middle. Every one is a default only.
MATERIALS = (
    Material("Grey iron block, liner or ring", 11.0e-6, 115e9),
    Material("Steel crank, rod, pin, shell back", 11.7e-6, 206e9),
    Material("Steel gauge, setting ring", 11.5e-6, nan),
    Material("Aluminium-silicon cast block", 21.5e-6, 72e9),
    Material("Piston alloy 2618 (low silicon, forged)", 22.3e-6, 73e9),
    Material("Piston alloy 4032 (about 12 % Si, forged)", 19.4e-6, 79e9),
    Material("Cast eutectic piston (about 12 % Si)", 20.5e-6, 72e9),
    Material("Cast hypereutectic piston (16-18 % Si)", 18.5e-6, 78e9),
    Material("Titanium rod", 8.8e-6, 114e9),
    Material("Aluminium rod", 23.0e-6, 71e9),
    Material("Tungsten carbide gauge tip", 5.5e-6, nan),
)


class BoltClass(NamedTuple):
    """One row of the table of strength classes."""

    name: str
    proof_stress: float  # [Pa]
    yield_stress: float  # [Pa]


# From memory: ISO 898-1 for thread sizes up to 16 mm, SAE J429. Every one is a default only.
BOLT_CLASSES = (
    BoltClass("8.8", 580e6, 640e6),
    BoltClass("10.9", 830e6, 940e6),
    BoltClass("12.9", 970e6, 1100e6),
    BoltClass("grade 5", 85 * _KSI, 92 * _KSI),
    BoltClass("grade 8", 120 * _KSI, 130 * _KSI),
)
