"""A report as JSON, in a shape with a version."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields
from typing import Any

from validators.findings import BatchReport, Copies, Finding, SheetReport, Verdict

SHAPE = "boreledger report"
VERSION = 1
END = "\n}"
DEEPER = "\n        "
OF_VERDICT = tuple(field.name for field in fields(Verdict) if field.name != "place")


def as_json(report: BatchReport) -> str:
    """Return the report as JSON text."""
    return "".join(json_texts(report))


def json_texts(report: BatchReport) -> Iterator[str]:
    """Yield the report as JSON text, a file, a finding or a job at a time."""
    yield f"{_part(_head(report)).removesuffix(END)},\n"
    yield from _list("sheets", (_item(sheet_data(sheet)) for sheet in report.sheets))
    yield ",\n"
    yield from _list("findings", (_text(pile_finding_data(finding)) for finding in report.findings))
    yield ",\n"
    yield from _list("copies", (_item(_copies_data(copies)) for copies in report.copies))
    yield f"{END}\n"


def _list(name: str, items: Iterable[str]) -> Iterator[str]:
    yield f"  {_text(name)}: ["
    number = -1
    for number, item in enumerate(items):
        yield f"{',' if number else ''}\n    {item}"
    yield "]" if number < 0 else "\n  ]"


def _item(data: Mapping[str, Any]) -> str:
    """Return what is said of a file or of a job: each thing in its lists on a line of its own.

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


def _copies_data(copies: Copies) -> dict[str, Any]:
    return {
        "job": copies.job,
        "told_by": copies.told_by,
        "files": [
            {"file": file, "time": time} for file, time in zip(copies.files, copies.times, strict=True)
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
