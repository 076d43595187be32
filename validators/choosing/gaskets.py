"""Which gasket goes on each bank: the thinnest that clears at rest and at speed and keeps the ratio."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product
from typing import Any

from validators.choosing.answers import Answer, Reached, count_of
from validators.choosing.measured import Measured, rounded
from validators.judged import guard_of

Results = Mapping[str, float | str | None]
Changes = Mapping[str, float | str | None]
CLEARS = ("head_clearance_static", "head_clearance_speed")
NEEDED = ("deck_clearance_mean", "deck_clearance_least", "take_up")
NEEDED_ONCE = (
    "crown_step",
    "rod_stretch",
    "thermal_rise_counted",
    "head_clearance_static_lower",
    "head_clearance_speed_lower",
    "plain_guard_deck",
    "head_clearance_speed_guard_used",
)
OUTSIDE, UNSURE = ("under", "over"), ("too close to call",)


def choose_gasket(
    read: Measured, changes: Changes, moved: Sequence[int], *, banks_alike: bool
) -> tuple[Answer, dict[str, float | str | None]]:
    """Choose the gasket of each bank, with everything else as it is chosen.

    The aims in order, over the gaskets that clear every cylinder by more than the uncertainty: fewest
    cylinders with a ratio outside its limits, fewest that are too close to call, the spread of the ratio
    within its limit, thinnest gaskets, bank by bank the thinner.

    Parameters
    ----------
    read : Measured
        The sheet.
    changes : mapping
        Entries that the other choices change.
    moved : sequence of int
        Cylinders in which another piston or rod stands: their heights are those of the old parts.
    banks_alike : bool
        Whether every bank gets the same thickness.
    """
    layout, unit = read.plan.build.layout, read.unit("gasket_thickness")
    offered = (read.number(cell.name) for cell in read.plan.by_key["gasket_thickness"])
    thicknesses = sorted({thickness for thickness in offered if thickness is not None and thickness > 0})
    left_out = _why_not(read)
    if left_out or not thicknesses:
        left_out += [] if thicknesses else ["no gasket is offered on 'Deck and gasket'"]
        return Answer(topic="gasket", state="not answerable", left_out=tuple(left_out)), {}
    banks = range(1, layout.banks + 1)
    sets = [
        combination
        for combination in product(thicknesses, repeat=layout.banks)
        if not banks_alike or len(set(combination)) == 1
    ]
    results = read.after_each(
        [
            {**changes, **{f"gasket_chosen_{bank}": t for bank, t in zip(banks, combination, strict=True)}}
            for combination in sets
        ]
    )
    missing = [
        name
        for n in read.cylinders
        for name in (f"{key}_{n}" for key in CLEARS)
        if not isinstance(results[0][name], float)
    ]
    if missing:
        told = tuple(dict.fromkeys(map(read.why, missing)))
        return Answer(topic="gasket", state="not answerable", left_out=told), {}
    passing = [place for place, result in enumerate(results) if not _short(read, result)]
    if not passing:
        return Answer(
            topic="gasket", state="not possible", shortfall=tuple(_shortfall(read, sets, results, unit))
        ), {}
    best = min(
        passing, key=lambda place: (*_ratio_faults(read, results[place]), sum(sets[place]), sets[place])
    )
    chosen = results[best]
    rows = _rows(read, sets[best], chosen, moved)
    outside, unsure, _ = _ratio_faults(read, chosen)
    ratio_missing = [n for n in read.cylinders if not isinstance(chosen[f"compression_ratio_{n}"], float)]
    answer = Answer(
        topic="gasket",
        state="chosen",
        rows=tuple(rows),
        reached=(
            Reached("cylinders with a ratio outside its limits", float(outside)),
            Reached("cylinders with a ratio too close to call", float(unsure)),
            Reached("thickness, all banks", rounded(sum(sets[best])), unit),
        ),
        limits=tuple(_limits(read, sets, results, best, unit)),
        next_best=_next_best(read, sets, results, best, passing, unit),
        one_more=tuple(_thinner(read, sets[best], chosen, thicknesses, unit)),
        doubts=tuple(
            f"ratio of cylinder {n}: {chosen[f'compression_ratio_verdict_{n}']}"
            for n in read.cylinders
            if chosen[f"compression_ratio_verdict_{n}"] in UNSURE
        ),
        left_out=tuple(f"ratio of cylinder {n}: {read.why(f'compression_ratio_{n}')}" for n in ratio_missing),
        again=tuple(
            f"{row['place']}: the heights are those of the parts that stood there; enter the gasket when "
            "they are measured again"
            for row in rows
            if row["provisional"]
        ),
    )
    return answer, {
        f"gasket_chosen_{row['number']}": row["thickness"]
        for row in rows
        if row["change"] and not row["provisional"]
    }


def _rows(
    read: Measured, thicknesses: Sequence[float], chosen: Results, moved: Sequence[int]
) -> list[dict[str, Any]]:
    layout = read.plan.build.layout
    rows: list[dict[str, Any]] = []
    for bank, thickness in enumerate(thicknesses, start=1):
        members = [n for n in read.cylinders if layout.bank_of[n - 1] == bank]
        now = read.number(f"gasket_chosen_{bank}")
        static = [_number(chosen, f"head_clearance_static_{n}") for n in members]
        speed = [_number(chosen, f"head_clearance_speed_{n}") for n in members]
        ratios = [float(r) for n in members if isinstance(r := chosen[f"compression_ratio_{n}"], float)]
        rows.append(
            {
                "place": f"bank {bank}",
                "number": bank,
                "thickness": thickness,
                "thickness_now": now,
                "squish_least": rounded(min(static)),
                "squish_most": rounded(max(static)),
                "speed_least": rounded(min(speed)),
                "tightest": f"cylinder {members[speed.index(min(speed))]}",
                "ratio_least": min(ratios) if ratios else None,
                "ratio_most": max(ratios) if ratios else None,
                "ratio_wanted": read.number("ratio_target"),
                "provisional": any(n in moved for n in members),
                "change": now is None or rounded(now - thickness) != 0,
            }
        )
    return rows


def _why_not(read: Measured) -> list[str]:
    told = [read.why(name) for name in NEEDED_ONCE if read.number(name) is None]
    by_reason: dict[str, list[int]] = {}
    for n in read.cylinders:
        absent = [f"{key}_{n}" for key in NEEDED if read.number(f"{key}_{n}") is None]
        for reason in dict.fromkeys(map(read.why, absent)):
            by_reason.setdefault(reason, []).append(n)
    for reason, numbers in by_reason.items():
        if reason not in told:
            told.append(f"cylinder {', '.join(map(str, numbers))}: {reason}")
    return list(dict.fromkeys(told))


def _number(result: Results, name: str) -> float:
    value = result[name]
    assert isinstance(value, float)
    return value


def _short(read: Measured, result: Results) -> dict[str, float]:
    """Return by how much every clearance that is too small falls short, the uncertainty counted."""
    short = {}
    for key in CLEARS:
        guard = _number(result, guard_of(read.plan.catalogue.entries[key]))
        lower = read.number(f"{key}_lower") or 0.0
        for n in read.cylinders:
            left = rounded(_number(result, f"{key}_{n}") - lower - guard)
            if left < 0:
                short[f"{key}_{n}"] = -left
    return short


def _ratio_faults(read: Measured, result: Results) -> tuple[int, int, int]:
    words = [result[f"compression_ratio_verdict_{n}"] for n in read.cylinders]
    return (
        sum(word in OUTSIDE for word in words),
        sum(word in UNSURE for word in words),
        int(result["ratio_spread_verdict"] in OUTSIDE),
    )


def _told_faults(faults: tuple[int, int, int]) -> str:
    """Return what is wrong with the ratios, that which counts most."""
    outside, unsure, _ = faults
    if outside:
        return f"{count_of(outside, 'cylinder')} outside the limits"
    if unsure:
        return f"{count_of(unsure, 'cylinder')} too close to call"
    return "its spread is above the limit"


def _told_short(short: Mapping[str, float], unit: str) -> str:
    name, by = max(short.items(), key=lambda item: item[1])
    where = "at speed" if name.startswith("head_clearance_speed") else "at rest"
    return f"cylinder {name.rpartition('_')[2]} {where} is short by {by:.4g} {unit}"


def _shortfall(
    read: Measured, sets: Sequence[tuple[float, ...]], results: Sequence[Results], unit: str
) -> list[str]:
    best = min(range(len(sets)), key=lambda place: (max(_short(read, results[place]).values()), sets[place]))
    short = _short(read, results[best])
    layout = read.plan.build.layout
    told = [f"no gasket that is offered clears: with the thickest, {_told_short(short, unit)}"]
    for bank in range(1, layout.banks + 1):
        of_bank = [
            by for name, by in short.items() if layout.bank_of[int(name.rpartition("_")[2]) - 1] == bank
        ]
        if of_bank:
            least = sets[best][bank - 1] + max(of_bank)
            told.append(f"bank {bank}: a gasket of at least {least:.4g} {unit} would clear")
    return told


def _limits(
    read: Measured, sets: Sequence[tuple[float, ...]], results: Sequence[Results], best: int, unit: str
) -> list[str]:
    told = []
    thinner = [place for place, combination in enumerate(sets) if sum(combination) < sum(sets[best])]
    if not thinner:
        told.append("it is the thinnest that is offered")
    else:
        nearest = max(thinner, key=lambda place: (sum(sets[place]), sets[place]))
        short = _short(read, results[nearest])
        what = " and ".join(f"{t:g}" for t in dict.fromkeys(sets[nearest]))
        if short:
            told.append(f"the next thinner, {what} {unit}: {_told_short(short, unit)} (uncertainty counted)")
        else:
            told.append(
                f"the next thinner, {what} {unit}, clears, and its ratio is worse: "
                f"{_told_faults(_ratio_faults(read, results[nearest]))}"
            )
    outside = [
        f"cylinder {n} ({results[best][f'compression_ratio_verdict_{n}']}, "
        f"{_number(results[best], f'compression_ratio_{n}'):.3f})"
        for n in read.cylinders
        if results[best][f"compression_ratio_verdict_{n}"] in OUTSIDE
    ]
    if outside:
        told.append(f"no offered gasket that clears brings the ratio within its limits: {', '.join(outside)}")
    if results[best]["ratio_spread_verdict"] in OUTSIDE:
        kept = any(
            result["ratio_spread_verdict"] not in OUTSIDE for result in results if not _short(read, result)
        )
        why = "where it is not, the ratios themselves are worse" if kept else "with every choice that clears"
        told.append(f"the spread of the ratio over the cylinders is above its limit: {why}")
    return told


def _next_best(
    read: Measured,
    sets: Sequence[tuple[float, ...]],
    results: Sequence[Results],
    best: int,
    passing: Sequence[int],
    unit: str,
) -> str:
    others = [place for place in passing if place != best]
    if not others:
        return "no other offered gasket clears"
    other = min(
        others, key=lambda place: (*_ratio_faults(read, results[place]), sum(sets[place]), sets[place])
    )

    def mean(place: int, key: str) -> float | None:
        values = [v for n in read.cylinders if isinstance(v := results[place][f"{key}_{n}"], float)]
        return sum(values) / len(values) if values else None

    what = " and ".join(f"{t:g}" for t in dict.fromkeys(sets[other]))
    squish = (mean(other, "head_clearance_static") or 0.0) - (mean(best, "head_clearance_static") or 0.0)
    ratios = mean(other, "compression_ratio"), mean(best, "compression_ratio")
    told = f"the next best, {what} {unit}: squish {squish:+.4g} {unit}"
    if ratios[0] is not None and ratios[1] is not None:
        told += f", ratio {ratios[0] - ratios[1]:+.3f}"
    outside = _ratio_faults(read, results[other])[0]
    return told + (f", {outside} cylinders outside the limits of the ratio" if outside else "")


def _thinner(
    read: Measured, chosen: tuple[float, ...], result: Results, offered: Sequence[float], unit: str
) -> list[str]:
    """Say what a gasket that is not offered would allow."""
    layout, told = read.plan.build.layout, []
    guards = {key: _number(result, guard_of(read.plan.catalogue.entries[key])) for key in CLEARS}
    for bank in range(1, layout.banks + 1):
        spare = min(
            _number(result, f"{key}_{n}") - (read.number(f"{key}_lower") or 0.0) - guards[key]
            for key in CLEARS
            for n in read.cylinders
            if layout.bank_of[n - 1] == bank
        )
        least = rounded(chosen[bank - 1] - spare)
        if 0 < least < chosen[bank - 1] and least not in offered:
            told.append(f"bank {bank}: down to {least:.4g} {unit} would still clear, if it were to be had")
    return told
