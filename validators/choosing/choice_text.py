"""A choice as text for a person at a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from typing import Any

from validators.choosing.answers import Answer, Choice, Reached
from validators.reports.as_text import printable

WIDTH = 100
MOST_FIRST = 12


def choice_text(choice: Choice) -> str:
    """Return the whole choice as text: what must be put right first, then the answers."""
    about = ", ".join(
        part
        for part in (
            f"job {choice.job}" if choice.job else "",
            choice.layout,
            f"{choice.family} family" if choice.family else "",
        )
        if part
    )
    lines = [printable(choice.file) + (f"   {printable(about)}" if about else "")]
    if choice.first:
        lines += ["", "  To be put right first: what rests on it is not answered"]
        for finding in choice.first[:MOST_FIRST]:
            lines += _filled(f"{finding.code} {finding.name}", f"{finding.place}: {finding.found}")
        if len(choice.first) > MOST_FIRST:
            lines.append(f"    and {len(choice.first) - MOST_FIRST} more: boreledger check shows them")
    for answer in choice.answers:
        lines += ["", *_answer(answer)]
    if choice.sequence:
        lines += ["", "  In which order"]
        for number, told in enumerate(choice.sequence, 1):
            lines += _filled(f"{number}.", told)
    return "\n".join(lines) + "\n"


def _answer(answer: Answer) -> Iterator[str]:
    yield f"  {answer.topic[:1].upper()}{answer.topic[1:]}: {answer.state}"
    for row in answer.rows:
        yield f"    {printable(_row(answer.topic, row))}"
    for reached in answer.reached:
        yield f"      {_reached(reached)}"
    for head, told in (
        ("missing", answer.shortfall),
        ("needed", answer.order),
        ("limited by", answer.limits),
        ("next best", (answer.next_best,)),
        ("one more", answer.one_more),
        ("doubt", answer.doubts),
        ("left out", answer.left_out),
        ("measure", answer.again),
    ):
        for text in filter(None, told):
            yield from _filled(head, text)


def _filled(head: str, text: str) -> list[str]:
    start = f"    {head:<11} "
    return textwrap.wrap(printable(text), WIDTH, initial_indent=start, subsequent_indent=" " * len(start))


def _reached(reached: Reached) -> str:
    value = f"{reached.value:.6g} {reached.unit}".rstrip()
    return f"{reached.aim}: {value}" + ("" if reached.now is None else f" (now {reached.now:.6g})")


def _row(topic: str, row: Mapping[str, Any]) -> str:
    mark = "*" if row["change"] else " "
    place = f"{mark} {row['place']:<16}"
    if topic == "pistons to bores":
        now = f"(now {row['clearance_now']:.5f})"
        return f"{place} piston {row['piston']:<8} clearance {row['clearance']:.5f}  {now}"
    if topic == "reciprocating masses":
        return (
            f"{place} piston {row['piston']:<8} pin of {row['pin_from']:<3} rod {row['rod']:<8} "
            f"{row['mass']:.2f} g"
        )
    if topic == "gasket":
        ratio = (
            ""
            if row["ratio_least"] is None
            else (f"  ratio {row['ratio_least']:.2f} to {row['ratio_most']:.2f}")
        )
        now = "none" if row["thickness_now"] is None else f"{row['thickness_now']:g}"
        return (
            f"{place} {row['thickness']:g} (now {now})  squish {row['squish_least']:.3f} to "
            f"{row['squish_most']:.3f}  at speed {row['speed_least']:.3f}{ratio}"
            + ("  provisional" if row["provisional"] else "")
        )
    now = "" if row["clearance_now"] is None else f"  (now {row['clearance_now']:.5f})"
    odd = "  odd pair" if row["odd"] else ""
    small = "  gain below uncertainty" if row["gain_below_uncertainty"] else ""
    return f"{place} {row['upper']} / {row['lower']}  clearance {row['clearance']:.5f}{now}{odd}{small}"
