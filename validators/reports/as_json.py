"""A report as JSON, in a shape with a version."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

from validators.findings import BatchReport, Finding, SheetReport

SHAPE = "boreledger report"
VERSION = 1


def as_json(report: BatchReport) -> str:
    """Return the report as JSON text."""
    text = json.dumps(as_data(report), ensure_ascii=False, indent=2, allow_nan=False) + "\n"
    return text.encode("utf-8", "backslashreplace").decode()  # half characters, as in some file names


def as_data(report: BatchReport) -> dict[str, Any]:
    """Return the report as plain data, ready for JSON."""
    return {
        "shape": SHAPE,
        "version": VERSION,
        "exit_status": report.exit_status,
        "sheets": [_sheet(sheet) for sheet in report.sheets],
        "findings": [{"file": finding.place.file, **_finding(finding)} for finding in report.findings],
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


def _sheet(sheet: SheetReport) -> dict[str, Any]:
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
            {**{k: v for k, v in asdict(verdict).items() if k != "place"},
             "sheet": verdict.place.sheet, "cell": verdict.place.cell}
            for verdict in sheet.verdicts
        ],
        "results": {name: None if value == "" else value for name, value in sheet.results.items()},
    }
