"""Which shells go where: main and rod bearings, within what is in stock."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from validators.choosing.answers import Answer, Reached, count_of
from validators.choosing.measured import Measured, out_of_limits, rounded
from validators.choosing.shell_programme import Picked, ShellJob, ShellProgramme
from validators.choosing.stock_lists import ShellStock

Changes = dict[str, float | str | None]


@dataclass(frozen=True, slots=True)
class Bearing:
    """One bearing: its number, what it is called, and housing minus journal in the shown unit."""

    number: int
    label: str
    room: float


def choose_shells(
    read: Measured, kind: str, stock: ShellStock, rod_from: Mapping[int, int] | None = None
) -> tuple[Answer, Changes]:
    """Choose the shells of the main or of the rod bearings.

    Parameters
    ----------
    read : Measured
        The sheet.
    kind : str
        "main" or "rod".
    stock : ShellStock
        What is in stock.
    rod_from : mapping, optional
        For each cylinder the one that its rod is listed for now; its housing goes with the rod.

    Returns
    -------
    Answer, dict
        The answer, and the entries that it changes.
    """
    topic = f"{kind} bearing shells"
    rod_from = (rod_from or {}) if kind == "rod" else {}
    bearings, left_out = _bearings(read, kind, rod_from)
    missing = _missing(read, kind)
    grades, walls, faults = _grades(read, kind)
    left_out += faults
    if missing or not bearings or all(map(math.isnan, walls)):
        if not missing and bearings:
            missing = ["no grade has both a name and a wall"]
        return Answer(topic=topic, state="not answerable", left_out=(*missing, *left_out)), {}
    for grade in stock.names:
        if grade not in {name.casefold() for name in grades}:
            left_out.append(f"{stock.names[grade]}: in the stock list, and no grade of the workbook")
    target = read.number(f"{kind}_clearance_target") or 0.0
    words = read.plan.catalogue.words["thicker_half"]
    job = ShellJob(
        [bearing.room for bearing in bearings],
        walls,
        grades,
        target,
        read.number("shell_steps_apart") or 0.0,
        words.index(read.mark("thicker_half")),
        read.per_micrometre,
        stock,
        *(_limit(read, kind, side) for side in ("lower", "upper")),
    )
    served = [number for number in range(len(bearings)) if not all(map(math.isnan, job.clearances[number]))]
    if len(served) < len(bearings):
        return Answer(
            topic=topic,
            state="not possible",
            left_out=tuple(left_out),
            shortfall=("no pair of grades is allowed: look at the steps apart and the walls",),
        ), {}
    programme = ShellProgramme(job)
    picked = programme.solve()
    if picked is None:
        return Answer(
            topic=topic,
            state="not possible",
            left_out=tuple(left_out),
            shortfall=("stock cannot serve these bearings, whatever is bought",),
        ), {}
    rows = _rows(read, kind, bearings, job, picked, rod_from)
    outside = tuple(out_of_limits(read, f"{kind}_clearance", rows))
    answer = Answer(
        topic=topic,
        state="short" if picked.bought else "chosen",
        rows=tuple(rows),
        reached=tuple(_reached(read, job, rows, picked)),
        limits=(*_limits(read, bearings, programme, picked), *outside),
        next_best=_next_best(read, programme, picked, _guard(read, kind)),
        one_more=tuple(_one_more(read, programme, picked)),
        shortfall=tuple(
            f"{count_of(number, 'more shell')}: {grade}{'' if half == 'either' else f', {half}'}"
            for (grade, half), number in picked.bought.items()
        ),
        doubts=tuple(_doubts(read, kind, rows, picked)),
        order=tuple(_order(job, rows)),
        left_out=tuple(left_out),
    )
    return answer, _changes(kind, rows)


def _missing(read: Measured, kind: str) -> list[str]:
    missing = []
    for name in (f"{kind}_clearance_target", "shell_steps_apart"):
        if read.number(name) is None:
            missing.append(read.why(name))
    if not read.mark("thicker_half"):
        missing.append(read.why("thicker_half"))
    return missing


def _bearings(read: Measured, kind: str, rod_from: Mapping[int, int]) -> tuple[list[Bearing], list[str]]:
    layout = read.plan.build.layout
    found, left_out = [], []
    for number in range(1, layout.mains + 1) if kind == "main" else read.cylinders:
        label = f"main bearing {number}" if kind == "main" else f"cylinder {number}"
        housing = f"{kind}_housing_size_{rod_from.get(number, number)}_vertical"
        journal = (
            f"main_journal_greatest_{number}"
            if kind == "main"
            else f"crankpin_greatest_{layout.crankpin_of[number - 1]}"
        )
        sizes = [read.number(name) for name in (housing, journal)]
        if sizes[0] is None or sizes[1] is None:
            absent = [name for name, size in zip((housing, journal), sizes, strict=True) if size is None]
            left_out.append(f"{label}: " + "; ".join(map(read.why, absent)))
        else:
            found.append(Bearing(number, label, sizes[0] - sizes[1]))
    return found, left_out


def _grades(read: Measured, kind: str) -> tuple[list[str], list[float], list[str]]:
    names, walls, faults = [], [], []
    for number in range(1, read.plan.build.layout.shell_grades + 1):
        name, wall = read.mark(f"{kind}_grade_name_{number}"), read.number(f"{kind}_grade_wall_{number}")
        if name and wall is None:
            faults.append(f"shell grade {name}: {read.why(f'{kind}_grade_wall_{number}')}")
        if wall is not None and not name:
            faults.append(f"shell grade {number}: it has a wall and no name")
        names.append(name)
        walls.append(math.nan if wall is None or not name else wall)
    return names, walls, faults


def _rows(
    read: Measured,
    kind: str,
    bearings: list[Bearing],
    job: ShellJob,
    picked: Picked,
    rod_from: Mapping[int, int],
) -> list[dict[str, Any]]:
    guard = _guard(read, kind)
    rows: list[dict[str, Any]] = []
    for place, (bearing, pair) in enumerate(zip(bearings, picked.pairs, strict=True)):
        upper, lower = (job.grades[number] for number in job.pairs[pair])
        n = bearing.number
        now_upper, now_lower = read.mark(f"{kind}_shell_upper_{n}"), read.mark(f"{kind}_shell_lower_{n}")
        now = read.number(f"{kind}_clearance_{n}")
        change = (upper.casefold(), lower.casefold()) != (now_upper.casefold(), now_lower.casefold())
        away = job.away(place, pair)
        gain = None if now is None else rounded(abs(now - job.target) - away)
        rows.append(
            {
                "place": bearing.label,
                "number": n,
                "upper": upper,
                "lower": lower,
                "clearance": float(job.clearances[place, pair]),
                "away": away,
                "odd": upper != lower,
                "upper_now": now_upper,
                "lower_now": now_lower,
                "clearance_now": now,
                "change": change,
                "gain": gain,
                "uncertainty": guard,
                "gain_below_uncertainty": bool(
                    change and gain is not None and guard is not None and 0 <= gain <= guard
                ),
                "rod_from": rod_from.get(n, n) if kind == "rod" else None,
            }
        )
    return rows


def _limit(read: Measured, kind: str, side: str) -> float:
    limit = read.number(f"{kind}_clearance_{side}")
    return math.nan if limit is None else limit


def _guard(read: Measured, kind: str) -> float | None:
    return read.number(f"{kind}_clearance_guard")


def _reached(
    read: Measured, job: ShellJob, rows: list[dict[str, Any]], picked: Picked
) -> Iterator[Reached]:
    unit = read.unit("main_clearance")
    known = [row["clearance_now"] for row in rows if row["clearance_now"] is not None]
    outside_now = sum(job.is_outside(clearance) for clearance in known)
    yield Reached(
        "bearings outside their limits",
        float(picked.outside),
        "",
        float(outside_now) if len(known) == len(rows) else None,
    )
    now = [None if row["gain"] is None else row["away"] + row["gain"] for row in rows]
    was = [value for value in now if value is not None]
    was = was if len(was) == len(rows) else []
    yield Reached("worst deviation from the wanted clearance", picked.worst, unit, max(was) if was else None)
    squares = job.sum_of_squares(was) if was else None
    yield Reached("sum of squares of the deviations", picked.squares, f"{unit}²", squares)
    odd_now = sum(
        bool(row["upper_now"]) and row["upper_now"].casefold() != row["lower_now"].casefold() for row in rows
    )
    yield Reached("odd pairs", picked.odd, "", float(odd_now) if was else None)


def _limits(
    read: Measured, bearings: list[Bearing], programme: ShellProgramme, picked: Picked
) -> Iterator[str]:
    job, unit = programme.job, read.unit("main_clearance")
    worst = [
        bearing.label
        for place, bearing in enumerate(bearings)
        if job.away(place, picked.pairs[place]) == picked.worst
    ]
    yield f"the worst deviation, {picked.worst:.6g} {unit}, is that of {', '.join(worst)}"
    if job.stock.unlimited:
        yield "no stock list speaks of these bearings: what the grades offered allow is the limit"
        return
    free = _free(job)
    if (free.outside, free.worst, free.squares) == (picked.outside, picked.worst, picked.squares):
        yield "stock does not limit it: unlimited shells would be no nearer"
        return
    used = _uses(job, picked)
    short = [
        f"{grade} ({number} of {number} used)"
        for grade in job.grades
        if grade
        and (number := sum(job.stock.count(grade, half) for half in ("upper", "lower", "either")))
        <= used[grade]
    ]
    yield (
        f"stock limits it: unlimited shells would give {free.worst:.6g} {unit} at worst"
        + (
            f" and {count_of(free.outside, 'bearing')} outside the limits instead of {picked.outside}"
            if free.outside != picked.outside
            else ""
        )
        + (f"; used up: {', '.join(short)}" if short else "")
    )


def _order(job: ShellJob, rows: list[dict[str, Any]]) -> Iterator[str]:
    """Say how many shells of each grade the choice needs, and how many of them are not fitted yet."""
    for grade in filter(None, dict.fromkeys(job.grades)):
        needed = [sum(row[half] == grade for row in rows) for half in ("upper", "lower")]
        fitted = [
            sum(row[half] == grade and row[f"{half}_now"].casefold() == grade.casefold() for row in rows)
            for half in ("upper", "lower")
        ]
        if any(needed):
            yield (
                f"{grade}: {needed[0]} upper and {needed[1]} lower, of which {needed[0] - fitted[0]} upper "
                f"and {needed[1] - fitted[1]} lower are not where they belong yet"
            )


def _uses(job: ShellJob, picked: Picked) -> Counter[str]:
    return Counter(job.grades[number] for pair in picked.pairs for number in job.pairs[pair])


def _free(job: ShellJob) -> Picked:
    """Return the answer without any limit of stock: one exists, because every bearing has a pair."""
    found = ShellProgramme(_with_stock(job, ShellStock())).solve(canonical=False)
    assert found is not None
    return found


def _with_stock(job: ShellJob, stock: ShellStock) -> ShellJob:
    return replace(job, stock=stock)


def _next_best(read: Measured, programme: ShellProgramme, picked: Picked, guard: float | None) -> str:
    other, unit = programme.solve(without=picked, canonical=False), read.unit("main_clearance")
    if other is None:
        return "there is no other answer"
    told = _costs(picked, other, unit)
    lost = other.worst - picked.worst
    if guard is not None and lost <= guard and sum(other.bought.values()) <= sum(picked.bought.values()):
        told += f"; the difference at worst is smaller than the uncertainty, {guard:.3g} {unit}"
    return f"the next best with another clearance somewhere: {told}"


def _costs(picked: Picked, other: Picked, unit: str) -> str:
    parts = []
    more = sum(other.bought.values()) - sum(picked.bought.values())
    if more:
        parts.append(f"{count_of(more, 'shell')} more to buy")
    if other.outside != picked.outside:
        parts.append(f"{count_of(other.outside, 'bearing')} outside the limits instead of {picked.outside}")
    if f"{other.worst:.6g}" != f"{picked.worst:.6g}":
        parts.append(f"worst {other.worst:.6g} instead of {picked.worst:.6g} {unit}")
    if f"{other.squares:.4g}" != f"{picked.squares:.4g}":
        parts.append(f"sum of squares {other.squares:.4g} instead of {picked.squares:.4g} {unit}²")
    if other.odd != picked.odd:
        parts.append(f"{count_of(other.odd, 'odd pair')} instead of {picked.odd}")
    return ", ".join(parts) or "as good, to six digits"


def _one_more(read: Measured, programme: ShellProgramme, picked: Picked) -> Iterator[str]:
    job, unit = programme.job, read.unit("main_clearance")
    if job.stock.unlimited:
        return
    if _free(job).key == picked.key:
        return
    halves = ("either",) if "either" in job.stock.halves else ("upper", "lower")
    for grade in dict.fromkeys(filter(None, job.grades)):
        if math.isnan(job.walls[job.grades.index(grade)]):
            continue
        for half in halves:
            with_one = ShellProgramme(_with_stock(job, job.stock.with_one_more(grade, half)))
            other = with_one.better_than(picked)
            if other is not None:
                what = f"one more {grade} shell{'' if half == 'either' else f', {half}'}"
                spared = sum(picked.bought.values()) - sum(other.bought.values())
                if spared:
                    yield f"{what}: {count_of(spared, 'shell')} fewer to buy"
                else:
                    yield f"{what}: {_costs(picked, other, unit)}"


def _doubts(read: Measured, kind: str, rows: list[dict[str, Any]], picked: Picked) -> Iterator[str]:
    unit = read.unit(f"{kind}_clearance")
    small = [row["place"] for row in rows if row["gain_below_uncertainty"]]
    if small:
        yield (
            f"the advantage over what is fitted is smaller than the uncertainty "
            f"({rows[0]['uncertainty']:.3g} {unit}) at {', '.join(small)}"
        )
    if _guard(read, kind) is None:
        yield f"no uncertainty can be given: {read.why(f'{kind}_clearance_guard')}"
    if not picked.proved:
        yield "the search was cut short: a better answer is not ruled out"


def _changes(kind: str, rows: list[dict[str, Any]]) -> Changes:
    """Return the entries that change; what was measured with the shells that leave is cleared."""
    changes: Changes = {}
    for row in rows:
        if row["change"]:
            n = row["number"]
            changes[f"{kind}_shell_upper_{n}"] = row["upper"]
            changes[f"{kind}_shell_lower_{n}"] = row["lower"]
            for name in (f"{kind}_wall_upper_{n}", f"{kind}_wall_lower_{n}", f"{kind}_installed_bore_{n}"):
                changes[name] = None
    return changes
