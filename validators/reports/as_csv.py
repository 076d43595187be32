"""A report as CSV: a line for each file, finding and verdict, safe to open in a spreadsheet program."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from typing import Any

from validators.findings import BatchReport
from validators.reports.as_json import VERSION, as_data

MARK = "boreledger report"  # the head of the column that says which version of the shape a line has
OF_FILE = ("file", "job", "measured_by", "status")
COLUMNS = (
    MARK, "line", *OF_FILE, "code", "name", "about", "severity", "sheet", "cell", "label", "quantity",
    "found", "expected", "todo", "holds_up", "value", "unit", "lower", "upper", "guard", "origin", "word",
)
LIVE = ("=", "+", "-", "@", "＝", "＋", "－", "＠")


def as_csv(report: BatchReport) -> str:
    """Return the lines of every file: first the file itself, then its findings, then its verdicts."""
    import pandas as pd

    table = pd.DataFrame(list(_lines(report)), columns=list(COLUMNS), dtype=object)
    table = table.astype(object).where(table.notna(), "").map(inert)
    return table.to_csv(index=False, lineterminator="\n", quoting=csv.QUOTE_MINIMAL)


def _lines(report: BatchReport) -> Iterator[dict[str, Any]]:
    data = as_data(report)
    for finding in data["findings"]:
        yield {MARK: VERSION, "line": "finding", **finding, "holds_up": ""}
    for sheet in data["sheets"]:
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
