"""Balance of the reciprocating parts: the table of layouts, worked builds, and second routes.

The second route knows one thing only: what force each cylinder gives along its own axis at a crank
angle. Forces and couples of all cylinders are summed up crank angle by crank angle.
"""

import cmath
import math
import tomllib
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest

from validators.reference.balance import balance_angle
from validators.reference.bob_weights import layout_along, layout_aside, layout_couple, layout_unbalance
from validators.reference.constants import BOLT_CLASSES
from validators.reference.evaluate import evaluate
from validators.reference.wiring import Shapes
from validators.reference.words import BalanceNeed

OUTSIDE = pytest.mark.outside(
    source="textbooks on theory of machines",
    edition="from memory",
    known="memory",
    place="known balance of layouts; every force summed up crank angle by crank angle",
    covers="inline-3, -4, -6, flat-4, V6, V8",
)

NAN = float("nan")
with (Path(__file__).parents[2] / "templates_src" / "quantities.toml").open("rb") as catalogue:
    CATALOGUE = tomllib.load(catalogue)
AXES = {key: tuple(entry.get("over", ())) for key, entry in CATALOGUE["quantity"].items()}
LABELS = {axis: tuple(entry.get("elements", ())) for axis, entry in CATALOGUE["axes"].items()}
# One radian per second on a crank of 0.3 m with a rod of 1 m: force over R w^2 is force over 0.3.
RADIUS, ROD = 0.3, 1.0
TURN = np.linspace(0, 2 * np.pi, 7201)
SUMMED = "shaking_force", "shaking_force_least", "shaking_couple", "shaking_couple_least"


class Engine(NamedTuple):
    """One layout: angles in degrees, places along the crank in crankpin pitches."""

    throws: tuple[float, ...]
    banks: tuple[float, ...]
    crankpin: tuple[int, ...]
    bank: tuple[int, ...]
    places: tuple[float, ...]

    def computed(self, wanted, masses=1.0, radius=RADIUS, rod=ROD, pitch=1.0, **more):
        """Results of the reference, through the wiring."""
        labels = LABELS | {
            "cylinder": tuple(str(number + 1) for number in range(len(self.places))),
            "crankpin": tuple(str(number + 1) for number in range(len(self.throws))),
            "bank": tuple(str(number + 1) for number in range(len(self.banks))),
            "boltclass": tuple(row.name for row in BOLT_CLASSES),
        }
        inputs = {
            "throw_angle": np.radians(self.throws),
            "bank_direction": np.radians(self.banks),
            "cylinder_position": np.array(self.places) * pitch,
            "cylinder_reciprocating_mass": np.ones(len(self.places)) * masses,
            "stroke_nominal": 2 * radius,
            "rod_length": rod,
            "engine_speed": 1.0,
            "pace_share": [0.2, 0.4, 0.6, 0.8, 1.0],
            "mass_guard": 0.0002,
            "shown_mass": 1e-3,
            "shown_length": 1e-3,
            "cylinder_crankpin": np.array(self.crankpin) + 1,
            "crankpin_number": np.arange(len(self.throws)) + 1,
        }
        relations = {("cylinder", "crankpin"): self.crankpin, ("cylinder", "bank"): self.bank}
        return evaluate({**inputs, **more}, Shapes(AXES, labels), relations, (), wanted)

    def forces(self, harmonic, masses=1.0, radius=RADIUS, rod=ROD):
        """Force of every cylinder over a turn, as complex numbers, by cylinder and crank angle."""
        direction = np.radians([self.banks[bank] for bank in self.bank])[:, np.newaxis]
        throw = np.radians([self.throws[pin] for pin in self.crankpin])[:, np.newaxis]
        off_axis = TURN + throw - direction
        along = np.cos(off_axis) if harmonic == 0 else radius / rod * np.cos(2 * off_axis)
        mass = (np.ones(len(self.places)) * masses)[:, np.newaxis]
        return mass * radius * along * np.exp(1j * direction)

    def arms(self, pitch=1.0):
        """Places from the middle of the engine, by cylinder and crank angle."""
        middle = (min(self.places) + max(self.places)) / 2
        return (np.array(self.places)[:, np.newaxis] - middle) * pitch

    def summed(self, masses=1.0, pitch=1.0):
        """Peaks and least of forces and couples, by harmonic, from the forces over a turn."""
        found = {name: [] for name in SUMMED}
        for harmonic in (0, 1):
            forces = self.forces(harmonic, masses)
            for name, total in (
                ("shaking_force", np.abs(np.sum(forces, axis=0))),
                ("shaking_couple", np.abs(np.sum(forces * self.arms(pitch), axis=0))),
            ):
                found[name].append(np.max(total))
                found[f"{name}_least"].append(np.min(total))
        return found


def inline(*throws):
    """Cylinders in a row, one pitch apart."""
    numbers = tuple(range(len(throws)))
    return Engine(throws, (0,), numbers, (0,) * len(throws), numbers)


def flat(*throws, offset=0.25):
    """Cylinders left and right in turn, each on its own crankpin, the banks an offset apart."""
    numbers = tuple(range(len(throws)))
    places = tuple(number // 2 + offset * (number % 2) for number in numbers)
    return Engine(throws, (90, -90), numbers, tuple(number % 2 for number in numbers), places)


def vee(angle, *throws):
    """Two cylinders on every crankpin, at one place along the crank."""
    numbers = range(2 * len(throws))
    sides = tuple(number % 2 for number in numbers)
    pins = tuple(number // 2 for number in numbers)
    return Engine(throws, (angle / 2, -angle / 2), pins, sides, pins)


def split_vee(angle, split, *throws):
    """Two cylinders at one place along the crank, their crankpins turned apart."""
    shared = vee(angle, *throws)
    sides = [-split / 2 if side == 0 else split / 2 for side in shared.bank]
    apart = tuple(throws[pin] + side for pin, side in zip(shared.crankpin, sides, strict=True))
    return Engine(apart, shared.banks, tuple(range(len(apart))), shared.bank, shared.places)


# Primary force, secondary force, primary couple, secondary couple, in R w^2 and pitches; where two
# figures stand, peak and least over a turn; where one stands, the least is nothing. Crank ratio 0.3.
LAYOUTS = {
    "single": (inline(0), "1", "0.3", "0", "0"),
    "inline-2": (inline(0, 180), "0", "0.6", "1", "0"),
    "inline-3": (inline(0, 240, 120), "0", "0", "1.73205081", "0.519615242"),
    "inline-4": (inline(0, 180, 180, 0), "0", "1.2", "0", "0"),
    "inline-5": (inline(0, 144, 216, 288, 72), "0", "0", "0.449027977", "1.49393897"),
    "inline-6": (inline(0, 240, 120, 120, 240, 0), "0", "0", "0", "0"),
    "V-twin 90": (vee(90, 0), "1 1", "0.424264069", "0", "0"),
    "V-twin 60": (vee(60, 0), "1.5 0.5", "0.259807621 0.259807621", "0", "0"),
    "flat-2": (flat(90, -90), "0", "0", "0.25", "0.075"),
    "flat-4": (flat(90, -90, -90, 90), "0", "0", "0", "0.15"),
    "flat-6": (flat(90, -90, 210, 30, 330, 150), "0", "0", "0", "0"),
    "V6 60 split": (split_vee(60, 60, 0, 240, 120), "0", "0", "1.5 1.5", "0.45 0.45"),
    "V6 90": (vee(90, 0, 240, 120), "0", "0", "1.73205081 1.73205081", "0.734846923"),
    "V8 cross": (vee(90, 0, 90, 270, 180), "0", "0", "3.16227766 3.16227766", "0"),
    "V8 plane": (vee(90, 0, 180, 180, 0), "0", "1.69705627", "0", "0"),
}
ENGINES = [(name, row[0]) for name, row in LAYOUTS.items()]


@pytest.mark.parametrize("name", LAYOUTS)
@OUTSIDE
def test_layouts_of_the_table(name):
    """Peak and least of forces and couples; crank ratio 0.3, bank offset a quarter pitch."""
    engine, *texts = LAYOUTS[name]
    found = engine.computed(SUMMED)
    for text, quantity, harmonic in zip(
        texts, ("force", "force", "couple", "couple"), (0, 1, 0, 1), strict=True
    ):
        peak, least = (text.split() * 2)[:2] if " " in text else (text, "0")
        tolerance = 0.5000001e-8 if len(peak) > 8 else 1e-12
        assert found[f"shaking_{quantity}"][harmonic] / RADIUS == pytest.approx(
            float(peak), abs=tolerance
        )
        assert found[f"shaking_{quantity}_least"][harmonic] / RADIUS == pytest.approx(
            float(least), abs=tolerance
        )


@pytest.mark.parametrize(("name", "engine"), ENGINES)
@OUTSIDE
def test_layouts_against_sums_over_a_turn(name, engine):
    """Second route: forces summed at 7201 crank angles."""
    found, summed = engine.computed(SUMMED), engine.summed()
    for quantity in SUMMED:
        # Between two crank angles a peak hides little, a passage through zero half a step.
        tolerance = 5e-4 if quantity.endswith("least") else 1e-6
        assert found[quantity] == pytest.approx(summed[quantity], abs=tolerance)


@OUTSIDE
def test_random_layouts_against_sums_over_a_turn():
    """Second route: uneven masses, throws, banks and places."""
    random = np.random.default_rng(117)
    for _ in range(40):
        pins, banks = random.integers(1, 5), random.integers(1, 4)
        cylinders = random.integers(1, 9)
        engine = Engine(
            tuple(random.uniform(-360, 360, pins)),
            tuple(random.uniform(-180, 180, banks)),
            tuple(random.integers(0, pins, cylinders)),
            tuple(random.integers(0, banks, cylinders)),
            tuple(random.uniform(0, 3, cylinders)),
        )
        masses = random.uniform(0.3, 0.9, cylinders)
        found, summed = engine.computed(SUMMED, masses, pitch=0.1), engine.summed(masses, 0.1)
        for quantity in SUMMED:
            tolerance = 1e-3 if quantity.endswith("least") else 2e-6
            assert found[quantity] == pytest.approx(summed[quantity], abs=tolerance)


@OUTSIDE
def test_known_results():
    """Textbooks on theory of machines and on vibrations (from memory)."""
    ratio = RADIUS / ROD

    def peak(name, quantity, harmonic):
        return LAYOUTS[name][0].computed([f"shaking_{quantity}"])[f"shaking_{quantity}"][harmonic]

    assert peak("inline-4", "force", 1) == pytest.approx(4 * ratio * RADIUS)
    assert peak("inline-3", "couple", 0) == pytest.approx(math.sqrt(3) * RADIUS)
    assert peak("inline-3", "couple", 1) == pytest.approx(math.sqrt(3) * ratio * RADIUS)
    assert peak("V-twin 90", "force", 1) == pytest.approx(math.sqrt(2) * ratio * RADIUS)
    assert peak("V8 cross", "couple", 0) == pytest.approx(math.sqrt(10) * RADIUS)
    assert peak("V8 plane", "force", 1) == pytest.approx(4 * math.sqrt(2) * ratio * RADIUS)
    assert peak("flat-4", "couple", 1) == pytest.approx(2 * ratio * 0.25 * RADIUS)


@OUTSIDE
def test_four_in_line(printed):
    """Hand-worked case: 0.520 kg, radius 43 mm, rod 143 mm, 6500 turns a minute."""
    speed = 6500 * 2 * math.pi / 60
    found = LAYOUTS["inline-4"][0].computed(
        ["shaking_force", "pace_speed", "pace_force"], 0.520, 0.043, 0.143, engine_speed=speed
    )
    assert found["shaking_force"][1] == printed("12460.86405")
    # Exact kinematics, summed up at every crank angle: its second harmonic is a little larger.
    away = 0.043 * np.cos(TURN[:-1]) + np.sqrt(0.143**2 - (0.043 * np.sin(TURN[:-1])) ** 2)
    second = np.fft.rfft(away)[2] * 2 / len(away)
    exact = 4 * 0.520 * abs(second) * (2 * speed) ** 2
    excess = exact / found["shaking_force"][1] - 1
    assert excess == pytest.approx((0.043 / 0.143) ** 2 / 4, rel=0.06)
    # With the square of the speed, over the shares of it.
    assert found["pace_speed"] == pytest.approx(speed * np.array([0.2, 0.4, 0.6, 0.8, 1.0]))
    force_at_share = 12460.86405 * np.array([0.04, 0.16, 0.36, 0.64, 1.0])
    assert found["pace_force"][:, 1] == pytest.approx(force_at_share, rel=1e-9)
    assert found["pace_force"][:, 0] == pytest.approx(0, abs=1e-9)


@OUTSIDE
def test_flat_four_of_the_worked_build(printed):
    """Bank offset 46 mm, pair pitch 112 mm: one secondary couple, and nothing else."""
    engine = flat(90, -90, -90, 90, offset=46 / 112)
    found = engine.computed(
        [*SUMMED, "pace_couple"], 0.670, 0.0405, 0.136, 0.112, engine_speed=6500 * math.pi / 30
    )
    assert found["shaking_force"] == pytest.approx([0, 0], abs=1e-9)
    assert found["shaking_couple"][0] == pytest.approx(0, abs=1e-9)
    assert found["shaking_couple"][1] == printed("344.4432809")
    assert found["pace_couple"][1, 1] == pytest.approx(344.4432809 * 0.16, rel=1e-9)


@OUTSIDE
def test_v_eight_of_the_worked_build(printed):
    """Pin pitch 4.40 in: a primary couple that turns with the crank, and nothing else."""
    inch = 0.0254
    found = LAYOUTS["V8 cross"][0].computed(
        [*SUMMED, "unbalanced_moment", "bob_weight_need"],
        0.746,
        1.775 * inch,
        6.05 * inch,
        4.40 * inch,
        engine_speed=7000 * math.pi / 30,
    )
    assert found["shaking_force"] == pytest.approx([0, 0], abs=1e-9)
    assert found["shaking_couple"][0] == printed("6387.201402")
    assert found["shaking_couple_least"][0] == printed("6387.201402")
    assert found["shaking_couple"][1] == pytest.approx(0, abs=1e-9)
    assert found["unbalanced_moment"][0, 1] == pytest.approx(0, abs=1e-12)
    assert found["bob_weight_need"] == BalanceNeed.NEEDED


def residual(engine, share):
    """Largest primary force left over a turn when counterweights carry a share on every pin."""
    left = np.sum(engine.forces(0), axis=0)
    for pin in engine.crankpin:
        turning = np.exp(1j * (TURN + math.radians(engine.throws[pin])))
        left = left - share * RADIUS * turning
    return np.max(np.abs(left))


def test_half_of_the_reciprocating_mass_is_right_at_a_right_angle():
    """Known result: a 90 degree V is free of primary forces with half, and with half only."""
    shares = np.linspace(0, 1, 21)
    right_angle = [residual(vee(90, 0), share) for share in shares]
    assert right_angle[10] == pytest.approx(0, abs=1e-12)
    assert min(right_angle[:10] + right_angle[11:]) > 0.02
    sixty = [residual(vee(60, 0), share) for share in shares]
    assert min(sixty) > 0.4 * RADIUS


@OUTSIDE
def test_bob_weights_with_half_cancel_the_couple_of_the_v_eight():
    """Second route: counterweights as the bob-weights make them, summed over a turn."""
    engine = LAYOUTS["V8 cross"][0]
    bare = engine.computed(
        ["bob_weight"], cylinder_rotating_mass=np.zeros(8), balance_share=0.5, oil_mass=0.0
    )["bob_weight"]
    turning = np.exp(1j * (TURN + np.radians(engine.throws)[:, np.newaxis]))
    counter = bare[:, np.newaxis] * RADIUS * turning * (np.arange(4)[:, np.newaxis] - 1.5)
    couple = np.sum(engine.forces(0) * engine.arms(), axis=0)
    assert np.max(np.abs(couple)) == pytest.approx(math.sqrt(10) * RADIUS)
    assert couple - np.sum(counter, axis=0) == pytest.approx(np.zeros(7201), abs=1e-12)


NEEDED = dict.fromkeys(LAYOUTS, BalanceNeed.NEEDED) | dict.fromkeys(
    ("inline-4", "inline-6", "flat-4", "flat-6", "V8 plane"), BalanceNeed.NOT_NEEDED
)


@pytest.mark.parametrize(("name", "word"), NEEDED.items())
@OUTSIDE
def test_where_bob_weights_are_needed(name, word):
    """Symmetric inline, opposed and flat-plane cranks carry nothing that turns with them."""
    found = LAYOUTS[name][0].computed(["bob_weight_need"], 0.5, pitch=0.1)
    assert found["bob_weight_need"] == word


@pytest.mark.parametrize("name", ["inline-4", "V8 cross"])
@OUTSIDE
def test_need_of_bob_weights_does_not_rest_on_what_the_parts_weigh(name):
    """Pistons that scatter by tens of grams, or are not weighed at all, leave the layout what it is."""
    engine, count = LAYOUTS[name][0], 4 if name == "inline-4" else 8
    for masses in (0.5 + 0.03 * np.arange(count), np.full(count, NAN)):
        found = engine.computed(["bob_weight_need"], masses, pitch=0.1)
        assert found["bob_weight_need"] == NEEDED[name]


@pytest.mark.parametrize(("apart", "word"), [(1.0, BalanceNeed.NOT_NEEDED), (1.3, BalanceNeed.NEEDED)])
@OUTSIDE
def test_need_of_bob_weights_bears_throws_that_are_a_little_off(apart, word):
    """By hand: a throw of an inline-4 that is off by 1.146 degrees leaves 0.02 of a cylinder."""
    engine = LAYOUTS["inline-4"][0]
    throws = np.radians([0.0, 180.0, 180.0 + apart, 0.0])
    assert engine.computed(["bob_weight_need"], throw_angle=throws)["bob_weight_need"] == word


@pytest.mark.parametrize(("off", "word"), [(0.01, BalanceNeed.NOT_NEEDED), (0.1, BalanceNeed.NEEDED)])
@OUTSIDE
def test_need_of_bob_weights_counts_couples_over_the_length_of_the_engine(off, word):
    """By hand: a middle cylinder that stands off by 1 or 10 mm in 300 mm leaves 0.0033 or 0.033."""
    engine = LAYOUTS["inline-4"][0]
    places = np.array([0.0, 0.1 + off * 0.1, 0.2, 0.3])
    found = engine.computed(["layout_couple", "bob_weight_need"], cylinder_position=places)
    assert found["layout_couple"] == pytest.approx(off * 0.1 / 0.3)
    assert found["bob_weight_need"] == word


@pytest.mark.parametrize("missing", ["throw_angle", "cylinder_position"])
@OUTSIDE
def test_need_of_bob_weights_waits(missing):
    """One blank is enough where the throws balance one another."""
    engine = LAYOUTS["inline-4"][0]
    found = engine.computed(["bob_weight_need"], **{missing: np.full(4, NAN)})
    assert found["bob_weight_need"] == BalanceNeed.WAITING


@OUTSIDE
def test_need_of_bob_weights_needs_no_places_where_a_force_is_left():
    """A single cylinder leaves itself."""
    engine = LAYOUTS["single"][0]
    found = engine.computed(["bob_weight_need"], cylinder_position=np.full(1, NAN))
    assert found["bob_weight_need"] == BalanceNeed.NEEDED


@OUTSIDE
def test_what_turns_with_the_crank_needs_no_bank_and_no_rod():
    """Blank directions and rods leave the primary vector that turns with the crank."""
    engine = LAYOUTS["V8 cross"][0]
    wanted = ["unbalanced_mass", "unbalanced_moment", "bob_weight_need", "shaking_couple"]
    found = engine.computed(wanted, rod=NAN, bank_direction=[NAN, NAN])
    there = ~np.isnan(found["unbalanced_moment"])
    assert there.tolist() == [[True, False], [False, False]]
    assert found["bob_weight_need"] == BalanceNeed.NEEDED
    assert np.all(np.isnan(found["shaking_couple"]))
    assert np.isnan(balance_angle(0.5, NAN)).tolist() == [[False, True], [True, True]]
    assert np.all(np.isnan(engine.computed(wanted, rod=0.0)["unbalanced_mass"][1]))


@OUTSIDE
def test_one_cylinder_without_a_place_leaves_the_forces():
    """Couples need every place; forces need none."""
    engine = LAYOUTS["inline-4"][0]
    places = np.array([0, NAN, 2, 3])
    found = engine.computed([*SUMMED, "balance_arm"], cylinder_position=places)
    assert np.all(np.isnan(found["balance_arm"]))
    assert np.all(np.isnan(found["shaking_couple"]))
    assert found["shaking_force"][1] == pytest.approx(1.2 * RADIUS)


@pytest.mark.outside(
    source="Python standard library", place="sums of complex numbers", covers="2 to 12 throws at any angle"
)
def test_what_equal_masses_leave_over_against_complex_numbers():
    generator = np.random.default_rng(11)
    for count in range(2, 13):
        angles = generator.uniform(-math.pi, math.pi, count)
        places = np.sort(generator.uniform(0, 0.6, count))
        arms = places - (places[0] + places[-1]) / 2
        vectors = [cmath.rect(1.0, angle) for angle in angles]
        along, aside = layout_along(angles), layout_aside(angles)
        assert list(along) == pytest.approx([vector.real for vector in vectors])
        assert list(aside) == pytest.approx([vector.imag for vector in vectors])
        assert float(layout_unbalance(along, aside)) == pytest.approx(abs(sum(vectors)))
        couple = abs(sum(vector * arm for vector, arm in zip(vectors, arms, strict=True)))
        assert float(layout_couple(along, aside, arms)) == pytest.approx(couple / (places[-1] - places[0]))
