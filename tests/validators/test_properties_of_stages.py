"""Limits, inverse pairs and directions of fasteners, masses, oil film and rings, for any figures."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from validators.reference import (
    bob_weights,
    bolt_strength,
    extremes,
    film_rows,
    mass_matching,
    masses,
    ring_grooves,
    ring_layout,
    rings,
    rod_bolts,
    rod_films,
    separation,
)
from validators.reference.constants import CONSTANTS
from validators.reference.verdict import verdict
from validators.reference.words import Verdict

MM = 1e-3
COMPLIANCE = st.floats(1e-9, 2e-8)
STRETCH = st.floats(0.02, 0.4).map(lambda value: value * MM)
MASSES = st.lists(st.floats(0.05, 2.0), min_size=2, max_size=12)
FIT = [CONSTANTS[f"film_{name}"] for name in (
    "ratio_lowest", "ratio_highest", "end_level", "end_length", "end_gap", "end_linear", "end_square"
)]
ECCENTRICITY = np.array([
    0.97, 0.95, 0.92, 0.88, 0.83, 0.77, 0.70, 0.62, 0.54, 0.46, 0.38, 0.31, 0.25, 0.20, 0.16, 0.13, 0.10
])


# ---------------------------------------------------------------- fasteners


@given(load=st.floats(1e3, 2e5), compliance=COMPLIANCE)
def test_the_stretch_for_a_preload_gives_that_preload_back(load, compliance):
    stretch = bolt_strength.bolt_stretch_wanted(load, compliance)
    assert rod_bolts.bolt_preload(stretch, compliance) == pytest.approx(load, rel=1e-12)


@given(stretch=STRETCH, more=st.floats(1e-3, 0.1), compliance=COMPLIANCE, force=st.floats(1e3, 1e5))
def test_more_stretch_never_parts_a_joint_sooner_and_more_pull_never_later(stretch, more, compliance, force):
    def margin(one, other, pull):
        preload = rod_bolts.bolt_preload(np.array([one, other]), compliance)
        return separation.separation_margin(separation.rod_preload_least(preload, np.ones(2), 1), 2e3, pull)

    at_rest = margin(stretch, stretch, force)
    assert margin(stretch + more * MM, stretch + more * MM, force) > at_rest
    assert margin(stretch, stretch + more * MM, force) == at_rest  # the looser of the two decides
    assert margin(stretch + more * MM, stretch, force) == at_rest
    held = at_rest * force
    assert margin(stretch, stretch, 2 * force) == pytest.approx(held / (2 * force), rel=1e-9)


@given(free=st.floats(30, 120), stretch=STRETCH)
def test_a_bolt_that_comes_back_to_its_length_has_no_set(free, stretch):
    tight = free * MM + stretch
    assert rod_bolts.bolt_stretch(tight, free * MM) == pytest.approx(stretch, abs=1e-15)
    assert rod_bolts.bolt_set(free * MM, free * MM) == 0.0


# ---------------------------------------------------------------- masses


@given(weights=MASSES, added=st.floats(0.0, 1.0))
def test_a_spread_knows_no_order_and_nothing_that_all_have_in_common(weights, added):
    weighed = np.array(weights)
    spread = mass_matching.rod_big_spread(weighed)
    assert mass_matching.rod_big_spread(weighed[::-1]) == spread >= 0
    assert mass_matching.rod_big_spread(weighed + added) == pytest.approx(spread, abs=1e-12)


@given(weights=MASSES)
def test_what_is_to_be_taken_off_makes_all_alike(weights):
    weighed = np.array(weights)
    trimmed = weighed - mass_matching.piston_trim(weighed)
    assert mass_matching.piston_mass_spread(trimmed) == pytest.approx(0.0, abs=1e-15)
    assert np.min(weighed) == pytest.approx(trimmed[0])


@given(up=st.floats(0.2, 2), big=st.floats(0.2, 2), share=st.floats(0, 1), oil=st.floats(0, 0.02))
def test_a_bob_weight_is_all_that_turns_and_a_share_of_what_does_not(up, big, share, oil):
    def bob(share, rods):
        pins = np.ones(rods)
        rotating, moving = np.full(rods, big), np.full(rods, up)
        return float(bob_weights.bob_weight(
            rotating, moving, np.array([share]), np.array([oil]), pins, np.array([1.0])
        ))

    assert bob(0.0, 1) == pytest.approx(big + oil, rel=1e-12)
    assert bob(1.0, 1) == pytest.approx(big + up + oil, rel=1e-12)
    assert bob(share, 2) - oil == pytest.approx(2 * (bob(share, 1) - oil), rel=1e-12)


@given(parts=st.lists(st.floats(0, 1), min_size=5, max_size=5))
def test_a_reciprocating_mass_knows_no_order_of_its_parts(parts):
    whole = masses.cylinder_reciprocating_mass(*parts)
    for order in itertools.islice(itertools.permutations(parts), 0, 120, 17):
        assert masses.cylinder_reciprocating_mass(*order) == pytest.approx(whole, rel=1e-12)


# ---------------------------------------------------------------- oil film


def rows_for(width, size):
    ratio = film_rows.rod_film_length_ratio(width, size)
    return film_rows.rod_node_sommerfeld(film_rows.node_short(ECCENTRICITY), ECCENTRICITY, ratio, *FIT)


def film(load, width, size, clearance, viscosity, speed):
    pressure = rod_films.rod_pressure(load, width, size)
    number = rod_films.rod_sommerfeld(pressure, size, clearance, viscosity, speed, 2e-6, MM)
    away = rod_films.rod_film_eccentricity(np.array([number]), rows_for(width, size), ECCENTRICITY)
    return float(rod_films.rod_film(away, clearance))


BEARING = {
    "load": st.floats(2e3, 4e4), "slim": st.floats(0.25, 0.95), "size": st.floats(30, 90),
    "clearance": st.floats(0.03, 0.09), "viscosity": st.floats(0.004, 0.05), "speed": st.floats(100, 800),
}


@given(**BEARING, more=st.floats(1.01, 1.5))
def test_load_thins_a_film_and_speed_oil_and_width_make_it_thicker(
    load, slim, size, clearance, viscosity, speed, more
):
    size, clearance = size * MM, clearance * MM
    least = film(load, slim * size, size, clearance, viscosity, speed)
    assume(not math.isnan(least))
    assert 0 < least < clearance / 2
    for thicker in (
        film(load, slim * size, size, clearance, viscosity * more, speed),
        film(load, slim * size, size, clearance, viscosity, speed * more),
        film(load, min(slim * more, 1.0) * size, size, clearance, viscosity, speed),
    ):
        assert math.isnan(thicker) or thicker > least
    thinner = film(load * more, slim * size, size, clearance, viscosity, speed)
    assert math.isnan(thinner) or thinner < least


@given(**BEARING, factor=st.floats(0.5, 2))
def test_a_bearing_of_another_size_with_the_same_numbers_has_the_same_film_for_its_clearance(
    load, slim, size, clearance, viscosity, speed, factor
):
    """Every length by one factor and the load by its square: pressure, speed and so the number stay."""
    size, clearance = size * MM, clearance * MM
    one = film(load, slim * size, size, clearance, viscosity, speed)
    assume(not math.isnan(one) and clearance * factor > 3e-6)
    other = film(
        load * factor**2, slim * size * factor, size * factor, clearance * factor, viscosity, speed
    )
    assert other == pytest.approx(one * factor, rel=1e-9)


@pytest.mark.parametrize("row", range(1, len(ECCENTRICITY) - 1))
@given(slim=st.floats(0.25, 0.95))
def test_at_a_row_of_the_table_the_film_is_that_row(row, slim):
    rows = rows_for(slim * 50 * MM, 50 * MM)
    away = rod_films.rod_film_eccentricity(np.array([rows[row]]), rows, ECCENTRICITY)
    assert float(away) == pytest.approx(ECCENTRICITY[row], rel=1e-12)


# ---------------------------------------------------------------- rings


@given(one=st.floats(-720, 720), other=st.floats(-720, 720), turned=st.integers(-2, 2))
def test_two_gaps_are_as_far_apart_from_either_side_and_after_any_whole_turn(one, other, turned):
    def apart(first, second):
        angles = (np.radians([angle]) for angle in (first, second, math.nan, math.nan))
        return float(ring_layout.ring_gap_apart(*angles)[0])

    angle = apart(one, other)
    assert 0 <= angle <= math.pi + 1e-12
    assert apart(other, one) == pytest.approx(angle, abs=1e-12)
    assert apart(one + 360 * turned, other) == pytest.approx(angle, abs=1e-9)


@given(size=st.floats(60, 120), factor=st.floats(0.002, 0.008), filed=st.floats(0, 0.5))
def test_filing_what_is_to_be_filed_gives_the_wanted_gap(size, factor, filed):
    wanted = rings.ring_gap_wanted(size * MM, factor)
    measured = wanted - filed * MM
    assume(measured > 0)
    rest = rings.ring_gap_to_file(wanted, measured)
    assert measured + rest == pytest.approx(wanted, abs=1e-15)
    assert rest >= -1e-15


@given(bore=st.floats(70, 110), room=st.floats(0.2, 2), wall=st.floats(2, 5), more=st.floats(0.01, 0.5))
def test_a_bigger_bore_gives_a_ring_room_behind_it_by_half(bore, room, wall, more):
    root = bore - 2 * (wall + room)
    back = ring_grooves.ring_back_clearance(bore * MM, root * MM, wall * MM)
    assert back == pytest.approx(room * MM, abs=1e-15)
    wider = ring_grooves.ring_back_clearance((bore + more) * MM, root * MM, wall * MM)
    assert wider - back == pytest.approx(more * MM / 2, abs=1e-15)


# ---------------------------------------------------------------- extremes


@given(guard=st.floats(1e-7, 1e-4), factor=st.floats(0, 4), chances=st.integers(1, 40))
def test_the_guard_of_an_extreme_is_never_narrower_and_grows_with_the_readings(guard, factor, chances):
    used = float(extremes.extreme_guard(guard, factor, chances))
    assert used >= guard * (1 - 1e-12)
    assert float(extremes.extreme_guard(guard, factor, chances + 1)) >= used * (1 - 1e-12)
    assert float(extremes.extreme_guard(guard, factor, 1)) == pytest.approx(guard, rel=1e-12)


@given(value=st.floats(0, 0.2), guard=st.floats(0, 0.01), chances=st.integers(2, 40))
def test_a_wider_guard_never_turns_a_word_into_its_opposite(value, guard, chances):
    used = float(extremes.extreme_guard(guard, 2.0, chances))
    narrow, wide = (int(verdict(value, 0.04, 0.06, u, 1.0)) for u in (guard, used))
    assert wide in (narrow, Verdict.TOO_CLOSE)
