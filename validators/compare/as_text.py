"""A comparison as text for a person at a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from validators.compare.agreement import Interval
from validators.compare.comparison import ASSUMED, Comparison, Differing, Kind
from validators.reports.as_text import printable

WIDTH = 100


def as_text(found: Comparison) -> str:
    """Return the whole comparison."""
    return "\n".join(_lines(found)).rstrip() + "\n"


def _lines(found: Comparison) -> Iterator[str]:
    one, two = map(printable, found.files)
    about = [f"job {printable(found.job)}"] if found.job else []
    yield f"{one}  against  {two}   {', '.join([*about, found.layout, f'{found.family} family'])}"
    yield ""
    for kind in found.kinds:
        yield from _kind(kind)
    yield from _section("Readings that stand in both and cannot be compared", found.left_out)
    yield from _section(
        f"Verdicts that differ ({len(found.verdicts)}; {found.verdicts_alike} alike)", found.verdicts
    )
    yield from _section("Other entries that differ", found.other_entries)
    for name, only in ((one, found.only_first), (two, found.only_second)):
        if only:
            yield f"  {only} reading(s) only in {name}."
    for name, faults in ((one, found.faults[0]), (two, found.faults[1])):
        if faults:
            yield f"  {name} has {faults} finding(s) about the sheet that block: see boreledger check."
    yield f"  {summary(found)}"
    yield ""
    for sentence in assumed(found):
        yield textwrap.fill(sentence, WIDTH, initial_indent="  ", subsequent_indent="  ")


def assumed(found: Comparison) -> tuple[str, ...]:
    """Return what a reader must know of the method, with the factor that was used."""
    factor = "not told" if found.factor is None else f"{found.factor:g}"
    return (*ASSUMED, f"Guard factor k = {factor}: a reading disagrees when |difference| > U = k u.")


def summary(found: Comparison) -> str:
    """Return the comparison in one line."""
    pairs = sum(len(kind.pairs) for kind in found.kinds)
    return (
        f"{pairs} readings compared, {found.disagreeing} disagree beyond their uncertainty; "
        f"{len(found.verdicts)} verdicts differ."
    )


def _kind(kind: Kind) -> Iterator[str]:
    yield f"  {kind.label}, {kind.agreement.count} readings [{kind.note}]"
    if kind.is_equal:
        yield "    no reading differs"
        yield ""
        return
    for head, text in figures(kind):
        yield f"    {head:<22} {text}"
    for pair in kind.disagreeing:
        told = (number(kind, value) for value in (pair.first, pair.second))
        yield (
            f"    disagree   {pair.sheet}!{pair.cell}  {printable(pair.label)}:  {' against '.join(told)}, "
            f"difference {number(kind, pair.difference, sign=True)}, U {number(kind, pair.expanded or 0.0)}"
        )
    yield ""


def figures(kind: Kind) -> Iterator[tuple[str, str]]:
    """Yield bias, limits of agreement and uncertainty of a kind, each with what it is called."""
    told = kind.agreement
    interval = f", 95 % interval {_range(kind, told.bias_interval)}" if told.bias_interval else ""
    real = "; more than chance" if told.is_biased else ""
    yield "bias", f"{number(kind, told.bias, sign=True)} {kind.unit}{interval}{real}"
    if told.spread is None or told.limits is None:
        yield "limits of agreement", "one pair gives none"
    else:
        yield "spread s", f"{number(kind, told.spread)} {kind.unit}"
        text = f"{_range(kind, told.limits)} {kind.unit}"
        edges = f"{_range(kind, told.lower_interval)} and {_range(kind, told.upper_interval)}"
        yield "limits of agreement", f"{text}   (95 % intervals {edges})"
    expanded = kind.pairs[0].expanded
    if expanded is not None:
        yield "U of a difference", f"{number(kind, expanded)} {kind.unit}"


def number(kind: Kind, value: float, *, sign: bool = False) -> str:
    """Return a value with one decimal more than its cell shows."""
    return f"{value:{'+' if sign else ''}.{kind.decimals + 1}f}"


def _range(kind: Kind, told: Interval | None) -> str:
    if told is None:
        return "none"
    return f"{number(kind, told.lower, sign=True)} to {number(kind, told.upper, sign=True)}"


def _section(title: str, told: tuple[Differing, ...]) -> Iterator[str]:
    if told:
        yield f"  {title}"
        for item in told:
            values = " against ".join(printable(text) or "blank" for text in (item.first, item.second))
            yield f"    {item.sheet}!{item.cell}  {printable(item.label)}:  {values}"
        yield ""
