"""What must hold of any build, whatever its figures: units, numbering, more metal, ordered sizes."""

from functools import cache

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from sheetgen.build import new_build
from sheetgen.plan import plan_workbook
from validators.random_builds import MOODS, random_entries
from validators.recompute import Recomputer
from validators.reference.evaluate import evaluate
from validators.reference.words import DialSense, EntryForm
from validators.units import to_si

TIDY = st.integers(0, 10_000).map(lambda number: number * len(MOODS))
"""Seeds of builds without slips, blanks and edges."""
SOME = settings(max_examples=4, deadline=None, phases=[Phase.explicit, Phase.generate])
MICRO = 1e-6


@cache
def recomputer(layout, family):
    return Recomputer(plan_workbook(new_build(layout, family)))


def inputs_of(core, entries):
    inputs, _ = core.arrays([entries])
    return {key: value[0] if np.ndim(value) else value for key, value in inputs.items()}


def results(core, inputs, wanted=None):
    keys = list(dict.fromkeys(cell.key for cell in core.computed)) if wanted is None else wanted
    return evaluate(
        inputs,
        core.shapes,
        core.relations,
        core.limited,
        keys,
        required=core.plan.stage_inputs,
        items=core.catalogue.items,
    )


def is_number(core, key):
    return bool(core.catalogue.entries[key].measure)


# ---------------------------------------------------------------- units


def in_millimetres(core, entries):
    """The same build, typed in the units of the other family."""
    typed = {}
    for cell in core.plan.cells:
        if not cell.is_input:
            continue
        value, entry = entries.get(cell.name), core.catalogue.entries[cell.key]
        if entry.measure and isinstance(value, int | float):
            measure = core.catalogue.measures[entry.measure]
            (inch, start), (millimetre, other) = (to_si(measure, f) for f in ("inch", "millimetre"))
            value = (value * inch + start - other) / millimetre
        typed[cell.name] = value
    return typed


@SOME
@given(seed=TIDY)
def test_a_build_in_inches_is_the_same_build_in_millimetres(seed):
    inch, millimetre = recomputer("inline-4", "inch"), recomputer("inline-4", "millimetre")
    entries = random_entries(inch.plan, seed)
    one = results(inch, inputs_of(inch, entries))
    other = results(millimetre, inputs_of(millimetre, in_millimetres(inch, entries)))
    assert one.keys() == other.keys()
    told = 0
    for key in one:
        # What is rounded at nine decimals of the shown unit, and what is picked by it, is rounded at other
        # places in the other unit; all else agrees to the last digits of the sizes.
        length = inch.catalogue.entries[key].measure in ("length", "fine_length")
        allowed = 1e-9 * 0.0254 if length else 1e-14
        assert other[key] == pytest.approx(one[key], rel=1e-8, abs=allowed, nan_ok=True), key
        told += np.count_nonzero(~np.isnan(one[key]))
    assert told > 500


# ---------------------------------------------------------------- numbering


@SOME
@given(seed=TIDY, order=st.permutations(range(4)))
def test_cylinders_numbered_in_another_order_have_the_same_figures(seed, order):
    """An engine in line: each cylinder with its crankpin, its piston and its rod."""
    core = recomputer("inline-4", "millimetre")
    inputs = inputs_of(core, random_entries(core.plan, seed))
    axes = core.shapes.axes_of
    numbers = {"cylinder_number", "crankpin_number", "cylinder_crankpin", "rodbolt_cylinder"}

    def renumbered(key, value):
        for place, axis in enumerate(axes[key]):
            if axis in ("cylinder", "crankpin"):
                value = np.take(value, order, axis=place)
            elif axis == "rodbolt":
                value = np.take(value, [2 * rod + bolt for rod in order for bolt in (0, 1)], axis=place)
        return value

    moved = {
        key: value if key in numbers else renumbered(key, value)
        for key, value in inputs.items()
        if key in axes
    }
    before, after = results(core, inputs), results(core, moved)
    by_number = {
        "pairing_bore_rank", "pairing_piston_rank", "pairing_piston", "pairing_mark", "pairing_deviation",
    }
    of_old = np.argsort(order) + 1.0  # the new number of each old one
    own = np.arange(1.0, 5.0).reshape(-1, 1, 1)
    for key in before:
        if key in by_number:
            continue  # Equal sizes go by their number; who gets whom is a number itself.
        value = before[key]
        if key == "ring_filed_for":  # a number of a cylinder
            value = of_old[value.astype(int) - 1]
        if key == "profile_across":  # drawn beside its number
            value = value - own
        expected = renumbered(key, value)
        if key == "profile_across":
            expected = expected + own
        assert after[key] == pytest.approx(expected, rel=1e-9, abs=1e-15, nan_ok=True), key


# ---------------------------------------------------------------- more metal, less metal


@SOME
@given(seed=TIDY, more=st.floats(0.1, 50))
def test_a_bigger_bore_never_has_less_clearance(seed, more):
    core = recomputer("inline-4", "millimetre")
    inputs = inputs_of(core, random_entries(core.plan, seed))
    bore = core.shapes.labels_of["sized"].index("bore")
    whole = inputs["entry_form"][bore] == EntryForm.SIZE
    bigger = whole or inputs["dial_sense"][bore] == DialSense.PLUS_IS_BIGGER
    reading = inputs["bore_reading"] + (1 if bigger else -1) * more * MICRO
    keys = [
        "piston_clearance", "piston_clearance_mean", "piston_clearance_hot", "bore_mean", "swept_volume",
        "rock_angle", "ring_gap_wanted",
    ]
    before, after = results(core, inputs, keys), results(core, inputs | {"bore_reading": reading}, keys)
    for key in keys:
        known = ~(np.isnan(before[key]) | np.isnan(after[key]))
        assert np.all(after[key][known] >= before[key][known]), key
    # A bore that is bigger by so much is bigger by so much, but for its warmth.
    grown = after["piston_clearance"] - before["piston_clearance"]
    known = ~np.isnan(grown)
    assert grown[known] == pytest.approx(np.full(known.sum(), more * MICRO), rel=1e-3)


@SOME
@given(seed=TIDY, more=st.floats(0.01, 0.5))
def test_a_thicker_gasket_gives_room_and_takes_ratio(seed, more):
    core = recomputer("v8", "inch")
    inputs = inputs_of(core, random_entries(core.plan, seed))
    thicker = inputs | {"gasket_chosen": inputs["gasket_chosen"] + more * 1e-3}
    room = ["head_clearance_static", "head_clearance_speed", "head_clearance_warm"]
    ratio = ["compression_ratio", "effective_ratio", "compression_pressure"]
    before, after = (results(core, given, room + ratio) for given in (inputs, thicker))
    for key in room:
        known = ~np.isnan(before[key])
        gained = (after[key] - before[key])[known]
        assert gained == pytest.approx(np.full(known.sum(), more * 1e-3), rel=1e-9)
    for key in ratio:
        known = ~(np.isnan(before[key]) | np.isnan(after[key]))
        assert np.all(after[key][known] < before[key][known]), key
    assert np.count_nonzero(~np.isnan(before["compression_ratio"])) == 8


@SOME
@given(seed=TIDY)
def test_a_guard_that_grows_never_makes_a_verdict_surer(seed):
    core = recomputer("inline-4", "millimetre")
    inputs = inputs_of(core, random_entries(core.plan, seed))
    keys = [f"{key}_verdict" for key in core.catalogue.limited]
    words = core.catalogue.words["verdict"]
    sure = [words.index(word) for word in ("under", "over", "within")]
    close = words.index("too close to call")
    typed = ("mass_guard", "ring_angle_guard")  # expanded by whoever types them
    small, large = (
        results(
            core,
            inputs | {"guard_factor": np.array(factor)} | {key: inputs[key] * factor for key in typed},
            keys,
        )
        for factor in (1.0, 3.0)
    )
    for key in keys:
        surer = np.isin(large[key], sure) & np.equal(small[key], close)
        turned = np.isin(large[key], sure) & np.isin(small[key], sure) & (large[key] != small[key])
        assert not surer.any(), key
        assert not turned.any(), key


# ---------------------------------------------------------------- what is ordered comes back


@SOME
@given(seed=TIDY)
def test_the_chamber_that_is_ordered_gives_the_wanted_ratio(seed):
    core = recomputer("inline-4", "millimetre")
    inputs = inputs_of(core, random_entries(core.plan, seed))
    ordered = results(core, inputs, ["chamber_ordered"])["chamber_ordered"]
    ratio = results(core, inputs | {"chamber_volume": ordered}, ["compression_ratio"])["compression_ratio"]
    known = ~np.isnan(ratio)
    assert ratio[known] == pytest.approx(np.full(known.sum(), float(inputs["ratio_target"])), rel=1e-10)


@SOME
@given(seed=TIDY)
def test_a_bore_honed_to_its_order_has_the_wanted_clearance(seed):
    core = recomputer("inline-4", "inch")
    inputs = inputs_of(core, random_entries(core.plan, seed))
    order = results(core, inputs, ["hone_order"])["hone_order"]
    found = results(core, inputs | {"bore_thrust_least": order}, ["piston_clearance"])["piston_clearance"]
    known = ~np.isnan(found)
    target = np.broadcast_to(inputs["piston_clearance_target"], found.shape)
    assert found[known] == pytest.approx(target[known], abs=1e-15)


@SOME
@given(seed=st.integers(0, 10_000))
def test_nothing_that_is_typed_gives_an_infinite_or_a_wordless_result(seed):
    """Any mood: blanks, edges, slips. Missing is nan, a word is one of its list, a warning is an error."""
    core = recomputer("v6", "inch")
    found = results(core, inputs_of(core, random_entries(core.plan, seed)))
    for key, value in found.items():
        assert not np.isinf(value).any(), key
        words = core.catalogue.entries[key].words
        if words:
            assert np.isin(value, np.arange(len(core.catalogue.words[words]))).all(), key
