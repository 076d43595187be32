"""The list of names as text, JSON and CSV."""

from __future__ import annotations

import csv
import io
import json
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import asdict, fields
from itertools import groupby

from validators.names.listing import Named
from validators.reports.as_csv import inert
from validators.reports.as_text import printable

SHAPE, VERSION = "boreledger names", 1
WIDTH = 100


def as_text(told: Sequence[Named]) -> str:
    """Return the list by quantity: what it is and how it is computed once, then every cell."""
    lines: list[str] = []
    for _, group in groupby(told, key=lambda named: named.quantity):
        lines += [*_quantity(list(group)), ""]
    return "\n".join(lines).rstrip() + "\n"


def _quantity(cells: Sequence[Named]) -> Iterator[str]:
    first = cells[0]
    unit = f" [{first.unit}]" if first.unit else ""
    yield f"{first.quantity}{unit}   {first.kind}, {first.direction}"
    for head, text in (
        ("is", f"{first.in_words}" + ("   (the first of them)" if len(cells) > 1 else "")),
        ("equation", first.equation), ("source", first.source),
    ):
        if text and (head != "is" or first.in_words):
            yield textwrap.fill(
                text, WIDTH, initial_indent=f"    {head:<9} ", subsequent_indent=" " * 14,
                break_long_words=False,
            )
    for cell in cells:
        yield printable(f"    {cell.name}   {cell.sheet}!{cell.cell}   {cell.label}")


def as_json(told: Sequence[Named]) -> str:
    """Return the list as JSON text."""
    data = {"shape": SHAPE, "version": VERSION, "names": [asdict(named) for named in told]}
    return json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def as_csv(told: Sequence[Named]) -> str:
    """Return the list as CSV, one line for each named cell."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    columns = [field.name for field in fields(Named)]
    table.writerow(columns)
    for named in told:
        table.writerow([inert(getattr(named, column)) for column in columns])
    return out.getvalue()
