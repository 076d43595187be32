"""A comparison as plain data for JSON, and as CSV with one line per reading or verdict."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import asdict
from typing import Any

from validators.compare.as_text import assumed
from validators.compare.comparison import Comparison
from validators.reports.as_csv import inert

SHAPE, VERSION = "boreledger comparison", 1
COLUMNS = (
    "what", "kind", "name", "label", "sheet", "cell", "unit", "first", "second", "difference", "mean",
    "uncertainty", "disagrees",
)


def as_data(found: Comparison) -> dict[str, Any]:
    """Return the comparison as plain data, ready for JSON."""
    return {
        "shape": SHAPE,
        "version": VERSION,
        "exit_status": found.exit_status,
        "files": list(found.files),
        "job": found.job,
        "layout": found.layout,
        "family": found.family,
        "guard_factor": found.factor,
        "assumed": list(assumed(found)),
        "kinds": [
            {
                "key": kind.key,
                "label": kind.label,
                "unit": kind.unit,
                "gauges": kind.note,
                "agreement": {**asdict(kind.agreement), "is_biased": kind.agreement.is_biased},
                "readings": [
                    {
                        **asdict(pair), "difference": pair.difference, "mean": pair.mean,
                        "disagrees": pair.disagrees,
                    }
                    for pair in kind.pairs
                ],
            }
            for kind in found.kinds
        ],
        "left_out": [asdict(item) for item in found.left_out],
        "verdicts": [asdict(item) for item in found.verdicts],
        "verdicts_alike": found.verdicts_alike,
        "other_entries": [asdict(item) for item in found.other_entries],
        "only_first": found.only_first,
        "only_second": found.only_second,
        "faults": list(found.faults),
    }


def as_json(found: Comparison) -> str:
    """Return the comparison as JSON text."""
    return json.dumps(as_data(found), ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def as_csv(found: Comparison) -> str:
    """Return one line for each reading that is compared, then for all else that differs."""
    out = io.StringIO()
    table = csv.DictWriter(out, COLUMNS, restval="", lineterminator="\n")
    table.writeheader()
    for kind in found.kinds:
        for pair in kind.pairs:
            row = {
                "what": "reading", "kind": kind.key, "name": pair.name, "label": pair.label,
                "sheet": pair.sheet, "cell": pair.cell, "unit": kind.unit, "first": pair.first,
                "second": pair.second, "difference": pair.difference, "mean": pair.mean,
                "uncertainty": "" if pair.expanded is None else pair.expanded,
                "disagrees": "" if pair.expanded is None else ("yes" if pair.disagrees else "no"),
            }
            table.writerow({name: inert(value) for name, value in row.items()})
    for what, told in (
        ("not compared", found.left_out), ("verdict", found.verdicts), ("other entry", found.other_entries)
    ):
        for item in told:
            table.writerow({"what": what, **{name: inert(value) for name, value in asdict(item).items()}})
    return out.getvalue()
