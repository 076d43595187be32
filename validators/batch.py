"""Many returned files, one report; a bad file never stops the rest."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from validators.findings import BatchReport, Finding, Place, Severity, SheetReport, Status
from validators.sheet import check_workbook

LOG = logging.getLogger("boreledger")
ENDINGS = {".xlsx"}


def files_in(paths: Iterable[Path]) -> Iterator[Path]:
    """Return the files to check: each path itself, and every workbook inside a folder, by name.

    Files that a spreadsheet program keeps beside an open workbook are passed over.
    """
    for path in paths:
        if path.is_dir():
            yield from sorted(
                found
                for found in path.rglob("*")
                if found.is_file()
                and found.suffix.lower() in ENDINGS
                and not found.name.startswith(("~$", ".~lock", "."))
            )
        else:
            yield path


def check_files(paths: Iterable[Path], told: Callable[[Path], None] | None = None) -> BatchReport:
    """Check files one after the other.

    Parameters
    ----------
    paths : paths
        Files and folders.
    told : function, optional
        Called with each file before it is checked, for progress.
    """
    reports = []
    for path in files_in(paths):
        if told is not None:
            told(path)
        reports.append(check_one(path))
    return BatchReport(sheets=tuple(reports))


def check_one(path: Path) -> SheetReport:
    """Check one file; whatever goes wrong becomes a finding."""
    try:
        return check_workbook(path)
    except Exception as error:  # the one place where a fault of ours is caught
        LOG.exception("%s", path)
        return SheetReport(
            file=str(path),
            status=Status.UNREADABLE,
            findings=(
                Finding(
                    code="TOOL01",
                    name="tool-failed",
                    severity=Severity.BLOCKS,
                    place=Place(file=path.name),
                    found=f"this program failed on it ({type(error).__name__})",
                    expected="a report",
                    todo="Report it with the file and run again with --verbose to see what happened.",
                ),
            ),
        )
