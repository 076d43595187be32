"""A report as CSV: a line for each file, finding and verdict, safe to open in a spreadsheet program."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from typing import Any

from validators.findings import BatchReport
from validators.reports.as_json import VERSION, pile_finding_data, sheet_data

MARK = "boreledger report"  # the head of the column that says which version of the shape a line has
OF_FILE = ("file", "job", "measured_by", "status")
COLUMNS = (
    MARK, "line", *OF_FILE, "code", "name", "about", "severity", "sheet", "cell", "label", "quantity",
    "found", "expected", "todo", "holds_up", "value", "unit", "lower", "upper", "guard", "origin", "word",
)
LIVE = ("=", "+", "-", "@", "＝", "＋", "－", "＠")


def as_csv(report: BatchReport) -> str:
    """Return the lines of every file: first the file itself, then its findings, then its verdicts."""
    return "".join(csv_texts(report))


def csv_texts(report: BatchReport) -> Iterator[str]:
    """Yield the lines, a file at a time."""
    pile = (
        {MARK: VERSION, "line": "finding", **pile_finding_data(finding), "holds_up": ""}
        for finding in report.findings
    )
    yield _table(pile, header=True)
    for number in range(len(report.sheets)):
        yield _table(_lines(sheet_data(report.told(number))))


def _table(lines: Iterable[dict[str, Any]], *, header: bool = False) -> str:
    import pandas as pd

    table = pd.DataFrame(list(lines), columns=list(COLUMNS), dtype=object)
    table = table.astype(object).where(table.notna(), "").map(inert)
    return table.to_csv(index=False, header=header, lineterminator="\n", quoting=csv.QUOTE_MINIMAL)


def _lines(sheet: dict[str, Any]) -> Iterator[dict[str, Any]]:
    about_file = {MARK: VERSION, **{name: sheet[name] for name in OF_FILE}}
    yield {**about_file, "line": "file"}
    for finding in sheet["findings"]:
        yield {**about_file, "line": "finding", **finding, "holds_up": " ".join(finding["holds_up"])}
    for verdict in sheet["verdicts"]:
        told = {name: verdict[name] for name in COLUMNS if name in verdict and name != "name"}
        yield {**about_file, **told, "line": "verdict", "quantity": verdict["name"]}


def inert(value: object) -> object:
    """Return text that no spreadsheet program takes for a formula, without control characters.

    Examples
    --------
    >>> inert("=1+1"), inert("within"), inert(" =1")
    ("'=1+1", 'within', "' =1")
    """
    if not isinstance(value, str):
        return value
    clean = "".join(c if c.isprintable() else " " for c in value)
    return f"'{clean}" if clean.lstrip().startswith(LIVE) else clean
