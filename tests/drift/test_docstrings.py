"""What a docstring of the core says about units and shapes is what the catalogue says."""

import inspect
import re

import pytest

from sheetgen.build import new_build
from sheetgen.catalogue import load_catalogue
from sheetgen.plan import plan_workbook
from validators.recompute import Recomputer
from validators.reference.evaluate import _COLLECTED
from validators.reference.wiring import find_functions, read_parameter

CATALOGUE = load_catalogue()
SHAPES = Recomputer(plan_workbook(new_build("v6"))).shapes
FUNCTIONS = {function.__name__: function for function in find_functions()}
SECTION = re.compile(r"\n([A-Z][a-z]+)\n-+\n")
LINE = re.compile(r"(?P<names>[a-z0-9_, ]+) : shape \((?P<axes>[^)]*)\), \[(?P<unit>[^\]]+)\]")
PER_SHEET = {"shown_length": "m", "shown_mass": "kg"}
"""What is no quantity of the catalogue: the size of the unit that the workbook shows."""


def sections(function):
    parts = SECTION.split(inspect.getdoc(function) or "")
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def stated(text):
    """Yield name, axes and unit of every entry of a section."""
    for line in text.splitlines():
        if line and not line.startswith(" "):
            match = LINE.fullmatch(line)
            assert match, f"cannot be read: {line}"
            for name in match["names"].split(", "):
                yield name, match["axes"], match["unit"]


def unit_of(key):
    if key in PER_SHEET:
        return PER_SHEET[key]
    entry = CATALOGUE.entries.get(key)
    return CATALOGUE.measures[entry.measure].si if entry and entry.measure else "1"


def shape_of(name):
    if name in _COLLECTED:
        return ", ".join(("...", *_COLLECTED[name]))
    parameter = read_parameter(name, SHAPES)
    fixed = dict(parameter.elements)
    axes = [axis for axis in SHAPES.axes_of[parameter.key] if axis not in fixed]
    return ", ".join(("...", *(["fit"] if parameter.member else axes)))


def test_every_result_of_the_catalogue_has_a_function_and_no_function_is_left_over():
    made_from_limits = {
        key for key, entry in CATALOGUE.entries.items() if entry.of and not entry.is_input
    }
    results = {key for key, entry in CATALOGUE.entries.items() if entry.kind == "result"}
    assert set(FUNCTIONS) == results - made_from_limits


@pytest.mark.parametrize("name", FUNCTIONS)
def test_parameters_have_the_unit_and_the_shape_of_the_catalogue(name):
    function = FUNCTIONS[name]
    listed = list(stated(sections(function).get("Parameters", "")))
    assert [parameter for parameter, _, _ in listed] == list(inspect.signature(function).parameters)
    for parameter, axes, unit in listed:
        found = read_parameter(parameter, SHAPES)
        key = found.key if found else parameter
        assert (axes, unit) == (shape_of(parameter), unit_of(key)), parameter


@pytest.mark.parametrize("name", FUNCTIONS)
def test_the_result_has_the_unit_and_the_shape_of_the_catalogue(name):
    assert list(stated(sections(FUNCTIONS[name])["Returns"])) == [(name, shape_of(name), unit_of(name))]


@pytest.mark.parametrize("name", FUNCTIONS)
def test_the_source_is_named(name):
    assert sections(FUNCTIONS[name])["Source"].strip()
