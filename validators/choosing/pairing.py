"""Which piston goes to which bore: the least worst deviation, then the least sum of squares."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from validators.choosing.answers import Answer, Reached
from validators.choosing.measured import Measured, out_of_limits, rounded
from validators.choosing.programme import Numbers, Programme


@dataclass(frozen=True, slots=True)
class Paired:
    """For each bore the place of its piston, and the values reached in the shown unit."""

    pistons: tuple[int, ...]
    worst: float
    squares: float
    proved: bool = True


def assignment(count: int) -> tuple[Programme, list[range]]:
    """Return a programme that gives each of `count` places one thing, and its rows of variables."""
    programme = Programme.of_binaries(count * count)
    groups = [range(place * count, (place + 1) * count) for place in range(count)]
    for group in groups:
        programme.bind(programme.row(group), 1, 1)
    for thing in range(count):
        programme.bind(programme.row([group[thing] for group in groups]), 1, 1)
    return programme, groups


def given(found: Numbers, groups: Sequence[range]) -> tuple[int, ...]:
    """Return for each place the thing that an assignment gives it."""
    return tuple(int(np.argmax(found[list(group)])) for group in groups)


def pair(
    bores: Sequence[float],
    pistons: Sequence[float],
    target: float,
    scale: float,
    without: Paired | None = None,
    *,
    canonical: bool = True,
) -> Paired | None:
    """Return the best pairing.

    The aims in order: least worst deviation; least sum of squares; fewest pistons moved; bore by bore the
    piston listed first.

    Parameters
    ----------
    bores, pistons : sequence of float
        Sizes in the shown unit.
    target : float
        Clearance wanted.
    scale : float
        Micrometres in one shown unit.
    without : Paired, optional
        A pairing that must differ in the size of at least one piston.
    canonical : bool
        Whether the aims after the sum of squares are followed.
    """
    count = len(bores)
    away = np.round(np.abs(np.subtract.outer(np.asarray(bores), np.asarray(pistons)) - target), 9)
    programme, groups = assignment(count)
    if without is not None:
        same = [
            group[other]
            for group, now in zip(groups, without.pistons, strict=True)
            for other in range(count)
            if rounded(pistons[other] - pistons[now]) == 0
        ]
        programme.bind(programme.row(same), 0, count - 1)
    costs = away.ravel() * scale
    if programme.least_worst(costs, groups) is None:
        return None
    aims = [costs**2]
    if canonical:
        aims.append(1.0 - np.eye(count).ravel())
        aims += [programme.row(group, range(count)) for group in groups]
    found = programme.best(aims)
    return None if found is None else _reached(away, given(found, groups), scale, programme.proved)


def _reached(away: Numbers, pistons: tuple[int, ...], scale: float, proved: bool = True) -> Paired:
    values = away[np.arange(len(pistons)), list(pistons)]
    squares = round(float(np.sum((values * scale) ** 2)), 6) / scale**2
    return Paired(pistons, float(np.max(values)), squares, proved)


def choose_pistons(read: Measured) -> tuple[Answer, dict[int, int]]:
    """Choose a piston for each bore.

    Returns
    -------
    Answer, dict
        The answer, and for each cylinder the one that its piston is listed for now.
    """
    topic, unit = "pistons to bores", read.unit("piston_clearance")
    target = read.number("piston_clearance_target")
    bores = {n: read.number(f"bore_thrust_least_{n}") for n in read.cylinders}
    pistons = {n: read.number(f"piston_size_{n}") for n in read.cylinders}
    names = {f"bore_thrust_least_{n}": size for n, size in bores.items()}
    names |= {f"piston_size_{n}": size for n, size in pistons.items()}
    left_out = []
    for n in read.cylinders:
        absent = [name for name in (f"bore_thrust_least_{n}", f"piston_size_{n}") if names[name] is None]
        if absent:
            left_out.append(f"cylinder {n}: " + "; ".join(map(read.why, absent)))
    known = [n for n in read.cylinders if bores[n] is not None and pistons[n] is not None]
    if target is None or not known:
        why = [read.why("piston_clearance_target")] if target is None else []
        return Answer(topic=topic, state="not answerable", left_out=(*why, *left_out)), {}
    sizes = [bores[n] or 0.0 for n in known], [pistons[n] or 0.0 for n in known]
    best = pair(*sizes, target, read.per_micrometre)
    if best is None:
        return Answer(topic=topic, state="not possible", left_out=tuple(left_out)), {}
    away = np.round(np.abs(np.subtract.outer(*map(np.asarray, sizes)) - target), 9)
    now = _reached(away, tuple(range(len(known))), read.per_micrometre)
    guard = read.number("fit_guard_piston")
    rows = _rows(read, known, sizes, target, best)
    moves = {row["number"]: row["from_cylinder"] for row in rows}
    moved = [row["place"] for row in rows if row["change"]]
    limits = [
        f"the worst deviation, {best.worst:.6g} {unit}, is that of "
        + ", ".join(row["place"] for row in rows if row["away"] == best.worst),
        *out_of_limits(read, "piston_clearance", rows),
    ]
    again = []
    if moved:
        again.append(
            f"{', '.join(moved)}: height at the deck, rocked readings and the mark on the crown, because "
            "another piston stands in the bore; the ratio follows from them. Gauge the clearance of the new "
            "pair, too"
        )
    return Answer(
        topic=topic,
        state="chosen",
        rows=tuple(rows),
        reached=(
            Reached("worst deviation from the wanted clearance", best.worst, unit, now.worst),
            Reached("sum of squares of the deviations", best.squares, f"{unit}²", now.squares),
            Reached("pistons moved", float(len(moved)), "", 0.0),
        ),
        limits=tuple(limits),
        next_best=_next_best(read, sizes, target, best, guard),
        doubts=tuple(_doubts(best, now, guard, unit, moved=bool(moved))),
        left_out=tuple(left_out),
        again=tuple(again),
    ), moves


def _rows(
    read: Measured, known: Sequence[int], sizes: tuple[list[float], list[float]], target: float, best: Paired
) -> list[dict[str, Any]]:
    bores, pistons = sizes
    rows: list[dict[str, Any]] = []
    for place, n in enumerate(known):
        source = known[best.pistons[place]]
        clearance = rounded(bores[place] - pistons[best.pistons[place]])
        rows.append(
            {
                "place": f"cylinder {n}",
                "number": n,
                "piston": read.mark(f"piston_mark_{source}") or f"of {source}",
                "from_cylinder": source,
                "clearance": clearance,
                "away": rounded(abs(clearance - target)),
                "clearance_now": rounded(bores[place] - pistons[place]),
                "change": source != n,
            }
        )
    return rows


def _doubts(best: Paired, now: Paired, guard: float | None, unit: str, *, moved: bool) -> Iterator[str]:
    if moved and guard is not None and now.worst - best.worst <= guard:
        yield (
            f"at worst the advantage over the pistons as listed, {now.worst - best.worst:.3g} {unit}, is "
            f"smaller than the uncertainty, {guard:.3g} {unit}: leaving them where they are is as good"
        )
    if not best.proved:
        yield "the search was cut short: a better answer is not ruled out"


def _next_best(
    read: Measured, sizes: tuple[list[float], list[float]], target: float, best: Paired, guard: float | None
) -> str:
    other, unit = (
        pair(*sizes, target, read.per_micrometre, best, canonical=False),
        read.unit("piston_clearance"),
    )
    if other is None:
        return "there is no other pairing"
    costs = []
    if f"{other.worst:.6g}" != f"{best.worst:.6g}":
        costs.append(f"worst {other.worst:.6g} instead of {best.worst:.6g} {unit}")
    if f"{other.squares:.4g}" != f"{best.squares:.4g}":
        costs.append(f"sum of squares {other.squares:.4g} instead of {best.squares:.4g} {unit}²")
    told = f"the next best with another size somewhere: {', '.join(costs) or 'as good, to six digits'}"
    if guard is not None and other.worst - best.worst <= guard:
        told += f"; the difference at worst is smaller than the uncertainty, {guard:.3g} {unit}"
    return told
