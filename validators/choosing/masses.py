"""Which pin and rod go with which piston, so that the reciprocating masses match."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from validators.choosing.answers import Answer, Reached
from validators.choosing.measured import Measured
from validators.choosing.pairing import assignment, given
from validators.choosing.programme import EQUAL_WITHIN, Numbers, Programme
from validators.choosing.stock_lists import Weighed
from validators.choosing.weighings import Weights, from_list, from_sheet, piston_marks, rod_marks

FINEST = 6
"""Decimals of a gram at which masses are compared."""
MOST_SWAPS = 10_000
MOST_IN_ORDER = 8
"""Up to so many cylinders ties are broken piston by piston; above, the search for them would take minutes."""


@dataclass(frozen=True, slots=True)
class Matched:
    """For each piston the place of its pin and rod, the spread reached, and whether it is proved."""

    pins: tuple[int, ...]
    rods: tuple[int, ...]
    spread: float
    proved: bool = True


def match(pistons: Sequence[float], pins: Sequence[float], rods: Sequence[float]) -> Matched:
    """Return pins and rods for the pistons with the smallest spread of the sums.

    The aims in order: least spread (largest minus smallest sum); fewest rods moved; fewest pins moved;
    piston by piston the rod, then the pin, listed first.
    """
    count = len(pistons)
    start = _by_swaps(np.asarray(pistons), np.asarray(pins), np.asarray(rods))
    programme, pin_groups, rod_groups, ends = _programme(pistons, pins, rods)
    low, high = ends
    bound = _least_possible((*pistons, *pins, *rods), count)
    found = None
    if start.spread > bound + EQUAL_WITHIN:
        programme.bind(_spread_row(programme, ends), -math.inf, start.spread)
        found = programme.solve(_spread_row(programme, ends), least=bound)
    spread, proved = start.spread, True
    if found is not None:
        other = given(found, pin_groups), given(found, rod_groups)
        spread = min(spread, _spread(_sums(pistons, pins, rods, *other)))
        if other != (start.pins, start.rods) and spread < start.spread - EQUAL_WITHIN:
            start = Matched(*other, spread)
        proved = programme.proved
    elif start.spread > bound + EQUAL_WITHIN:
        proved = False
    programme.bind(_spread_row(programme, ends), -math.inf, spread + EQUAL_WITHIN)
    begin = np.zeros(len(programme.upper))
    sums = _sums(pistons, pins, rods, start.pins, start.rods)
    for groups, chosen in ((pin_groups, start.pins), (rod_groups, start.rods)):
        for group, thing in zip(groups, chosen, strict=True):
            begin[group[thing]] = 1.0
    begin[low], begin[high] = float(np.min(sums)), float(np.max(sums))
    aims = [
        programme.row([place for group in groups for place in group], 1.0 - np.eye(count).ravel())
        for groups in (rod_groups, pin_groups)
    ]
    if count <= MOST_IN_ORDER:
        aims += [programme.row(group, range(count)) for group in (*rod_groups, *pin_groups)]
    final = programme.best(aims, begin)
    final = begin if final is None else final
    chosen_pins, chosen_rods = given(final, pin_groups), given(final, rod_groups)
    reached = _spread(_sums(pistons, pins, rods, chosen_pins, chosen_rods))
    return Matched(chosen_pins, chosen_rods, reached, proved and programme.proved)


def _programme(
    pistons: Sequence[float], pins: Sequence[float], rods: Sequence[float]
) -> tuple[Programme, list[range], list[range], tuple[int, int]]:
    count = len(pistons)
    programme, pin_groups = assignment(count)
    rod_places = programme.add_variables([1.0] * count * count)
    rod_groups = [rod_places[place * count : (place + 1) * count] for place in range(count)]
    for group in rod_groups:
        programme.bind(programme.row(group), 1, 1)
    for thing in range(count):
        programme.bind(programme.row([group[thing] for group in rod_groups]), 1, 1)
    most = max(pistons) + max(pins) + max(rods)
    low, high = programme.add_variables([most, most], whole=False)
    for place, piston in enumerate(pistons):
        row = programme.row(pin_groups[place], pins) + programme.row(rod_groups[place], rods)
        for end, lowest, highest in ((low, -piston, math.inf), (high, -math.inf, -piston)):
            bound = row.copy()
            bound[end] = -1.0
            programme.bind(bound, lowest, highest)
    return programme, pin_groups, rod_groups, (low, high)


def _spread_row(programme: Programme, ends: tuple[int, int]) -> Numbers:
    return programme.row(list(ends), [-1.0, 1.0])


def _sums(
    pistons: Sequence[float],
    pins: Sequence[float],
    rods: Sequence[float],
    to_pins: Sequence[int],
    to_rods: Sequence[int],
) -> Numbers:
    return np.asarray(pistons) + np.asarray(pins)[list(to_pins)] + np.asarray(rods)[list(to_rods)]


def _spread(sums: Numbers) -> float:
    return round(float(np.max(sums) - np.min(sums)), FINEST)


def _least_possible(masses: Sequence[float], count: int) -> float:
    """Return what no spread can fall below: sums are whole multiples of the last digit that is weighed.

    Examples
    --------
    >>> _least_possible([1.0, 2.0, 1.0, 1.0, 1.0, 1.0], 2)
    1.0
    """
    digits = next((d for d in range(FINEST) if all(round(m, d) == round(m, FINEST) for m in masses)), FINEST)
    total = sum(round(mass * 10**digits) for mass in masses)
    return 0.0 if total % count == 0 else 10.0**-digits


def next_best(
    pistons: Sequence[float], pins: Sequence[float], rods: Sequence[float], found: Matched
) -> float | None:
    """Return the smallest spread with another mass of pin or rod somewhere, None when there is none."""
    programme, pin_groups, rod_groups, ends = _programme(pistons, pins, rods)
    same = []
    for groups, chosen, masses in ((pin_groups, found.pins, pins), (rod_groups, found.rods, rods)):
        for group, thing in zip(groups, chosen, strict=True):
            same += [
                place for place, mass in zip(group, masses, strict=True)
                if round(mass - masses[thing], FINEST) == 0
            ]
    programme.bind(programme.row(same), 0, 2 * len(pistons) - 1)
    other = programme.solve(_spread_row(programme, ends), least=found.spread)
    if other is None or not programme.proved:
        return None
    return _spread(_sums(pistons, pins, rods, given(other, pin_groups), given(other, rod_groups)))


def _by_swaps(pistons: Numbers, pins: Numbers, rods: Numbers) -> Matched:
    """Return a good match to start from: heavy with light, then swaps while they help."""
    to_pins = np.empty(len(pistons), dtype=int)
    to_pins[np.argsort(pistons, kind="stable")] = np.argsort(-pins, kind="stable")
    to_rods = np.empty(len(pistons), dtype=int)
    to_rods[np.argsort(pistons + pins[to_pins], kind="stable")] = np.argsort(-rods, kind="stable")
    for _ in range(MOST_SWAPS):
        sums = pistons + pins[to_pins] + rods[to_rods]
        best, better = _spread(sums) + 1e-9 * float(np.var(sums)), None
        for chosen, masses in ((to_pins, pins), (to_rods, rods)):
            for first in range(len(pistons)):
                for second in range(first):
                    step = masses[chosen[second]] - masses[chosen[first]]
                    sums[first] += step
                    sums[second] -= step
                    value = _spread(sums) + 1e-9 * float(np.var(sums))
                    if value < best - 1e-12:
                        best, better = value, (chosen, first, second)
                    sums[first] -= step
                    sums[second] += step
        if better is None:
            break
        chosen, first, second = better
        chosen[[first, second]] = chosen[[second, first]]
    spread = _spread(pistons + pins[to_pins] + rods[to_rods])
    return Matched(tuple(map(int, to_pins)), tuple(map(int, to_rods)), spread)


def _why_they_stay(weights: Weights, best: Matched, now: float) -> str:
    """Return why pins and rods stay where they are although a smaller spread could be had, or ""."""
    if round(now - weights.upper, FINEST) <= 0:
        return f"the spread as it is, {now:.6g} g, is within its limit: pins and rods stay where they are"
    if now - best.spread <= weights.guard:
        return (
            f"the advantage of moving them, {now - best.spread:.3g} g, is smaller than the uncertainty of a "
            f"difference of two sums, {weights.guard:.3g} g: pins and rods stay where they are"
        )
    return ""


def choose_masses(
    read: Measured, weighed: Mapping[str, Weighed] | None, piston_from: Mapping[int, int]
) -> tuple[Answer, dict[int, int], dict[int, int]]:
    """Choose pin and rod for each piston, where the pistons stand after their own choice.

    Masses that are listed are matched as nearly as can be. Without a list those of the workbook are taken;
    then nothing moves that is matched within its limit already, or would gain less than can be measured.

    Returns
    -------
    Answer, dict, dict
        The answer; for each cylinder the one that its pin, and that its rod, is listed for now.
    """
    topic = "reciprocating masses"
    if weighed is None:
        weights, left_out = from_sheet(read, piston_from)
    else:
        weights, left_out = from_list(read, weighed, piston_from)
    if weights is None:
        return Answer(topic=topic, state="not answerable", left_out=tuple(left_out)), {}, {}
    numbers, straight = list(read.cylinders), tuple(range(len(read.cylinders)))
    # Each piston is taken with the pin that lies in it now.
    pin_now = [piston_from.get(n, n) for n in numbers]
    parts = weights.pistons, [weights.pins[n - 1] for n in pin_now], weights.rods
    now = _spread(_sums(*parts, straight, straight))
    best = match(*parts)
    guard = weights.guard
    stay = _why_they_stay(weights, best, now) if weighed is None and best.spread < now else ""
    found = Matched(straight, straight, now, best.proved) if stay else best
    sums = _sums(*parts, found.pins, found.rods)
    rows = _rows(read, piston_from, found, sums)
    doubts = [stay] if stay else []
    if math.isnan(guard):
        doubts.append(_no_guard(read, listed=weighed is not None))
    elif now - found.spread <= guard and any(row["change"] for row in rows):
        doubts.append(
            f"the advantage, {now - found.spread:.3g} g, is smaller than the uncertainty of a difference of "
            f"two sums, {guard:.3g} g"
        )
    if not found.proved:
        doubts.append("the search was cut short: a smaller spread, or fewer moves, is not ruled out")
    rods_moved = [row["place"] for row in rows if row["rod_from"] != row["number"]]
    pins_moved = [
        row["place"] for row in rows if row["pin_from"] != piston_from.get(row["number"], row["number"])
    ]
    heaviest, lightest = rows[int(np.argmax(sums))], rows[int(np.argmin(sums))]
    least = _least_possible([mass for part in parts for mass in part], len(numbers))
    other = None if stay else next_best(*parts, found)
    answer = Answer(
        topic=topic,
        state="chosen",
        next_best=f"moving pins and rods: spread {best.spread:.6g} instead of {now:.6g} g"
        if stay
        else "no other is known"
        if other is None
        else f"the next best with another mass somewhere: spread {other:.6g} instead of {found.spread:.6g} g",
        rows=tuple(rows),
        reached=(
            Reached("spread of the reciprocating masses", found.spread, "g", now),
            Reached("rods moved", float(len(rods_moved)), "", 0.0),
            Reached("pins moved", float(len(pins_moved)), "", 0.0),
        ),
        limits=(
            f"{heaviest['place']} is heaviest, {lightest['place']} is lightest; no sum can be nearer than "
            f"{least:.6g} g as weighed",
            *weights.told,
        ),
        doubts=tuple(doubts),
        again=tuple(_again(rods_moved, pins_moved)),
    )
    return answer, {r["number"]: r["pin_from"] for r in rows}, {r["number"]: r["rod_from"] for r in rows}


def _rows(
    read: Measured, piston_from: Mapping[int, int], found: Matched, sums: Numbers
) -> list[dict[str, Any]]:
    standing, rods_listed = piston_marks(read, piston_from), list(rod_marks(read).values())
    numbers = list(read.cylinders)
    pin_now = [piston_from.get(n, n) for n in numbers]
    rows: list[dict[str, Any]] = []
    for place, n in enumerate(numbers):
        pin, rod = pin_now[found.pins[place]], numbers[found.rods[place]]
        rows.append(
            {
                "place": f"cylinder {n}",
                "number": n,
                "piston": standing[n] or f"of {pin_now[place]}",
                "pin_from": pin,
                "rod": rods_listed[rod - 1] or f"of {rod}",
                "rod_from": rod,
                "mass": round(float(sums[place]), FINEST),
                "change": rod != n or pin != pin_now[place],
            }
        )
    return rows


def _no_guard(read: Measured, *, listed: bool) -> str:
    why = "the list gives no uncertainty for every mass" if listed else read.why("mass_guard")
    return f"{why}: whether the advantage is real is not known"


def _again(rods_moved: Sequence[str], pins_moved: Sequence[str]) -> Iterator[str]:
    if rods_moved:
        yield (
            f"{', '.join(rods_moved)}: height at the deck and rocked readings, because another rod stands "
            "there; the installed shell bore and the side clearance of its crankpin"
        )
    if pins_moved:
        yield f"{', '.join(pins_moved)}: try the pin in its new piston and small end"
