"""What was found in a pile, each kind of finding once, and from how many files on that is said first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from validators.findings import BatchReport, Severity

MOST_IN_FULL = 400
"""Files; of more than these a report tells the whole first, and each file in a place of its own."""

PER_PAGE = 100
FILES_NAMED = 3


@dataclass(slots=True)
class Kind:
    """One kind of finding: how often it stands in the pile, and in how many files."""

    severity: Severity
    code: str
    name: str
    count: int = 0
    files: int = 0
    first: list[int] = field(default_factory=list)  # the numbers of the first files with it, from 1


def kinds_of(report: BatchReport) -> tuple[Kind, ...]:
    """Return every kind of finding, what blocks and stands in most files first."""
    kinds: dict[tuple[Severity, str], Kind] = {}
    for number, severity, code, name, count in _each(report):
        kind = kinds.setdefault((severity, code), Kind(severity, code, name))
        kind.count += count
        kind.files += 1
        if number and len(kind.first) < FILES_NAMED:
            kind.first.append(number)
    return tuple(sorted(kinds.values(), key=lambda kind: (kind.severity.rank, -kind.files, kind.code)))


def _each(report: BatchReport) -> Iterator[tuple[int, Severity, str, str, int]]:
    for number, sheet in enumerate(report.briefs, 1):
        for kind in sheet.kinds:
            yield number, *kind
    for finding in report.findings:
        yield 0, finding.severity, finding.code, finding.name, 1
