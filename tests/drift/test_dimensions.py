"""Every reference function takes quantities with units and gives the catalogue's dimension back.

The same build is computed three times: with plain SI numbers, with quantities in millimetres and
their like, and with quantities in inches and theirs. A dimensioned number hidden in an equation
would show as a wrong dimension or as a difference between the three.
"""

import tomllib
from pathlib import Path

import numpy as np
import pint
import pytest

from validators.reference.constants import BOLT_CLASSES, CONSTANTS, MATERIALS
from validators.reference.evaluate import EXACT_GUARD, Limited, evaluate
from validators.reference.wiring import Shapes, find_functions

CATALOGUE = tomllib.loads(
    (Path(__file__).parents[2] / "templates_src" / "quantities.toml").read_text(encoding="utf-8")
)
QUANTITIES = CATALOGUE["quantity"]
MEASURES = CATALOGUE["measure"]
UNITS = pint.UnitRegistry()

RESULTS = [key for key, entry in QUANTITIES.items() if entry["kind"] == "result"]
LIMITED = [key for key, entry in QUANTITIES.items() if "limits" in entry]
SIDES = {"both": ("lower", "upper"), "lower": ("lower",), "upper": ("upper",)}

# A V engine of four: two rods on a crankpin, three mains, two banks, three shell grades.
BANKS = np.array([1, 2, 1, 2])
CRANKPINS = np.array([1, 1, 2, 2])
GRADES = 3
COUNTED = {"cylinder": 4, "crankpin": 2, "main": 3, "bank": 2, "grade": GRADES, "joint": 2}
LABELS = {
    axis: tuple(entry.get("elements", ())) or tuple(map(str, range(1, COUNTED.get(axis, 0) + 1)))
    for axis, entry in CATALOGUE["axes"].items()
} | {
    "shellpair": tuple(map(str, range(1, GRADES**2 + 1))),
    "rodbolt": tuple(f"{cylinder}{bolt}" for cylinder in range(1, 5) for bolt in "ab"),
    "material": tuple(map(str, range(len(MATERIALS)))),
    "boltclass": tuple(map(str, range(len(BOLT_CLASSES)))),
    "item": (*LIMITED, "ring_gap"),
    "task": ("first", "second", "third"),
    "stage": ("all",),
}
LIMIT_KEYS = {f"{key}_{side}": key for key in LIMITED for side in SIDES[QUANTITIES[key]["limits"]]}
SHAPES = Shapes(
    {key: tuple(entry.get("over", ())) for key, entry in QUANTITIES.items()}
    | dict.fromkeys(LIMIT_KEYS, ()),
    LABELS,
)
BODY_OF = {
    "bore": "bore",
    "piston": "piston",
    "main_housing": "block",
    "rod_housing": "rod",
    "main_journal": "crank",
    "crankpin": "crank",
    "shell_wall": "shell",
    "pin_hole": "piston",
    "pin": "pin",
    "bush": "rod",
}
FITS = {
    "piston": ("bore", "piston"),
    "main": ("main_housing", "main_journal"),
    "rod": ("rod_housing", "crankpin"),
    "piston_pin": ("pin_hole", "pin"),
    "bush_pin": ("bush", "pin"),
}


def relations():
    found = {
        ("cylinder", "bank"): BANKS - 1,
        ("cylinder", "crankpin"): CRANKPINS - 1,
        ("rodbolt", "cylinder"): np.repeat(np.arange(4), 2),
        ("sized", "feature"): [LABELS["feature"].index(name) for name in LABELS["sized"]],
        ("sized", "body"): [LABELS["body"].index(BODY_OF[name]) for name in LABELS["sized"]],
    }
    for axis in ("sized", "feature"):
        for place, member in enumerate(("hole", "shaft")):
            found["fit", axis, member] = [
                LABELS[axis].index(FITS[fit][place]) for fit in LABELS["fit"]
            ]
    return found


FIXED = {
    "layout_cylinders": 4,
    "step_number": [1, 2, 3],
    "step_rests": np.ones((len(LABELS["item"]), 3)),
    "step_marks": [0, 1, 0],
    "step_points": [0, 0, 1],
    "layout_crankpins": 2,
    "layout_mains": 3,
    "layout_banks": 2,
    "cylinder_number": [1, 2, 3, 4],
    "cylinder_bank": BANKS,
    "cylinder_crankpin": CRANKPINS,
    "crankpin_number": [1, 2],
    "crankpin_rods": [2, 2],
    "main_number": [1, 2, 3],
    "bank_number": [1, 2],
    "bank_cylinders": [2, 2],
    "shellpair_upper": np.repeat(np.arange(1, GRADES + 1), GRADES),
    "shellpair_lower": np.tile(np.arange(1, GRADES + 1), GRADES),
    "rodbolt_cylinder": np.repeat(np.arange(1, 5), 2),
    "pace_share": [0.2, 0.4, 0.6, 0.8, 1.0],
    "profile_height": [3, 2, 1],
    "motion_angle": np.radians(np.arange(4, 33, 4)),
    "ring_dot_radius": [0.94, 0.8, 0.66, 0.52, 0.38],
    "dial_across": np.sin(np.arange(len(LABELS["dial"]))),
    "dial_along": np.cos(np.arange(len(LABELS["dial"]))),
    "trial_place": [-2, -1, 0, 1, 2],
    "node_eccentricity": [int(name[1:]) / 100 for name in LABELS["node"]],
    "item_required": np.ones(len(LABELS["item"])),
}
# Typed figures of an engine that can exist, in the units of the millimetre family. What is not
# said here is the middle of its hard range, or a default that is a number.
TYPED = {
    "stroke_nominal": 81,
    "deck_height": 208,
    "pin_offset": 0.8,
    "engine_speed": 6500,
    "dwell_distance": 1,
    "side_gas_pressure": 2,
    "candidate_rod_length": [136, 134, 131, 129],
    "candidate_compression_height": 31.2,
    "candidate_reciprocating_mass": 520,
    "candidate_chamber_volume": 48,
    "candidate_crown_volume": 2,
    "candidate_gasket_thickness": 1,
    "nominal_size": [93, 93, 64, 55, 60, 52, 2, 22, 22, 22],
    "body_expansion_own": 15,
    "bore_setting": 93,
    "setting_size": [93, 93, 64, 55, 60, 52, 2, 22, 22, 22],
    "setting_error": 0.001,
    "bore_reading": 93.01,
    "bore_present_largest": 92.9,
    "bore_present_smallest": 92.8,
    "piston_reading": 92.95,
    "piston_clearance_target": 0.05,
    "pin_hole_reading": 22.006,
    "pin_reading": 21.998,
    "bush_reading": 22.013,
    "main_housing_reading": 64.005,
    "main_installed_bore": 60.03,
    "main_journal_reading": 59.985,
    "rod_housing_reading": 55.008,
    "rod_installed_bore": 52.03,
    "crankpin_reading": 51.98,
    "main_grade_wall": [1.983, 1.986, 1.989],
    "rod_grade_wall": [1.487, 1.490, 1.493],
    "main_wall_upper": 1.986,
    "main_wall_lower": 1.986,
    "rod_wall_upper": 1.490,
    "rod_wall_lower": 1.490,
    "main_clearance_target": 0.048,
    "rod_clearance_target": 0.05,
    "main_height": [0.01, 0.02, 0.012],
    "main_position": [50, 150, 250],
    "pin_width": 48,
    "rod_width": 23,
    "deck_clearance_wanted": 0.1,
    "ring_gap_reading": 0.45,
    "rail_gap_reading": 0.6,
    "rock_radius": 40,
    "skirt_length": 50,
    "crown_step": 0.1,
    "deck_reading": -0.29,
    "rocked_reading": [[-0.235, -0.330]] * 4,
    "deck_corner": 208,
    "gasket_thickness": [0.6, 0.8, 1.0, 1.2, 1.4],
    "gasket_chosen": 1,
    "gasket_bore": 94,
    "land_diameter": 92.3,
    "land_height": 6,
    "ratio_target": 10,
    "chamber_volume": 48,
    "crown_volume": 2,
    "bolt_thread_size": 8,
    "bolt_thread_pitch": 1,
    "bolt_thread_length": 14,
    "bolt_part_length": [12, 24, 2, 2],
    "bolt_part_size": [8, 6.9, 7, 7],
    "bolt_free_length": 58.41,
    "bolt_tight_length": 58.55,
    "bolt_released_length": 58.42,
    "rod_rotating_mass": 372,
    "rod_cap_mass": 150,
    "joint_size": 10,
    "joint_pitch": 1.25,
    "joint_flank_size": 9.188,
    "joint_head_size": 13.25,
    "joint_thread_friction": 0.12,
    "joint_head_friction": 0.12,
    "joint_grip": 40,
    "joint_sleeve_size": 20,
    "joint_hole_size": 10.5,
    "joint_sleeve_modulus": 115,
    "piston_mass": [345, 344, 346, 345],
    "pin_mass": [92, 93, 92, 94],
    "rod_small_mass": [148, 149, 147, 148],
    "rod_big_mass": [428, 429, 427, 426],
    "rod_total_mass": 576,
    "throw_angle": [10, 100],
    "bank_direction": [45, -45],
    "cylinder_position": [0, 21, 100, 121],
    "lash_wanted": [0.2, 0.25],
    "shim_thickness": np.linspace(2.6, 3.05, 10),
    "spring_height_wanted": [39, 38],
    "spring_test_load": 400,
    "spring_test_height": 40,
    "spring_rate": 38,
    "spring_solid_height": 25,
    "valve_lift": [11.5, 11],
    "valve_opens": [4, 44],
    "valve_closes": [36, 2],
    "lash_reading": 0.3,
    "shim_present": 2.75,
    "spring_height": 40,
    "valve_drop": 2.5,
    "ring_gap_angle": [45, 225, 340, 40, 100],
    "ring_groove_root": 84.5,
    "ring_wall": 3.9,
    "ring_groove_width": 1.55,
    "ring_width": 1.5,
    "small_eye_size": 34,
    "small_eye_width": 24,
    "pin_inside_size": 13,
    "pin_length": 58.05,
    "retainer_span": 58.3,
    "oil_viscosity_warm": [60, 94, 140],
    "oil_viscosity_hot": [10, 14.3, 18.5],
    "oil_high_shear": [2.9, 3.5, 3.7],
    "duty_speed": [6500, 4000],
    "duty_gas_pressure": [0, 75],
    "duty_crank_angle": [2, 13],
    "duty_oil_temperature": [130, 115],
    "main_bearing_width": 24,
    "rod_bearing_width": 20,
    "head_clearance_static_lower": 0.5,
    "head_clearance_speed_lower": 0.3,
}


def shown_units(key):
    """Name the unit of the millimetre family, that of the inch family, and the SI unit."""
    measure = MEASURES[QUANTITIES[LIMIT_KEYS.get(key, key)].get("measure", "count")]
    return measure["mm"], measure["inch"], measure["si"]


def in_si(key, number):
    unit, _, si = shown_units(key)
    array = np.asarray(number, dtype=float)
    if unit == "degC":
        return UNITS.Quantity(array, unit).to(si).magnitude
    # Not every unit is a plain unit: expansion is shown in millionths.
    return UNITS.Quantity(array * UNITS.parse_expression(unit)).to(si).magnitude


def typed_number(entry):
    default = entry.get("default")
    if isinstance(default, int | float):
        return default
    if "range" in entry:
        return sum(entry["range"]) / 2
    return 0.05


PRESSED = {"pin_reading": 22.028}
"""What is otherwise where the pin is pressed into the rod."""


def numbers(*, pressed=False):
    """Every input in plain SI numbers, with a little scatter so that no difference is nothing."""
    figures = TYPED | (PRESSED if pressed else {})
    random = np.random.default_rng(7)
    found = {"shown_length": np.asarray(1e-3), "shown_mass": np.asarray(1e-3)}
    for key, entry in QUANTITIES.items():
        extents = SHAPES.extents(SHAPES.axes_of[key])
        if entry["kind"] == "fixed":
            found[key] = np.asarray(FIXED[key], dtype=float)
        elif entry["kind"] not in ("given", "reading"):
            continue
        elif "words" in entry:
            words = CATALOGUE["words"][entry["words"]]
            default = entry.get("default")
            code = words.index(default) if isinstance(default, str) else len(words) - 1
            found[key] = np.full(extents, float(code))
            if key == "pin_fit":
                found[key] = np.asarray(float(words.index("pressed" if pressed else "floating")))
        elif "text" in entry:
            codes = np.arange(extents[-1]) + 1.0 if extents else 1.0
            found[key] = np.ones(extents) * codes
        else:
            scatter = 1 + 2e-5 * random.uniform(-1, 1, extents)
            typed = figures[key] if key in figures else typed_number(entry)
            whole = entry["measure"] == "count"
            found[key] = in_si(key, np.ones(extents) * typed * (1 if whole else scatter))
    for limit in LIMIT_KEYS:
        found[limit] = in_si(limit, TYPED.get(limit, 0.04 if limit.endswith("lower") else 0.06))
    found |= {name: np.asarray(value) for name, value in CONSTANTS.items()}
    found["material_name"] = np.arange(float(len(MATERIALS)))
    found["material_expansion"] = np.array([material.expansion for material in MATERIALS])
    found["material_modulus"] = np.array([material.modulus for material in MATERIALS])
    found["bolt_class_name"] = np.arange(float(len(BOLT_CLASSES)))
    found["bolt_class_proof"] = np.array([listed.proof_stress for listed in BOLT_CLASSES])
    found["bolt_class_yield"] = np.array([listed.yield_stress for listed in BOLT_CLASSES])
    return found


def with_units(inputs, family):
    """Give every number its unit: 0 is the millimetre family, 1 the inch family, 2 SI."""
    found = {}
    shown = {"shown_length": "stroke_nominal", "shown_mass": "piston_mass"}
    for key, number in inputs.items():
        *_, si = units = shown_units(shown.get(key, key))
        quantity = UNITS.Quantity(number, si)
        # A scaled unit and degrees Celsius are ways to print a number, not units to compute in.
        unit = si if units[family] in ("degC", "1e-6/K") else units[family]
        found[key] = quantity.to(unit)
    return found


def limited(quantities):
    found = []
    for key in LIMITED:
        shown = in_si(key, 1.0)
        unit = shown_units(key)[2]
        found.append(
            Limited(
                key,
                QUANTITIES[key]["guard"],
                UNITS.Quantity(shown, unit) if quantities else float(shown),
            )
        )
    return found


REQUIRED = {
    "all": [
        key
        for key, entry in QUANTITIES.items()
        if entry["kind"] in ("given", "reading") and not entry.get("optional")
    ]
}
COMPUTED = sorted({function.__name__ for function in find_functions()} & set(RESULTS))
WANTED = [
    *COMPUTED,
    *(f"{key}_verdict" for key in LIMITED),
    *(f"{key}_limit_state" for key in LIMITED),
]


def computed(inputs, *, quantities):
    return evaluate(inputs, SHAPES, relations(), limited(quantities), WANTED, required=REQUIRED)


@pytest.fixture(scope="module", params=[False, True], ids=["floating", "pressed"])
def pressed(request):
    return request.param


@pytest.fixture(scope="module")
def plain(pressed):
    return computed(numbers(pressed=pressed), quantities=False)


@pytest.fixture(scope="module", params=["millimetres", "inches", "si"])
def measured(request, pressed):
    family = ["millimetres", "inches", "si"].index(request.param)
    return computed(with_units(numbers(pressed=pressed), family), quantities=True)


@pytest.mark.parametrize("key", RESULTS)
def test_a_reference_function_computes_every_result(key):
    """One function for one result, found by its name."""
    assert key in COMPUTED


def test_no_result_has_a_wrong_dimension(measured):
    """Every wrong one is named."""
    wrong = {}
    for key in COMPUTED:
        expected = UNITS.Quantity(1, shown_units(key)[2]).dimensionality
        found = UNITS.Quantity(measured[key]).dimensionality
        if found != expected:
            wrong[key] = (str(found), str(expected))
    assert not wrong


def test_no_result_depends_on_the_units_of_its_inputs(plain, measured):
    """Every one that does is named. Digits are lost where large sizes nearly cancel."""
    wrong = {}
    for key in WANTED:
        unit = shown_units(key)[2] if key in QUANTITIES else "1"
        found = UNITS.Quantity(measured[key]).to(unit).magnitude
        if not np.allclose(found, plain[key], rtol=1e-7, atol=0, equal_nan=True):
            wrong[key] = (found.ravel()[:3], plain[key].ravel()[:3])
    assert not wrong


ONE_PIN_ONLY = {
    False: {"pin_interference", "press_rise", "press_temperature", "press_pressure", "press_holding"},
    True: {"bush_pin_clearance", "pin_end_clearance"},
}
"""By whether the pin is pressed: what only the other pin has."""


def test_the_build_is_computed_through(plain, pressed):
    """A comparison of nothing with nothing would prove nothing."""
    empty = {key for key in WANTED if np.all(np.isnan(plain[key]))}
    assert empty == ONE_PIN_ONLY[pressed]


def test_every_guard_and_every_limit_is_known_to_the_catalogue():
    """A guard is a result, an element of one, an entry, or none for a typed figure."""
    known = {*QUANTITIES, EXACT_GUARD}
    for key in LIMITED:
        guard = QUANTITIES[key]["guard"]
        assert any(guard == name or guard.startswith(f"{name}_") for name in known), key


def test_blank_and_wild_entries_leave_every_word_and_nothing_infinite():
    """Words and counts are always there; a number is there or missing, whatever was typed."""
    random = np.random.default_rng(14)
    build = numbers()
    entered = [key for key, entry in QUANTITIES.items() if entry["kind"] in ("given", "reading")]
    always = [key for key in RESULTS if "words" in QUANTITIES[key]]
    always += [key for key in WANTED if key.endswith(("_verdict", "_limit_state"))]
    always += ["verdict_tally", "tally_total", "items_held", "mark_faults", "missing_total"]
    for trial in range(60):
        share = (0.002, 0.02, 0.2, 1.0)[trial % 4]
        typed = dict(build)
        for key in (*entered, *LIMIT_KEYS):
            shape = typed[key].shape
            wild = random.choice([np.nan, 0.0, -1.0, 1e-3, 300.0, 1e6], shape)
            spoiled = np.nan if trial % 3 == 0 else wild
            typed[key] = np.where(random.random(shape) < share, spoiled, typed[key])
        found = computed(typed, quantities=False)
        assert [key for key, value in found.items() if np.any(np.isinf(value))] == []
        assert [key for key in always if np.any(np.isnan(found[key]))] == []
