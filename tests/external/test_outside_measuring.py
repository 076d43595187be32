"""Known parts, measured by simulated gauges: what is typed must come back as what is there.

The truth is the size of the part at 20 °C.  Part and gauge are warmed in exact decimals, the gauge
shows what it would show, and the core turns that back.
"""

import inspect
from decimal import Decimal

import pytest

from validators.reference import (
    bores,
    crankpins,
    entry_stages,
    honing,
    main_clearances,
    main_housings,
    main_journals,
    pins,
    pistons,
    rod_clearances,
    rod_housings,
)
from validators.reference.constants import CONSTANTS
from validators.reference.measuring import part_factor, reference_factor
from validators.reference.words import DialSense, EntryForm

STANDARD = "Python standard library"
TWENTY = Decimal("293.15")
BELIEVED = {key: CONSTANTS[key] for key in ("size_lowest", "size_highest", "dial_travel")}
WARMTH = [CONSTANTS[key] for key in ("reference_temperature", "temperature_lowest", "temperature_highest")]
SIZED = {
    "bore": bores.bore_size,
    "piston": pistons.piston_size,
    "pin_hole": pins.pin_hole_size,
    "pin": pins.pin_size,
    "bush": pins.bush_size,
    "main_housing": main_housings.main_housing_size,
    "rod_housing": rod_housings.rod_housing_size,
    "main_journal": main_journals.main_journal_size,
    "crankpin": crankpins.crankpin_size,
}
INSTALLED = {
    "main_housing": main_housings.main_installed_bore_size,
    "rod_housing": rod_housings.rod_installed_bore_size,
}
MASTERS = [
    # true size, master, its error, part and gauge: expansion, kelvin
    ("0.0860123", "0.0860", "0.0000008", "0.0000110", "297.15", "0.0000115", "296.15"),
    ("0.0859550", "0.0859", "-0.0000011", "0.0000194", "291.65", "0.0000115", "294.15"),
    ("0.0599870", "0.0600", "0.0000002", "0.0000215", "288.15", "0.0000000", "301.15"),
]


class Scene:
    """One part beside one gauge, in exact decimals."""

    def __init__(self, row):
        figures = [Decimal(figure) for figure in row]
        self.true, self.master, self.error, part, part_at, gauge, gauge_at = figures
        self.part = 1 + part * (part_at - TWENTY)
        self.gauge = 1 + gauge * (gauge_at - TWENTY)
        self.factors = (
            part_factor(float(part), float(part_at), *WARMTH),
            reference_factor(float(gauge), float(gauge_at), *WARMTH),
        )

    def shown_on_a_scale(self):
        """A scale that has grown counts fewer of its own divisions."""
        return self.true * self.part / self.gauge

    def shown_by_a_dial(self):
        """How far the warm part is from the warm master."""
        return self.true * self.part - (self.master + self.error) * self.gauge


SCENES = [Scene(row) for row in MASTERS]
COVERS = "14 to 28 °C, iron, aluminium, steel, glass scale"


def given(feature, function, scene, reading, form, sense):
    names = inspect.signature(function).parameters
    part, gauge = scene.factors
    known = BELIEVED | {
        f"entry_form_{feature}": int(form),
        f"setting_size_{feature}": float(scene.master),
        "bore_setting_used": float(scene.master),
        f"setting_error_{feature}": float(scene.error),
        f"dial_sense_{feature}": int(sense),
        f"part_factor_{feature}": part,
        f"reference_factor_{feature}": gauge,
        f"{feature}_reading": float(reading),
    }
    return {name: known[name] for name in names}


@pytest.mark.parametrize("feature", SIZED)
@pytest.mark.outside(source=STANDARD, place="decimal.Decimal: the true part comes back", covers=COVERS)
def test_a_part_of_known_size_comes_back(feature):
    function = SIZED[feature]
    for scene in SCENES:
        truth = pytest.approx(float(scene.true), rel=1e-12)
        shown = scene.shown_on_a_scale()
        assert function(**given(feature, function, scene, shown, EntryForm.SIZE, 0)) == truth
        for sense, sign in ((DialSense.PLUS_IS_BIGGER, 1), (DialSense.PLUS_IS_SMALLER, -1)):
            shown = sign * scene.shown_by_a_dial()
            assert function(**given(feature, function, scene, shown, EntryForm.DEVIATION, sense)) == truth


@pytest.mark.outside(source=STANDARD, place="decimal.Decimal: the true part comes back", covers=COVERS)
def test_slope_and_offset_bring_a_reading_back():
    for scene in SCENES:
        part, gauge = scene.factors
        for form, sense, shown in (
            (EntryForm.SIZE, DialSense.PLUS_IS_BIGGER, scene.shown_on_a_scale()),
            (EntryForm.DEVIATION, DialSense.PLUS_IS_BIGGER, scene.shown_by_a_dial()),
            (EntryForm.DEVIATION, DialSense.PLUS_IS_SMALLER, -scene.shown_by_a_dial()),
        ):
            slope = entry_stages.entry_slope(int(form), int(sense), gauge, part)
            start = float(scene.master), float(scene.error), gauge, part
            for offset in (
                entry_stages.entry_offset(int(form), *start),
                entry_stages.bore_entry_offset(int(form), *start),
            ):
                assert slope * float(shown) + offset == pytest.approx(float(scene.true), rel=1e-12)


@pytest.mark.parametrize("feature", INSTALLED)
@pytest.mark.outside(source=STANDARD, place="decimal.Decimal: the true part comes back", covers=COVERS)
def test_an_installed_bore_of_known_size_comes_back(feature):
    for scene in SCENES:
        part, gauge = scene.factors
        shown = float(scene.shown_on_a_scale())
        bounds = BELIEVED["size_lowest"], BELIEVED["size_highest"]
        assert INSTALLED[feature](shown, gauge, part, *bounds) == pytest.approx(float(scene.true), rel=1e-12)


@pytest.mark.outside(source=STANDARD, place="decimal.Decimal: a gauge on a known bore", covers=COVERS)
def test_what_the_gauge_shows_of_the_bore_that_was_ordered():
    for scene in SCENES:
        part, gauge = scene.factors
        shown = honing.hone_shown(float(scene.true), part, gauge)
        assert shown == pytest.approx(float(scene.shown_on_a_scale()), rel=1e-12)
        for sense, sign in ((DialSense.PLUS_IS_BIGGER, 1), (DialSense.PLUS_IS_SMALLER, -1)):
            dial = honing.hone_dial(
                float(scene.true), part, gauge, float(scene.master), float(scene.error), int(sense)
            )
            assert dial == pytest.approx(sign * float(scene.shown_by_a_dial()), abs=1e-15)


def grown(size, expansion, kelvin):
    return Decimal(size) * (1 + Decimal(expansion) * (Decimal(kelvin) - TWENTY))


@pytest.mark.outside(source=STANDARD, place="decimal.Decimal: every part grown", covers="253 to 403 K")
def test_hot_clearances_of_parts_that_have_grown():
    for kelvin in ("253.15", "363.15", "403.15"):
        bore, piston = grown("0.0860123", "0.000011", kelvin), grown("0.085955", "0.0000194", kelvin)
        found = pistons.piston_clearance_hot(
            0.0860123, 0.085955, 11e-6, 19.4e-6, float(kelvin), float(kelvin), 293.15
        )
        assert found == pytest.approx(float(bore - piston), abs=1e-15)
        house, upper, lower = (
            grown("0.064012", "0.000011", kelvin),
            grown("0.001981", "0.0000115", kelvin),
            grown("0.001984", "0.0000115", kelvin),
        )
        shaft = grown("0.06", "0.0000121", kelvin)
        for hot in (main_clearances.main_clearance_hot, rod_clearances.rod_clearance_hot):
            found = hot(
                0.064012, 0.001981, 0.001984, 0.06, 11e-6, 11.5e-6, 12.1e-6, *[float(kelvin)] * 3, 293.15
            )
            assert found == pytest.approx(float(house - upper - lower - shaft), abs=1e-15)
