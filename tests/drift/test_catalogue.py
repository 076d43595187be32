"""The catalogue, the constants sheet and the templates against pint and the reference core."""

import math
import re
import tomllib
from types import SimpleNamespace

import pint
import pytest

from sheetgen.build import new_build, presets
from sheetgen.catalogue import FAMILIES, load_catalogue
from sheetgen.formula_rules import lint_formula, lint_name
from sheetgen.plan import formula_cells, plan_workbook
from sheetgen.sources import TEMPLATES
from sheetgen.template import read_shapes, read_templates, template_version
from validators.judged import judged_cells
from validators.reference.constants import CONSTANTS, MATERIALS
from validators.reference.words import LISTS
from validators.units import to_si

CATALOGUE = load_catalogue()
UNITS = pint.UnitRegistry()
SHEET = tomllib.loads((TEMPLATES / "constants.toml").read_text(encoding="utf-8"))
TYPED = {constant["key"]: constant["value"] for block in SHEET["block"] for constant in block["constants"]}
ONLY_IN_SHEET = {
    "length_to_metre", "volume_factor", "displacement_factor", "speed_divisor", "square_metre_factor",
    "seconds_per_minute", "micro_factor", "grams_per_kilogram", "pascals_per_megapascal",
    "pascals_per_gigapascal", "percent_factor", "torque_factor", "open_limit",
    "kelvin_at_zero", "millis_in_one", "pascals_per_bar", "film_factor",
}
"""Unit factors, which equations in SI do not need, and the stand-in for a limit that is not set."""
LAYOUTS = list(presets())
ADDRESS = re.compile(r"(?<![A-Za-z0-9_{])\$?[A-Z]{1,3}\$?[0-9]{1,7}(?![A-Za-z0-9_(])")


def of_family(value, family):
    return value[FAMILIES.index(family)] if isinstance(value, list) else value


def quantity(number, unit):
    """Make a pint quantity from a unit as the catalogue spells it, by a way of its own."""
    if unit == "1":
        return UNITS.Quantity(number, "dimensionless")
    if unit == "1e-6/K":
        return UNITS.Quantity(number * 1e-6, "1/K")
    return UNITS.Quantity(number, unit)


# ---------------------------------------------------------------- units


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize("measure", CATALOGUE.measures.values(), ids=lambda measure: measure.name)
def test_a_shown_unit_has_the_dimension_and_the_size_that_the_catalogue_says(measure, family):
    unit, factor = measure.unit(family), measure.to_si[FAMILIES.index(family)]
    si = "dimensionless" if measure.si == "1" else measure.si
    one, none = (quantity(number, unit).to(si).magnitude for number in (1.0, 0.0))
    assert factor == pytest.approx(one - none, rel=1e-14)
    assert measure.offset == pytest.approx(none, abs=1e-12)
    assert to_si(measure, family) == pytest.approx((factor, measure.offset), rel=1e-14, abs=1e-12)


@pytest.mark.parametrize("measure", CATALOGUE.measures.values(), ids=lambda measure: measure.name)
def test_the_core_speaks_coherent_si(measure):
    si = UNITS.Quantity(1.0, "dimensionless" if measure.si == "1" else measure.si)
    assert si.to_base_units().magnitude == pytest.approx(1000.0 if measure.si == "g" else 1.0, rel=1e-15)


@pytest.mark.parametrize("family", FAMILIES)
def test_the_unit_factors_of_the_constants_sheet_are_those_of_pint(family):
    def shown(measure):
        return CATALOGUE.measures[measure].unit(family)

    def ratio(one, other):
        return UNITS.Quantity(1.0, one).to(other).magnitude

    length = shown("length")
    wanted = {
        "length_to_metre": ratio(length, "m"),
        "volume_factor": ratio(f"{length}^3", shown("volume")),
        "displacement_factor": ratio(f"{length}^3", shown("displacement")),
        "speed_divisor": ratio(shown("speed"), f"{length}/min"),
        "square_metre_factor": ratio(shown("area"), "m^2"),
        "seconds_per_minute": ratio("min", "s"),
        "micro_factor": quantity(1.0, shown("expansion")).to("1/K").magnitude,
        "grams_per_kilogram": ratio("kg", shown("mass")),
        "pascals_per_megapascal": ratio(shown("pressure"), "Pa"),
        "pascals_per_gigapascal": ratio(shown("modulus"), "Pa"),
        "kelvin_at_zero": UNITS.Quantity(0.0, "degC").to("K").magnitude,
        "millis_in_one": ratio("Pa*s", shown("viscosity")),
        "pascals_per_bar": ratio(shown("gas_pressure"), "Pa"),
        "film_factor": ratio(length, shown("film_thickness")),
        "percent_factor": ratio("dimensionless", shown("percent")),
        "torque_factor": ratio(shown("torque"), "N*m"),
    }
    assert set(wanted) == ONLY_IN_SHEET - {"open_limit"}
    for key, value in wanted.items():
        assert of_family(TYPED[key], family) == pytest.approx(value, rel=1e-14), key


def test_no_figure_that_can_be_typed_comes_near_the_stand_in_for_a_limit_that_is_not_set():
    for entry in CATALOGUE.entries.values():
        if entry.measure and entry.of:
            for family in FAMILIES:
                length = CATALOGUE.measures[entry.measure].from_millimetre(1.0, family)
                assert length * 10_000 < TYPED["open_limit"] or entry.measure != "length"


# ---------------------------------------------------------------- constants, materials, words, relations


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize("key", CONSTANTS)
def test_a_constant_is_the_same_on_the_sheet_and_in_the_core(key, family):
    factor, offset = to_si(CATALOGUE.measures[CATALOGUE.entries[key].measure], family)
    in_si = of_family(TYPED[key], family) * factor + offset
    assert in_si == pytest.approx(CONSTANTS[key], rel=1e-14, abs=1e-300)


def test_every_constant_is_stated_on_both_sides():
    keys = {key for key, entry in CATALOGUE.entries.items() if entry.kind == "constant" and not entry.over}
    assert set(TYPED) == keys
    assert set(CONSTANTS) == keys - ONLY_IN_SHEET


def test_the_materials_are_the_same_on_the_sheet_and_in_the_core():
    expansion, modulus = (
        to_si(CATALOGUE.measures[CATALOGUE.entries[key].measure], "millimetre")[0]
        for key in ("material_expansion", "material_modulus")
    )
    assert len(SHEET["material"]) == len(MATERIALS)
    for typed, material in zip(SHEET["material"], MATERIALS, strict=True):
        assert typed["expansion"] * expansion == pytest.approx(material.expansion, rel=1e-14), typed["name"]
        listed = typed["modulus"] * modulus if "modulus" in typed else math.nan
        assert listed == pytest.approx(material.modulus, rel=1e-14, nan_ok=True), typed["name"]


def test_the_material_names_of_both_sides_speak_of_the_same_thing():
    for typed, material in zip(SHEET["material"], MATERIALS, strict=True):
        words = set(re.findall(r"[a-z]{4,}|[0-9]{4}", typed["name"].lower())) - COMMON_WORDS
        assert any(word in material.name.lower() for word in words), (typed["name"], material.name)


COMMON_WORDS = {"alloy", "piston", "forged", "cast", "gauge"}


@pytest.mark.parametrize("name", CATALOGUE.words)
def test_a_word_list_is_the_same_in_catalogue_and_core(name):
    listed = tuple(LISTS[name])
    assert CATALOGUE.words[name] == tuple(word.text for word in listed)
    assert [int(word) for word in listed] == list(range(len(listed)))


def test_no_word_list_is_left_over():
    assert set(LISTS) == set(CATALOGUE.words)


def test_what_sits_on_what_is_told_a_second_time_here():
    """Both statements take the relations from the catalogue, so a mistake there would go unseen."""
    assert CATALOGUE.relations == {
        "body_of_sized": {
            "bore": "bore", "piston": "piston", "pin_hole": "piston", "pin": "pin", "bush": "rod",
            "main_housing": "block", "rod_housing": "rod", "main_journal": "crank", "crankpin": "crank",
            "shell_wall": "shell",
        },
        "hole_of_fit": {
            "piston": "bore", "main": "main_housing", "rod": "rod_housing", "piston_pin": "pin_hole",
            "bush_pin": "bush",
        },
        "shaft_of_fit": {
            "piston": "piston", "main": "main_journal", "rod": "crankpin", "piston_pin": "pin",
            "bush_pin": "pin",
        },
        "one_of_pair": {"compression": "top", "between": "second", "rails": "high"},
        "other_of_pair": {"compression": "second", "between": "high", "rails": "deep"},
    }


# ---------------------------------------------------------------- defaults of both families


def pairs():
    for key, sides in tomllib.loads((TEMPLATES / "limits.toml").read_text(encoding="utf-8")).items():
        for side, value in sides.items():
            yield f"{key}_{side}", key, value
    for key, entry in CATALOGUE.entries.items():
        defaults = entry.default.values() if isinstance(entry.default, dict) else [entry.default]
        for value in defaults:
            if isinstance(value, list):
                yield key, key, value


@pytest.mark.parametrize(("name", "key", "value"), list(pairs()), ids=str)
def test_a_default_means_the_same_in_both_families(name, key, value):
    """Inch defaults are round figures, near the metric ones."""
    measure = CATALOGUE.measures[CATALOGUE.entries[key].measure]
    if not isinstance(value, list):
        assert measure.unit("millimetre") == measure.unit("inch")
        return
    in_inch = measure.from_millimetre(value[0], "inch")
    assert value[1] == pytest.approx(in_inch, rel=0.3, abs=10.0 ** -measure.decimals[1])


# ---------------------------------------------------------------- templates


def stated_formulas():
    shapes = read_shapes()
    named = {"verdict": shapes.verdict, "floor": shapes.floor, "ceiling": shapes.ceiling, "echo": shapes.echo}
    yield from ({**named, "size": shapes.size} | {f"state, {k}": v for k, v in shapes.state.items()}).items()
    for template in read_templates(template_version()):
        for block in template.blocks:
            for line in block.lines:
                if line.formula:
                    yield f"{template.stem}/{line.quantity}", line.formula


@pytest.mark.parametrize(("name", "formula"), list(stated_formulas()), ids=lambda part: part[:40])
def test_a_formula_of_the_templates_holds_no_cell_address(name, formula):
    assert not ADDRESS.search(re.sub(r'"[^"]*"', '""', formula))


def test_the_search_for_addresses_finds_one():
    assert ADDRESS.search("=IF($B$3>0,{bore_mean},1)")
    assert ADDRESS.search("={bore_mean}-AB12")
    assert not ADDRESS.search("=ATAN2({piston_size},2)")


@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_formula_and_name_of_a_workbook_is_fit_for_every_program(layout):
    plan = plan_workbook(new_build(layout))
    blocks = {name for name, (_, first, last) in plan.names.items() if first != last}
    for name in plan.names:
        assert not lint_name(name)
    for cell in formula_cells(plan):
        assert not lint_formula(cell.formula, plan.names, blocks), f"{cell.sheet}!{cell.address} {cell.name}"


@pytest.mark.parametrize("layout", LAYOUTS)
def test_both_families_have_the_same_formulas(layout):
    metric, inch = (plan_workbook(new_build(layout, family)) for family in FAMILIES)
    assert [cell.formula for cell in metric.cells] == [cell.formula for cell in inch.cells]
    assert metric.names == inch.names


def test_an_estimate_is_judged_on_its_sheet_and_holds_nothing():
    advisory = [key for key in CATALOGUE.limited if CATALOGUE.entries[key].advisory]
    assert advisory
    plan = plan_workbook(new_build("inline-3"))
    judged = {name for _, name in judged_cells(SimpleNamespace(plan=plan, values={}))}
    for key in advisory:
        assert f"{key}_verdict" not in CATALOGUE.items
        assert f"verdict_tally_{key}_within" not in plan.by_name
        assert plan.by_key[f"{key}_verdict"]
        assert not judged & {cell.name for cell in plan.by_key[key]}
    assert judged >= {cell.name for cell in plan.by_key["rod_clearance"]}
