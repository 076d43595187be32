"""Two hand-worked builds, carried from typed figures to results with nothing rounded between.

A file in the folder `worked_builds` is one build: what is typed, in the units its workbook shows,
and what was worked out by hand, as printed. Units are converted by pint.
"""

import math
import tomllib
from pathlib import Path

import numpy as np
import pint
import pytest

from validators.reference.bores import bore_mean, bore_thrust_least
from validators.reference.constants import MATERIALS
from validators.reference.evaluate import evaluate
from validators.reference.wiring import Shapes, find_functions
from validators.reference.words import LISTS, ShellAdvice

UNITS = pint.UnitRegistry()
FILES = sorted(Path(__file__).with_name("worked_builds").glob("*.toml"))
with (Path(__file__).parents[2] / "templates_src" / "quantities.toml").open("rb") as catalogue:
    CATALOGUE = tomllib.load(catalogue)
QUANTITIES = CATALOGUE["quantity"]
# A limit is measured as the quantity that it limits.
QUANTITIES["head_clearance_speed_guard_used"] = {"measure": "fine_length"}
LIMITS = (
    "head_clearance_static_lower",
    "head_clearance_speed_lower",
    "main_clearance_lower",
    "main_clearance_upper",
    "rod_clearance_lower",
    "rod_clearance_upper",
)
QUANTITIES |= {key: {"measure": "length"} for key in LIMITS}


class Build:
    """One file: its layout, its typed figures in SI, its results."""

    def __init__(self, path):
        with path.open("rb") as file:
            self.data = tomllib.load(file)
        self.family = self.data["family"]
        self.shapes = self._shapes()
        self.inputs = self._blanks() | self._layout()
        for key, typed in self.data["typed"].items():
            self.inputs[key] = self._array(key, typed)
        self.first_bore_from_its_readings()

    def _shapes(self):
        axes_of = {key: tuple(entry.get("over", ())) for key, entry in QUANTITIES.items()}
        labels = {name: tuple(axis.get("elements", ())) for name, axis in CATALOGUE["axes"].items()}
        counts = {"material": len(MATERIALS), "shellpair": self.data["axes"]["grade"] ** 2}
        for axis, count in (counts | self.data["axes"]).items():
            labels[axis] = tuple(str(number) for number in range(1, count + 1))
        return Shapes(axes_of, labels)

    def shape(self, key):
        return self.shapes.extents(self.shapes.axes_of[key])

    def _blanks(self):
        results = {function.__name__ for function in find_functions()}
        return {
            key: np.full(self.shape(key), np.nan)
            for key, entry in QUANTITIES.items()
            if key not in results and entry.get("kind") != "constant"
        }

    def _layout(self):
        cylinder, crankpin, bank, grade = (
            np.arange(self.data["axes"][axis]) for axis in ("cylinder", "crankpin", "bank", "grade")
        )
        return {
            "shown_length": self.si("stroke_nominal", 1.0),
            "crankpin_number": crankpin + 1,
            "cylinder_crankpin": cylinder * len(crankpin) // len(cylinder) + 1,
            "cylinder_bank": cylinder % len(bank) + 1,
            "bank_number": bank + 1,
            "bank_cylinders": np.full(len(bank), len(cylinder) // len(bank)),
            "shellpair_upper": np.repeat(grade + 1, len(grade)),
            "shellpair_lower": np.tile(grade + 1, len(grade)),
        }

    def unit(self, key):
        """Unit that the workbook shows, and that of the core; none for words and marks."""
        measure = CATALOGUE["measure"][QUANTITIES[key].get("measure", "count")]
        return measure[self.family], measure["si"]

    def si(self, key, figure):
        shown, core = self.unit(key)
        if shown == "1e-6/K":
            return figure * 1e-6
        return UNITS.Quantity(figure, shown).to(core).magnitude

    def shown(self, key, value):
        shown, core = self.unit(key)
        return UNITS.Quantity(np.asarray(value, dtype=float), core).to(shown).magnitude

    def _array(self, key, typed):
        """Array in SI from a figure, a word, a list, or a table by element; the rest is blank."""
        filled = np.full(self.shape(key), np.nan)
        words = QUANTITIES[key].get("words")

        def figure(entry):
            return CATALOGUE["words"][words].index(entry) if words else self.si(key, float(entry))

        if isinstance(typed, dict):
            (axis,) = self.shapes.axes_of[key]
            for label, entry in typed.items():
                filled[self.shapes.labels_of[axis].index(label)] = figure(entry)
        elif isinstance(typed, list):
            entries = np.array(typed, dtype=float)
            filled[tuple(slice(size) for size in entries.shape)] = self.si(key, entries)
        else:
            filled[...] = figure(typed)
        return filled

    def first_bore_from_its_readings(self):
        """Let the bore that is measured place by place take the place of a given size."""
        if "bore_reading" in self.data["typed"]:
            size = self.results(["bore_size"])["bore_size"]
            self.inputs["bore_mean"][0] = bore_mean(size)[0]
            self.inputs["bore_thrust_least"][0] = bore_thrust_least(size[..., 0])[0]

    def results(self, wanted, **changed):
        relations = {
            ("cylinder", "crankpin"): self.inputs["cylinder_crankpin"] - 1,
            ("cylinder", "bank"): self.inputs["cylinder_bank"] - 1,
            ("sized", "body"): [
                self.shapes.labels_of["body"].index(CATALOGUE["relations"]["body_of_sized"][label])
                for label in self.shapes.labels_of["sized"]
            ],
        }
        exact = {"head_clearance_speed_guard_used": np.array(0.0)}  # the page reckons without gauges
        return evaluate({**self.inputs, **exact, **changed}, self.shapes, relations, (), wanted)


BUILDS = {path.stem: Build(path) for path in FILES}
FIGURES = [(name, key) for name, build in BUILDS.items() for key in build.data["printed"]]
STATES = [(name, key) for name, build in BUILDS.items() for key in build.data["words"]]


def test_both_builds_are_there():
    """A folder that cannot be found would check nothing."""
    assert list(BUILDS) == ["flat_four", "v_eight"]


@pytest.mark.parametrize(("name", "key"), FIGURES)
def test_figures_as_printed(name, key, printed):
    """Every printed figure, first element first; the file prints as many as were worked out."""
    build = BUILDS[name]
    found = np.ravel(build.shown(key, build.results([key])[key])).tolist()
    texts = build.data["printed"][key].split()
    assert len(texts) in {1, len(found)} or key == "bore_size"
    for figure, text in zip(found, texts, strict=False):
        assert figure == printed(text)


@pytest.mark.parametrize(("name", "key"), STATES)
def test_states_as_worked_out(name, key):
    """Every state, by its word."""
    build = BUILDS[name]
    words = tuple(LISTS[QUANTITIES[key]["words"]])
    found = [words[int(code)].text for code in build.results([key])[key]]
    assert found == build.data["words"][key]


def test_rock_angle_in_radians(printed):
    """Printed in radians, shown in degrees."""
    assert BUILDS["flat_four"].results(["rock_angle"])["rock_angle"][0] == printed("0.001090390726")
    assert BUILDS["v_eight"].results(["rock_angle"])["rock_angle"][0] == printed("0.002221723122")


def test_flat_four_with_the_shells_that_were_picked(printed):
    """Fitted as picked, every main has the picked clearance, and the advice is keep."""
    build = BUILDS["flat_four"]
    pick = build.results(["main_pick_upper", "main_pick_lower", "main_pick_clearance"])
    fitted = {
        "main_shell_upper": pick["main_pick_upper"],
        "main_shell_lower": pick["main_pick_lower"],
    }
    found = build.results(
        ["main_clearance_computed", "main_clearance_hot", "main_shell_advice"], **fitted
    )
    hot = "0.095147313", "0.0922461265", "0.094745491", "0.094347537", "0.094746024"
    for figure, text in zip(found["main_clearance_hot"] * 1e3, hot, strict=True):
        assert figure == printed(text)
    assert found["main_clearance_computed"] == pytest.approx(pick["main_pick_clearance"], abs=1e-15)
    assert set(found["main_shell_advice"]) == {ShellAdvice.KEEP}


def test_flat_four_gaskets(printed):
    """Static on the smallest mean, speed on the smallest rocked clearance, heat as computed."""
    build = BUILDS["flat_four"]
    found = build.results(["offer_static", "offer_speed", "thermal_rise", "head_clearance_warm"])
    static = np.min(found["offer_static"], axis=0) * 1e3
    with_heat = (np.min(found["offer_speed"], axis=0) - found["thermal_rise"]) * 1e3
    for figure, text in zip(static, ("0.88", "1.08", "1.28", "1.48"), strict=False):
        assert figure == printed(text)
    texts = "0.746924015", "0.946924015", "1.14692402", "1.34692402"
    for figure, text in zip(with_heat, texts, strict=False):
        assert figure == printed(text)
    # The warm figure of the chosen gasket is the same sum.
    assert np.min(found["head_clearance_warm"]) * 1e3 == printed("0.946924015")


def test_flat_four_take_up_follows_the_largest_main():
    """Half of main, rod and pin; a floating pin adds its bush."""
    build = BUILDS["flat_four"]
    pressed = build.results(["take_up"])["take_up"]
    floating = build.results(["take_up"], pin_fit=np.array(0.0))["take_up"]
    assert floating - pressed == pytest.approx([0.5 * 0.0145e-3] * 4, rel=1e-9)


@pytest.mark.parametrize("name", BUILDS)
def test_chambers_that_are_ordered_give_the_ratio(name):
    """Put back into the definition, the ordered chamber gives the ratio that was asked for."""
    build = BUILDS[name]
    ordered = build.results(["chamber_ordered"])["chamber_ordered"]
    ratio = build.results(["compression_ratio"], chamber_volume=ordered)["compression_ratio"]
    assert ratio == pytest.approx(np.full_like(ratio, build.data["typed"]["ratio_target"]))


def v_eight_with_one_rock():
    """The hand-worked build uses the rock of the first cylinder for all of them."""
    build = BUILDS["v_eight"]
    rise = build.results(["rock_rise"])["rock_rise"]
    return build, {"rock_rise": np.full_like(rise, rise[0])}


def test_v_eight_gaskets(printed):
    """Static and speed, on the smallest deck clearance."""
    build, rock = v_eight_with_one_rock()
    found = build.results(["offer_static", "offer_speed", "gasket_pick"], **rock)
    static = build.shown("offer_static", np.min(found["offer_static"], axis=0))
    speed = build.shown("offer_speed", np.min(found["offer_speed"], axis=0))
    for figure, text in zip(static, ("0.042", "0.047", "0.051", "0.055", "0.06"), strict=True):
        assert figure == printed(text)
    texts = "0.0254590989", "0.0304590989", "0.0344590989", "0.0384590989", "0.0434590989"
    for figure, text in zip(speed, texts, strict=True):
        assert figure == printed(text)
    assert build.shown("gasket_pick", found["gasket_pick"]) == pytest.approx([0.027, 0.027])


def test_v_eight_cannot_reach_a_higher_ratio_by_its_gasket(printed):
    """First cylinder: for 11.5 the gasket would have to be thinner than nothing."""
    build = BUILDS["v_eight"]
    found = build.results(["gasket_for_ratio"], ratio_target=np.array(11.5))["gasket_for_ratio"]
    assert build.shown("gasket_for_ratio", found)[0] == printed("-0.010024614")


def test_v_eight_in_other_units(printed):
    """Printed in both families: cubic centimetres, metres per second, standard gravity."""
    build = BUILDS["v_eight"]
    found = build.results(
        ["swept_volume_nominal", "displacement_total", "piston_speed_mean", "peak_acceleration"]
    )
    assert found["swept_volume_nominal"] * 1e6 == printed("745.7308582")
    assert found["displacement_total"] * 1e6 == printed("5965.846866")
    assert found["piston_speed_mean"] == printed("21.03966667")
    assert found["peak_acceleration"] / 9.80665 == printed("3195.167911")


def test_builds_side_by_side():
    """A batch of builds gives what each gives alone: here one build at three speeds."""
    build = BUILDS["flat_four"]
    keys = ["peak_acceleration", "rod_stretch", "head_clearance_speed", "gasket_pick"]
    speeds = build.si("engine_speed", np.array([5000.0, 6500.0, 8000.0]))
    together = build.results(keys, engine_speed=speeds)
    for index, speed in enumerate(speeds):
        alone = build.results(keys, engine_speed=np.array(speed))
        for key in keys:
            assert np.broadcast_to(together[key], (3, *build.shape(key)))[index] == pytest.approx(
                alone[key], rel=1e-14
            )
    assert together["rod_stretch"][2] / together["rod_stretch"][0] == pytest.approx(1.6**2)
    assert not math.isnan(together["gasket_pick"][2, 0])
