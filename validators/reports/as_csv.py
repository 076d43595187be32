"""A report as CSV: one line per finding, safe to open in a spreadsheet program."""

from __future__ import annotations

from typing import Any

from validators.findings import BatchReport
from validators.reports.as_json import as_data

COLUMNS = (
    "file", "job", "status", "code", "name", "about", "severity", "sheet", "cell", "label", "quantity",
    "found", "expected", "todo", "holds_up",
)
LIVE = ("=", "+", "-", "@", "\t", "\r")


def as_csv(report: BatchReport) -> str:
    """Return one line per finding; a file without findings has one line with an empty code."""
    import pandas as pd

    rows: list[dict[str, Any]] = []
    data = as_data(report)
    for finding in data["findings"]:
        rows.append({"job": "", "status": "", **finding, "holds_up": ""})
    for sheet in data["sheets"]:
        about_file = {name: sheet[name] for name in ("file", "job", "status")}
        for finding in sheet["findings"] or [{}]:
            rows.append({**about_file, **finding, "holds_up": " ".join(finding.get("holds_up", ()))})
    table = pd.DataFrame(rows, columns=list(COLUMNS)).fillna("").map(inert)
    return table.to_csv(index=False, lineterminator="\n")


def inert(value: object) -> object:
    """Return text that no spreadsheet program takes for a formula, without control characters.

    Examples
    --------
    >>> inert("=1+1"), inert("within")
    ("'=1+1", 'within')
    """
    if not isinstance(value, str):
        return value
    clean = "".join(c if c.isprintable() else " " for c in value)
    return f"'{clean}" if value.startswith(LIVE) else clean
