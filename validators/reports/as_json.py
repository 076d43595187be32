"""A report as JSON, in a shape with a version."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import fields
from typing import Any

from validators.findings import BatchReport, Finding, SheetReport, Verdict

SHAPE = "boreledger report"
VERSION = 1
END = "\n}"
DEEPER = "\n        "
OF_VERDICT = tuple(field.name for field in fields(Verdict) if field.name != "place")


def as_json(report: BatchReport) -> str:
    """Return the report as JSON text."""
    return "".join(json_texts(report))


def json_texts(report: BatchReport) -> Iterator[str]:
    """Yield the report as JSON text, a file at a time."""
    yield f"{_part(_head(report)).removesuffix(END)},\n  \"sheets\": ["
    for number, sheet in enumerate(report.sheets):
        yield f"{',' if number else ''}\n    {_sheet(sheet_data(sheet))}"
    yield "\n  ]," if len(report.sheets) else "],"
    yield _part(_tail(report)).removeprefix("{") + "\n"


def _sheet(data: Mapping[str, Any]) -> str:
    """Return the report on a file: each finding, verdict and result on a line of its own.

    The library's own layout is made in Python, and takes twice as long.
    """
    told = ",".join(f"\n      {_text(name)}: {_value(value)}" for name, value in data.items())
    return f"{{{told}\n    }}"


def _value(value: Any) -> str:
    if isinstance(value, list) and value:
        return f"[{','.join(f'{DEEPER}{_text(item)}' for item in value)}\n      ]"
    if isinstance(value, dict) and value:
        told = _text(value, separators=(f",{DEEPER}", ": "))
        return f"{{{DEEPER}{told[1:-1]}\n      }}"
    return _text(value)


def _text(value: Any, **layout: Any) -> str:
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, **layout)
    return text.encode("utf-8", "backslashreplace").decode()  # half characters, as in some file names


def _part(data: dict[str, Any]) -> str:
    return _text(data, indent=2)


def _head(report: BatchReport) -> dict[str, Any]:
    return {"shape": SHAPE, "version": VERSION, "exit_status": report.exit_status}


def _tail(report: BatchReport) -> dict[str, Any]:
    return {
        "findings": [pile_finding_data(finding) for finding in report.findings],
        "copies": [
            {
                "job": copies.job,
                "told_by": copies.told_by,
                "files": [
                    {"file": file, "time": time}
                    for file, time in zip(copies.files, copies.times, strict=True)
                ],
                "differences": [
                    {
                        "name": difference.name,
                        "label": difference.place.label,
                        "sheet": difference.place.sheet,
                        "cell": difference.place.cell,
                        "issued": difference.issued,
                        "values": list(difference.values),
                    }
                    for difference in copies.differences
                ],
            }
            for copies in report.copies
        ],
    }


def pile_finding_data(finding: Finding) -> dict[str, Any]:
    """Return a finding about the pile as plain data."""
    return {"file": finding.place.file, **_finding(finding)}


def _finding(finding: Finding) -> dict[str, Any]:
    about = "engine" if finding.about_engine else "sheet"
    if finding.about_pile:
        about = "pile"
    return {
        "code": finding.code,
        "name": finding.name,
        "about": about,
        "severity": str(finding.severity),
        "sheet": finding.place.sheet,
        "cell": finding.place.cell,
        "label": finding.place.label,
        "quantity": finding.quantity,
        "found": finding.found,
        "expected": finding.expected,
        "todo": finding.todo,
        "holds_up": list(finding.holds_up),
    }


def sheet_data(sheet: SheetReport) -> dict[str, Any]:
    """Return the report on a file as plain data, ready for JSON."""
    return {
        "file": sheet.file,
        "sha256": sheet.digest,
        "status": str(sheet.status),
        "exit_status": sheet.exit_status,
        "job": sheet.job,
        "layout": sheet.layout,
        "family": sheet.family,
        "template_version": sheet.template_version,
        "engine": sheet.engine,
        "builder": sheet.builder,
        "measured_by": sheet.measured_by,
        "measured_on": sheet.measured_on,
        "saved_by": sheet.saved_by,
        "issued": sheet.issued,
        "keyed_digest": sheet.keyed_digest,
        "findings": [_finding(finding) for finding in sheet.findings],
        "verdicts": [
            {**{name: getattr(verdict, name) for name in OF_VERDICT},
             "sheet": verdict.place.sheet, "cell": verdict.place.cell}
            for verdict in sheet.verdicts
        ],
        "results": {name: None if value == "" else value for name, value in sheet.results.items()},
    }
