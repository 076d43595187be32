"""Shims, springs, valve events, chambers: hand-worked cases, and second routes.

The second routes: searching the list of shims with exact decimals, the work put into a spring by
scipy, openings of a drawn lobe by scipy's roots, and a piston and a valve that move.
"""

import math
import tomllib
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq, minimize_scalar

from validators.reference.chambers import chamber_trim
from validators.reference.evaluate import evaluate
from validators.reference.springs import (
    coil_bind_margin,
    spring_height_used,
    spring_open_load,
    spring_seat_load,
    spring_shim,
)
from validators.reference.valve_timing import (
    cam_advance,
    exhaust_to_piston,
    intake_to_piston,
    lobe_centre,
    lobe_separation,
    valve_duration,
    valve_overlap,
)
from validators.reference.wiring import Shapes
from validators.reference.words import ShimState

OUTSIDE = pytest.mark.outside(
    source="scipy",
    place="work put into a spring; openings of a drawn lobe; exact decimals",
    covers="shims, springs and lobes of a passenger car",
)

NAN = float("nan")
MM, INCH = 1e-3, 0.0254
with (Path(__file__).parents[2] / "templates_src" / "quantities.toml").open("rb") as catalogue:
    CATALOGUE = tomllib.load(catalogue)
AXES = {key: tuple(entry.get("over", ())) for key, entry in CATALOGUE["quantity"].items()}
LABELS = {axis: tuple(entry.get("elements", ())) for axis, entry in CATALOGUE["axes"].items()}


# ---------------------------------------------------------------- shims
SHIMS = ["shim_needed", "shim_pick", "shim_state", "lash_after"]


def shimmed(present, lash, wanted, offered, unit=MM):
    """Results through the wiring, for cylinders with two valves; lengths in the unit."""
    present, lash = np.atleast_2d(present), np.atleast_2d(lash)
    labels = LABELS | {"cylinder": tuple(str(number) for number in range(len(present)))}
    listed = np.full(len(labels["shim"]), NAN)
    listed[: len(offered)] = offered
    found = evaluate(
        {
            "shim_present": present * unit,
            "lash_reading": lash * unit,
            "lash_wanted": np.array(wanted) * unit,
            "shim_thickness": listed * unit,
            "shown_length": unit,
        },
        Shapes(AXES, labels),
        {},
        (),
        SHIMS,
    )
    return {key: value if key == "shim_state" else value / unit for key, value in found.items()}


@OUTSIDE
def test_shims_by_steps_of_a_twentieth():
    """Hand-worked case: needed 2.83, pick 2.85, lash after 0.23."""
    found = shimmed([2.75, 2.85], [0.33, 0.25], [0.25, 0.25], np.arange(2.60, 3.01, 0.05))
    assert found["shim_needed"] == pytest.approx(np.array([[2.83, 2.85]]))
    assert found["shim_pick"] == pytest.approx(np.array([[2.85, 2.85]]))
    assert found["lash_after"] == pytest.approx(np.array([[0.23, 0.25]]))
    assert found["shim_state"].tolist() == [[ShimState.CHANGE, ShimState.KEEP]]


@OUTSIDE
def test_shims_by_steps_of_a_fortieth():
    """Hand-worked case: needed 3.12, pick 3.125, lash after 0.195."""
    found = shimmed([3.20, NAN], [0.12, 0.2], [0.20, 0.20], np.arange(3.025, 3.26, 0.025))
    assert found["shim_needed"] == pytest.approx(np.array([[3.12, NAN]]), nan_ok=True)
    assert found["shim_pick"] == pytest.approx(np.array([[3.125, NAN]]), nan_ok=True)
    assert found["lash_after"] == pytest.approx(np.array([[0.195, NAN]]), nan_ok=True)
    assert found["shim_state"].tolist() == [[ShimState.CHANGE, ShimState.WAITING]]


@pytest.mark.parametrize("unit", [MM, INCH])
@OUTSIDE
def test_of_two_shims_equally_near_the_thinner_is_taken(unit):
    """Hand-worked case: needed 2.825, offered 2.80 and 2.85; 2.825 again from other figures."""
    offered = [2.60, 2.65, 2.70, 2.75, 2.80, 2.85, 2.90]
    found = shimmed([2.75, 2.70], [0.325, 0.375], [0.25, 0.25], offered, unit)
    assert found["shim_pick"] == pytest.approx(np.array([[2.80, 2.80]]))


@OUTSIDE
def test_random_shims_against_a_search_with_exact_decimals():
    """Second route: the list searched with decimals; the first of the nearest."""
    random = np.random.default_rng(121)
    ties = 0
    for _ in range(60):
        step = random.choice([0.025, 0.05])
        listed = [Decimal("2.5") + Decimal(str(step)) * number for number in range(10)]
        thickness = [Decimal(int(figure)) / 1000 for figure in random.integers(2400, 3200, 2)]
        lash = [Decimal(int(figure)) / 1000 for figure in random.integers(0, 500, 2)]
        wanted = [Decimal(int(figure)) / 1000 for figure in random.integers(100, 300, 2)]
        arrays = [np.array(figures, dtype=float) for figures in (thickness, lash, wanted, listed)]
        found = shimmed(*arrays)
        for valve in range(2):
            needed = thickness[valve] + lash[valve] - wanted[valve]
            nearest = min(abs(shim - needed) for shim in listed)
            equal = [shim for shim in listed if abs(shim - needed) == nearest]
            ties += len(equal) > 1
            assert found["shim_pick"][0, valve] == pytest.approx(float(equal[0]))
            same = equal[0] == thickness[valve]
            word = ShimState.KEEP if same else ShimState.CHANGE
            assert found["shim_state"][0, valve] == word
    assert ties > 0


@OUTSIDE
def test_states_of_shims():
    """Nothing offered, and nothing measured; thicknesses that differ by binary noise are one."""
    found = shimmed([2.75, NAN], [0.33, 0.33], [0.25, 0.25], [])
    assert found["shim_state"].tolist() == [[ShimState.NO_SHIM_OFFERED, ShimState.WAITING]]
    assert np.all(np.isnan(found["lash_after"]))
    noisy = 2.45 + 0.1 + 0.1 + 0.1
    assert noisy != 2.75
    assert shimmed([2.75] * 2, [0.2] * 2, [0.2] * 2, [noisy])["shim_state"].tolist() == [[2, 2]]


# ---------------------------------------------------------------- springs
@OUTSIDE
def test_springs(printed):
    """Hand-worked cases: shim, load on the seat, load open, room between the coils."""
    assert spring_shim(45.00, 44.20) == printed("0.80")
    seat = spring_seat_load(400.0, 38.0, 45.0, 44.2)
    assert seat == printed("430.4")
    assert spring_open_load(seat, 38.0, 11.5) == printed("867.4")
    assert coil_bind_margin(44.2, 11.5, 30.2) == printed("2.5")


@OUTSIDE
def test_loads_against_the_work_put_into_the_spring():
    """Second route: work of opening the valve is the difference of stored energies, by scipy."""
    rate, free = 38.0, 45.0 + 400.0 / 38.0
    for height, lift in ((44.2, 11.5), (41.0, 9.0), (45.0, 12.7)):
        seat = spring_seat_load(400.0, rate, 45.0, height)
        work, _ = quad(lambda way, seat=seat: spring_open_load(seat, rate, way), 0, lift)
        stored = rate / 2 * ((free - height + lift) ** 2 - (free - height) ** 2)
        assert work == pytest.approx(stored, rel=1e-12)


@OUTSIDE
def test_rate_of_a_helical_spring(printed):
    """Hand-worked case: rate from the wire (textbook, from memory); loads rise by it."""
    rate = 78500 * 4.6**4 / (8 * 29.4**3 * 5)
    assert rate == printed("34.57793081")
    rise = spring_open_load(430.4, rate, 11.5) - spring_seat_load(430.4, rate, 44.2, 44.2)
    assert rise == pytest.approx(rate * 11.5)


@OUTSIDE
def test_height_of_a_spring():
    """Shims bring it down to the height wanted, never up; what is not measured is no height."""
    found = spring_height_used(np.array([44.2, NAN, 45.6, 44.2, NAN]), np.array([45.0, 45.0, 45.0, NAN, NAN]))
    assert found == pytest.approx([44.2, 45.0, 45.0, NAN, NAN], nan_ok=True)


@OUTSIDE
def test_springs_of_two_valves():
    """Through the wiring: what is wanted of a valve holds in every cylinder."""
    labels = LABELS | {"cylinder": ("1", "2", "3")}
    found = evaluate(
        {
            "spring_height": [[45.0, 43.0], [44.8, 43.2], [NAN, 42.0]],
            "spring_height_wanted": [44.2, NAN],
            "spring_test_load": [400.0, 420.0],
            "spring_test_height": [45.0, 43.0],
            "spring_rate": [38.0, 40.0],
            "spring_solid_height": [30.2, 30.0],
            "valve_lift": [11.5, 11.0],
        },
        Shapes(AXES, labels),
        {},
        (),
        ["spring_shim", "spring_seat_load", "spring_open_load", "coil_bind_margin"],
    )
    assert found["spring_shim"][:, 0] == pytest.approx([0.8, 0.6, NAN], nan_ok=True)
    assert np.all(np.isnan(found["spring_shim"][:, 1]))
    assert found["spring_seat_load"] == pytest.approx(
        np.array([[430.4, 420], [430.4, 412], [NAN, 460]]), nan_ok=True
    )
    assert found["spring_open_load"][:, 0] == pytest.approx([867.4, 867.4, NAN], nan_ok=True)
    assert found["coil_bind_margin"][:, 1] == pytest.approx([2.0, 2.2, 1.0])


# ---------------------------------------------------------------- valve to piston
WAYS = (intake_to_piston, exhaust_to_piston)


@OUTSIDE
@pytest.mark.parametrize("to_piston", WAYS)
def test_smallest_drop(to_piston, printed):
    """Hand-worked case; blanks are passed over, nothing is nothing."""
    assert to_piston(np.array([3.10, 2.62, 2.35, 2.28, 2.47])) == printed("2.28")
    drops = np.array([[3.10, NAN, 2.35, NAN, NAN], [NAN] * 5])
    assert to_piston(drops) == pytest.approx([2.35, NAN], nan_ok=True)


def way_to_the_piston(degrees):
    """Drop of 6.10 mm at top, valve leaning 12 degrees, lobe of 11.5 mm centred at 108."""
    angle = np.radians(degrees)
    travel = 40.5 + 136 - 40.5 * np.cos(angle) - np.sqrt(136**2 - (40.5 * np.sin(angle)) ** 2)
    lift = 11.5 * np.cos(np.radians(90 * (degrees - 108) / 145)) ** 2
    return 6.10 + travel * math.cos(math.radians(12)) - lift


@OUTSIDE
@pytest.mark.parametrize("to_piston", WAYS)
def test_drops_of_a_valve_and_a_piston_that_move(to_piston, printed):
    """Hand-worked case: drops by 1 and by 5 degrees; scipy's minimum lies a little lower."""
    assert to_piston(way_to_the_piston(np.arange(0.0, 21, 1))) == printed("4.061439118")
    by_five = to_piston(way_to_the_piston(np.arange(0.0, 21, 5)))
    assert by_five == printed("4.074696022")
    least = minimize_scalar(way_to_the_piston, bounds=(0, 20), method="bounded")
    assert least.fun == printed("4.060011881")
    assert least.fun < by_five


# ---------------------------------------------------------------- valve events
EVENTS = [
    ((4, 44), (36, 2), (220, 226), (106, 111), 108.5, 6, 2.5),
    ((-2, 40), (30, -6), (208, 214), (106, 113), 109.5, -8, 3.5),
]


@pytest.mark.parametrize(
    ("opens", "closes", "durations", "centres", "separation", "overlap", "advance"), EVENTS
)
@OUTSIDE
def test_valve_events(opens, closes, durations, centres, separation, overlap, advance):
    """Hand-worked cases, in degrees; overlap is half the durations less twice the separation."""
    opens, closes = np.radians(opens), np.radians(closes)
    found = valve_duration(opens, closes)
    assert np.degrees(found) == pytest.approx(durations)
    centre = lobe_centre(found, opens, closes)
    assert np.degrees(centre) == pytest.approx(centres)
    between = lobe_separation(*centre)
    assert np.degrees(between) == pytest.approx(separation)
    both = valve_overlap(opens[0], closes[1])
    assert np.degrees(both) == pytest.approx(overlap)
    assert np.degrees(cam_advance(between, centre[0])) == pytest.approx(advance)
    assert both == pytest.approx(np.sum(found) / 2 - 2 * between)


@OUTSIDE
def test_events_read_from_drawn_lobes():
    """Second route: roots of symmetrical lobes at a lift; the centres drawn are found again."""
    random = np.random.default_rng(127)
    for _ in range(40):
        drawn = random.uniform(95, 120, 2)
        half_width = random.uniform(125, 160, 2)
        checked = random.uniform(0.1, 1.5)
        # Degrees from top dead centre of the overlap; the intake lobe lies after it.
        at = np.array([drawn[0], -drawn[1]])

        def flank(degrees, valve, at=at, half_width=half_width, checked=checked):
            turned = 90 * (degrees - at[valve]) / half_width[valve]
            return 11 * math.cos(math.radians(turned)) ** 2 - checked

        opens, closes = (
            np.array(
                [
                    brentq(flank, at[valve], at[valve] + side * half_width[valve], args=(valve,))
                    for valve in range(2)
                ]
            )
            for side in (-1, 1)
        )
        # Intake: before top, after bottom. Exhaust: before bottom, after top.
        before = np.radians([-opens[0], -180 - opens[1]])
        after = np.radians([closes[0] - 180, closes[1]])
        durations = valve_duration(before, after)
        assert np.degrees(durations) == pytest.approx(closes - opens)
        centres = lobe_centre(durations, before, after)
        assert np.degrees(centres) == pytest.approx(drawn)
        separation = lobe_separation(*centres)
        assert np.degrees(separation) == pytest.approx(np.mean(drawn))
        advance = np.degrees(cam_advance(separation, centres[0]))
        assert advance == pytest.approx((drawn[1] - drawn[0]) / 2)
        overlap = np.degrees(valve_overlap(before[0], after[1]))
        assert overlap == pytest.approx(closes[1] - opens[0])


@OUTSIDE
def test_events_of_one_valve_leave_the_other():
    """The exhaust is not read: nothing that needs both."""
    opens, closes = np.radians([4, NAN]), np.radians([36, 2])
    durations = valve_duration(opens, closes)
    centres = lobe_centre(durations, opens, closes)
    assert np.degrees(centres) == pytest.approx([106, NAN], nan_ok=True)
    assert math.isnan(lobe_separation(*centres))
    assert math.isnan(cam_advance(lobe_separation(*centres), centres[0]))
    assert np.degrees(valve_overlap(opens[0], closes[1])) == pytest.approx(6)


@OUTSIDE
def test_events_through_the_wiring():
    """Elements by their names: intake first, exhaust second."""
    found = evaluate(
        {"valve_opens": np.radians([4, 44]), "valve_closes": np.radians([36, 2])},
        Shapes(AXES, LABELS),
        {},
        (),
        ["lobe_centre", "lobe_separation", "valve_overlap", "cam_advance"],
    )
    assert np.degrees(found["lobe_centre"]) == pytest.approx([106, 111])
    alone = [np.degrees(found[key]) for key in ("lobe_separation", "valve_overlap", "cam_advance")]
    assert alone == pytest.approx([108.5, 6, 2.5])


# ---------------------------------------------------------------- chambers
@OUTSIDE
def test_chambers():
    """Hand-worked case; every chamber must be measured."""
    volumes = np.array([48.0, 48.3, 47.8, 48.1])
    assert chamber_trim(volumes) == pytest.approx([0.3, 0.0, 0.5, 0.2])
    assert volumes + chamber_trim(volumes) == pytest.approx(np.full(4, 48.3))
    volumes[0] = NAN
    assert np.all(np.isnan(chamber_trim(volumes)))
