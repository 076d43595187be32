"""A report becomes a file: whole or not at all, and never in place of anything but a report."""

from __future__ import annotations

import os
import tempfile
import zipfile
from collections.abc import Callable, Iterable
from pathlib import Path

from sheetgen.errors import DefinitionError
from validators.findings import BatchReport

LOOKED_AT = 4096
MARK = "boreledger report"
MARK_PART = "docProps/custom.xml"


def _json(report: BatchReport, _path: Path) -> bytes:
    from validators.reports.as_json import as_json

    return as_json(report).encode("utf-8", "backslashreplace")


def _csv(report: BatchReport, _path: Path) -> bytes:
    from validators.reports.as_csv import as_csv

    return as_csv(report).encode("utf-8-sig", "backslashreplace")


def _html(report: BatchReport, path: Path) -> bytes:
    from validators.reports.as_html import as_html

    return as_html(report, path.parent).encode("utf-8", "backslashreplace")


def _xlsx(report: BatchReport, _path: Path) -> bytes:
    from validators.reports.as_xlsx import as_xlsx

    return as_xlsx(report)


WRITERS: dict[str, Callable[[BatchReport, Path], bytes]] = {
    ".html": _html, ".xlsx": _xlsx, ".csv": _csv, ".json": _json,
}


def refuse_unfit(path: Path, checked: Iterable[Path]) -> None:
    """Stop before any work is done when a report cannot be written there.

    Raises
    ------
    DefinitionError
        The name has another ending, something that is no report stands there, or a workbook report would
        lie among the workbooks that are checked.
    """
    if path.suffix.lower() not in WRITERS:
        raise DefinitionError(str(path), "a report's name ends in .html, .xlsx, .csv or .json")
    where = path.resolve()
    for given in checked:
        root = given.resolve()
        if where == root:
            raise DefinitionError(str(path), "this is one of the files to check; it is not overwritten")
        if path.suffix.lower() == ".xlsx" and given.is_dir() and where.is_relative_to(root):
            why = "in the folder that is checked it would be checked next time; choose another folder"
            raise DefinitionError(str(path), why)
    if os.path.lexists(path) and not is_report(path):
        raise DefinitionError(str(path), "the file of this name is no report; it is not overwritten")


def write_report(report: BatchReport, path: Path) -> None:
    """Write a report beside its place and then move it there in one step.

    Raises
    ------
    DefinitionError
        It cannot be written, or something that is no report stands there.
    """
    refuse_unfit(path, (Path(sheet.file) for sheet in report.sheets))
    data = WRITERS[path.suffix.lower()](report, path)
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=".boreledger-", suffix=".part")
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(data)
            Path(name).chmod(0o644)
            os.replace(name, path)
        finally:
            Path(name).unlink(missing_ok=True)
    except OSError as error:
        raise DefinitionError(str(path), f"it cannot be written ({error.strerror})") from None


def is_report(path: Path) -> bool:
    """Return whether a file is a report that this program wrote, told by what it says of itself."""
    try:
        if not path.is_file():
            return False
        if path.suffix.lower() == ".xlsx":
            with zipfile.ZipFile(path) as parts, parts.open(MARK_PART) as part:
                return f'name="{MARK}"'.encode() in part.read(LOOKED_AT)
        with path.open("rb") as stream:
            start = stream.read(LOOKED_AT)
    except (OSError, zipfile.BadZipFile, KeyError, ValueError, RuntimeError, NotImplementedError, EOFError):
        return False
    return {
        ".html": f'<meta name="generator" content="{MARK}'.encode() in start,
        ".json": start.startswith(f'{{\n  "shape": "{MARK}"'.encode()),
        ".csv": start.removeprefix(b"\xef\xbb\xbf").startswith(f"{MARK},line,".encode()),
    }.get(path.suffix.lower(), False)
