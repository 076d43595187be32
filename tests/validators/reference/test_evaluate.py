"""The wiring: names, alignment, gathering, counting, and what is refused."""

import numpy as np
import pytest

from validators.reference.evaluate import Limited, evaluate
from validators.reference.wiring import (
    CircularWiringError,
    MissingParameterError,
    Parameter,
    ShapeError,
    Shapes,
    WiringError,
    extra_axes,
    find_functions,
    read_parameter,
)
from validators.reference.words import Verdict

LABELS = {
    "cylinder": ("1", "2", "3"),
    "crankpin": ("1", "2"),
    "bank": ("1", "2"),
    "depth": ("top", "middle", "bottom"),
    "axis": ("thrust", "pin"),
    "sized": ("bore", "pin", "main_journal"),
    "feature": ("bore", "main_journal", "pin", "width"),
    "body": ("crank", "bore", "pin"),
    "fit": ("piston", "piston_pin"),
    "item": ("size", "ring_gap"),
    "tally": ("within", "under", "over", "close", "missing", "open"),
    "stage": ("first", "second"),
}
AXES = {
    "size": ("cylinder", "depth", "axis"),
    "offset": (),
    "worst": ("cylinder",),
    "by_axis": ("cylinder", "axis"),
    "pin_height": ("crankpin",),
    "gasket": ("bank",),
    "sum_of_heights": (),
    "resolution": ("feature",),
    "growth": ("body",),
    "per_size": ("sized",),
    "per_fit": ("fit",),
    "result": (),
}
SHAPES = Shapes(AXES, LABELS)
RELATIONS = {
    ("cylinder", "crankpin"): [0, 1, 1],
    ("cylinder", "bank"): [1, 0, 1],
    ("sized", "feature"): [0, 2, 1],
    ("sized", "body"): [1, 2, 0],
    ("fit", "sized", "hole"): [0, 1],
    ("fit", "sized", "shaft"): [2, 1],
    ("fit", "feature", "hole"): [0, 2],
    ("fit", "feature", "shaft"): [1, 3],
}


def run(inputs, *functions, axes=None, limited=(), **more):
    shapes = Shapes({**AXES, **(axes or {})}, LABELS)
    names = [function.__name__ for function in functions]
    more.setdefault("wanted", names)
    return evaluate(inputs, shapes, RELATIONS, limited, functions=functions, **more)


# ---------------------------------------------------------------- names
@pytest.mark.parametrize(
    ("name", "key", "elements"),
    [
        ("size", "size", ()),
        ("size_thrust", "size", (("axis", 0),)),
        ("size_middle", "size", (("depth", 1),)),
        ("size_2_top_pin", "size", (("cylinder", 1), ("depth", 0), ("axis", 1))),
        ("per_size_main_journal", "per_size", (("sized", 2),)),
        ("resolution_pin", "resolution", (("feature", 2),)),
        ("per_fit_piston_pin", "per_fit", (("fit", 1),)),
    ],
)
def test_an_element_name_fixes_the_axes_of_its_labels(name, key, elements):
    assert read_parameter(name, SHAPES) == Parameter(name, key, elements)


def test_labels_count_only_in_the_order_of_the_catalogue():
    assert read_parameter("size_pin_top", SHAPES) is None


@pytest.mark.parametrize("name", ["sizes", "size_up", "size_top_top", "top", "size_"])
def test_a_name_that_stands_for_nothing_is_not_read(name):
    assert read_parameter(name, SHAPES) is None


def test_a_member_of_a_fit_is_read():
    assert read_parameter("per_size_of_shaft", SHAPES) == Parameter(
        "per_size_of_shaft", "per_size", member="shaft"
    )


def test_a_key_comes_before_an_element_of_the_same_name():
    shapes = Shapes({**AXES, "size_top": ()}, LABELS)
    assert read_parameter("size_top", shapes) == Parameter("size_top", "size_top")


def test_a_name_with_two_readings_is_refused():
    shapes = Shapes({"gap": ("fit",), "gap_piston": ("axis",)}, LABELS)
    with pytest.raises(WiringError, match="gap_piston_pin can be read in 2 ways"):
        read_parameter("gap_piston_pin", shapes)


# ---------------------------------------------------------------- alignment
def test_extra_axes_come_in_the_order_first_met():
    parameters = [read_parameter(name, SHAPES) for name in ("pin_height", "size", "resolution")]
    axes = ("axis",)
    extra = extra_axes(parameters, axes, SHAPES, RELATIONS)
    assert extra == ("crankpin", "cylinder", "depth", "feature")


def test_a_parameter_gets_size_one_for_every_axis_it_lacks():
    seen = {}

    def by_axis(offset, pin_height, size):
        seen.update(offset=offset, pin_height=pin_height, size=size)
        return np.sum(size, axis=-1) + offset[..., 0] + pin_height[..., 0]

    size = np.arange(18.0).reshape(3, 3, 2)
    found = run({"offset": 1.0, "pin_height": [10.0, 20.0], "size": size}, by_axis)
    assert seen["offset"].shape == (1, 1, 1)
    assert seen["pin_height"].shape == (3, 1, 1)
    assert seen["size"].shape == (3, 2, 3)
    assert found["by_axis"] == pytest.approx(size.sum(axis=1) + 1 + [[10], [20], [20]])


def test_batch_axes_stay_in_front_and_need_not_be_in_every_input():
    def worst(size, offset, gasket):
        return np.max(size, axis=(-2, -1)) + offset[..., 0, 0] + gasket[..., 0, 0]

    size = np.arange(4 * 5 * 18.0).reshape(4, 5, 3, 3, 2)
    offset = np.arange(5.0)
    found = run({"size": size, "offset": offset, "gasket": [1.0, 2.0]}, worst)["worst"]
    assert found.shape == (4, 5, 3)
    assert found == pytest.approx(
        size.max(axis=(-2, -1)) + offset[:, np.newaxis] + np.array([2.0, 1.0, 2.0])
    )


def test_a_fixed_axis_is_gone_and_the_others_stay():
    def worst(size_middle_pin, size_2_top_thrust):
        return size_middle_pin - size_2_top_thrust

    size = np.arange(18.0).reshape(3, 3, 2)
    assert run({"size": size}, worst)["worst"] == pytest.approx(size[:, 1, 1] - size[1, 0, 0])


def test_an_axis_of_the_result_that_no_parameter_has_is_filled():
    def by_axis(offset):
        return offset

    assert run({"offset": 2.0}, by_axis)["by_axis"].tolist() == [[2.0, 2.0]] * 3


# ---------------------------------------------------------------- gathering
def test_crankpin_and_bank_are_gathered_per_cylinder():
    def worst(pin_height, gasket):
        return pin_height * 10 + gasket

    found = run({"pin_height": [1.0, 2.0], "gasket": [3.0, 4.0]}, worst)["worst"]
    assert found.tolist() == [14.0, 23.0, 24.0]


def test_crankpin_is_an_extra_axis_where_the_result_has_no_cylinder():
    def sum_of_heights(pin_height):
        return np.sum(pin_height, axis=-1)

    assert run({"pin_height": [1.0, 2.0]}, sum_of_heights)["sum_of_heights"] == 3.0


def test_cylinder_is_an_extra_axis_of_a_result_over_bank():
    def gasket(worst, cylinder_bank, bank_number):
        return np.sum(np.where(cylinder_bank == bank_number, worst, 0.0), axis=-1)

    axes = {"cylinder_bank": ("cylinder",), "bank_number": ("bank",)}
    inputs = {"worst": [1.0, 2.0, 4.0], "cylinder_bank": [2.0, 1.0, 2.0], "bank_number": [1, 2]}
    assert run(inputs, gasket, axes=axes)["gasket"].tolist() == [2.0, 5.0]


def test_feature_and_body_are_gathered_per_sized_feature():
    def per_size(resolution, growth):
        return resolution + growth

    inputs = {"resolution": [1.0, 2.0, 3.0, 4.0], "growth": [10.0, 20.0, 30.0]}
    assert run(inputs, per_size)["per_size"].tolist() == [21.0, 33.0, 12.0]


def test_the_members_of_a_fit_are_gathered_from_both_lists():
    def per_fit(per_size_of_hole, per_size_of_shaft, resolution_of_hole, resolution_of_shaft):
        return (
            1000 * per_size_of_hole
            + 100 * per_size_of_shaft
            + 10 * resolution_of_hole
            + resolution_of_shaft
        )

    inputs = {"per_size": [1.0, 2.0, 3.0], "resolution": [5.0, 6.0, 7.0, 8.0]}
    assert run(inputs, per_fit)["per_fit"].tolist() == [1356.0, 2278.0]


def test_a_relation_that_is_not_given_is_named():
    def worst(pin_height):
        return pin_height

    with pytest.raises(WiringError, match="pin_height needs the relation"):
        evaluate({"pin_height": [1, 2]}, SHAPES, {}, (), ["worst"], functions=[worst])


# ---------------------------------------------------------------- order and refusals
def test_results_are_computed_after_what_they_need_and_only_wanted_ones():
    def result(sum_of_heights):
        return 2 * sum_of_heights

    def sum_of_heights(pin_height):
        return np.sum(pin_height, axis=-1)

    def worst(nobody_knows):
        return nobody_knows

    found = run({"pin_height": [1.0, 2.0]}, result, sum_of_heights, worst, wanted=["result"])
    assert found == {"result": 6.0}


def test_an_input_stands_in_the_place_of_a_constant_and_of_a_result():
    def result(reference_temperature, sum_of_heights):
        return reference_temperature + sum_of_heights

    axes = {"reference_temperature": ()}
    assert run({"sum_of_heights": 1.0}, result, axes=axes)["result"] == pytest.approx(294.15)
    inputs = {"sum_of_heights": 1.0, "reference_temperature": 300.0}
    assert run(inputs, result, axes=axes)["result"] == 301.0


def test_a_missing_parameter_is_named_with_its_function():
    def result(offset):
        return offset

    with pytest.raises(MissingParameterError) as caught:
        run({}, result)
    assert (caught.value.function, caught.value.parameter) == ("result", "offset")
    assert "result needs offset" in str(caught.value)


def test_a_parameter_that_stands_for_nothing_is_named_with_its_function():
    def result(misspelt):
        return misspelt

    with pytest.raises(MissingParameterError) as caught:
        run({}, result)
    assert (caught.value.function, caught.value.parameter) == ("result", "misspelt")


def test_a_wanted_name_that_nobody_computes_is_refused():
    with pytest.raises(MissingParameterError, match="worst"):
        run({}, wanted=["worst"])


def test_a_cycle_is_named():
    def result(sum_of_heights):
        return sum_of_heights

    def sum_of_heights(result):
        return result

    with pytest.raises(CircularWiringError) as caught:
        run({}, result, sum_of_heights)
    assert set(caught.value.names) == {"result", "sum_of_heights"}


def test_two_functions_of_one_name_are_refused():
    def result(offset):
        return offset

    with pytest.raises(WiringError, match="two functions are called result"):
        run({"offset": 1.0}, result, result)


def test_an_input_of_the_wrong_shape_is_refused():
    with pytest.raises(ShapeError, match="pin_height has shape \\(3,\\)"):
        run({"pin_height": [1.0, 2.0, 3.0]}, wanted=[])


def test_an_unknown_input_is_refused():
    with pytest.raises(WiringError, match="misspelt is not in the shapes"):
        run({"misspelt": 1.0}, wanted=[])


def test_a_function_that_forgets_to_reduce_is_refused():
    def worst(size):
        return size

    with pytest.raises(ShapeError, match="worst has shape"):
        run({"size": np.ones((3, 3, 2))}, worst)


def test_what_is_not_finite_becomes_nan_without_a_warning():
    def result(offset):
        return 1 / offset

    assert np.isnan(run({"offset": 0.0}, result)["result"])


# ---------------------------------------------------------------- limits and counts
LIMITS = {"size_lower": (), "size_upper": (), "offset_upper": ()}


def test_limits_give_a_state_and_a_verdict_per_element():
    inputs = {
        "size": np.where(np.arange(18).reshape(3, 3, 2) == 0, np.nan, 5.0),
        "size_lower": 4.0,
        "size_upper": np.nan,
        "worst": [0.5, 1.5, np.nan],
    }
    limited = [Limited("size", "worst", 1.0)]
    found = run(inputs, axes=LIMITS, limited=limited, wanted=["size_limit_state", "size_verdict"])
    assert found["size_limit_state"].shape == ()
    assert found["size_limit_state"] == 2
    assert found["size_verdict"][0].tolist() == [[0, 5], [5, 5], [5, 5]]
    assert np.all(found["size_verdict"][1] == Verdict.TOO_CLOSE)
    assert np.all(found["size_verdict"][2] == Verdict.NOT_MEASURED)


def test_a_guard_may_be_an_element_and_an_exact_figure_has_none():
    inputs = {"offset": 2.0, "offset_upper": 2.0, "resolution": [0.0, 0.0, 0.1, 0.0]}
    for guard, word in (("exact_guard", Verdict.WITHIN), ("resolution_pin", Verdict.TOO_CLOSE)):
        limited = [Limited("offset", guard, 1.0)]
        found = run(inputs, axes=LIMITS, limited=limited, wanted=["offset_verdict"])
        assert found["offset_verdict"] == word


def test_a_limit_that_has_a_shape_must_be_an_input():
    with pytest.raises(MissingParameterError) as caught:
        run(
            {"offset": 1.0},
            axes=LIMITS,
            limited=[Limited("offset", "exact_guard", 1.0)],
            wanted=["offset_verdict"],
        )
    assert caught.value.parameter == "offset_upper"


def test_a_limited_quantity_without_any_limit_is_refused():
    with pytest.raises(WiringError, match="offset or its limits"):
        run({}, limited=[Limited("offset", "exact_guard", 1.0)], wanted=[])


def test_verdicts_are_collected_per_item_in_their_order():
    def verdict_tally(item_verdict):
        return np.sum(item_verdict == np.arange(6).reshape(6, 1), axis=-1)

    axes = {**LIMITS, "verdict_tally": ("item", "tally"), "ring_gap_verdict": ("cylinder",)}
    inputs = {
        "size": np.full((3, 3, 2), 5.0),
        "size_lower": 4.0,
        "size_upper": 6.0,
        "ring_gap_verdict": [0.0, 3.0, 3.0],
    }
    limited = [Limited("size", "exact_guard", 1.0)]
    found = run(inputs, verdict_tally, axes=axes, limited=limited)["verdict_tally"]
    assert found.tolist() == [[0, 0, 0, 0, 0, 18], [1, 0, 0, 2, 0, 0]]
    turned = ["ring_gap_verdict", "size_verdict"]
    found = run(inputs, verdict_tally, axes=axes, limited=limited, items=turned)["verdict_tally"]
    assert found.tolist() == [[1, 0, 0, 2, 0, 0], [0, 0, 0, 0, 0, 18]]


def test_items_must_be_as_many_as_the_labels_say():
    def verdict_tally(item_verdict):
        return item_verdict

    axes = {"verdict_tally": ("item", "tally"), "ring_gap_verdict": ("cylinder",)}
    with pytest.raises(ShapeError, match="item_verdict"):
        run({"ring_gap_verdict": [0.0, 0.0, 0.0]}, verdict_tally, axes=axes)


def test_blank_entries_are_counted_per_sheet_and_per_build():
    def stage_missing(stage_entry_blank):
        return np.sum(stage_entry_blank, axis=-1)

    nan = np.nan
    inputs = {
        "offset": np.array([1.0, nan]),
        "pin_height": np.array([[nan, nan], [0.0, nan]]),
        "gasket": np.array([nan, 2.0]),
    }
    found = run(
        inputs,
        stage_missing,
        axes={"stage_missing": ("stage",)},
        required={"second": ["gasket"], "first": ["offset", "pin_height"]},
    )["stage_missing"]
    assert found.tolist() == [[2.0, 1.0], [2.0, 1.0]]


def test_sheets_that_the_shapes_do_not_know_are_refused():
    with pytest.raises(WiringError, match="required speaks of"):
        run({}, required={"third": []}, wanted=[])


def test_the_functions_of_the_package_are_found_without_a_list():
    found = {function.__name__: function for function in find_functions()}
    assert {"bore_size", "fit_uncertainty", "ring_gap_hot", "assembly_state"} <= set(found)
    assert not {"evaluate", "verdict", "size_at_reference", "only_where", "rank"} & set(found)
