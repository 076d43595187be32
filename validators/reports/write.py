"""A report becomes a file: whole or not at all, and never in place of anything but a report."""

from __future__ import annotations

import codecs
import os
import tempfile
import zipfile
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from sheetgen.errors import DefinitionError
from validators.findings import BatchReport
from validators.reports.kinds import MOST_IN_FULL

LOOKED_AT = 4096
MARK = "boreledger report"
MARK_PART = "docProps/custom.xml"


def _json(report: BatchReport, _path: Path) -> Iterator[bytes]:
    from validators.reports.as_json import json_texts

    return (text.encode() for text in json_texts(report))


def _csv(report: BatchReport, _path: Path) -> Iterator[bytes]:
    from validators.reports.as_csv import csv_texts

    yield codecs.BOM_UTF8
    for text in csv_texts(report):
        yield text.encode("utf-8", "backslashreplace")


def _html(report: BatchReport, path: Path) -> Iterator[bytes]:
    from validators.reports.as_html import as_html
    from validators.reports.calls import calls_of
    from validators.reports.parts import parts_of

    calls = calls_of(report)
    parts = parts_of(report, calls, pages_beside(path).name) if is_paged(report) else ()
    yield as_html(report, path.parent, calls=calls, parts=parts).encode("utf-8", "backslashreplace")


def _xlsx(report: BatchReport, path: Path) -> Iterator[bytes]:
    from validators.reports.as_xlsx import as_xlsx

    yield as_xlsx(report, path.parent)


WRITERS: dict[str, Callable[[BatchReport, Path], Iterator[bytes]]] = {
    ".html": _html, ".xlsx": _xlsx, ".csv": _csv, ".json": _json,
}


def is_paged(report: BatchReport) -> bool:
    """Return whether a report as a page has further pages in a folder beside it."""
    return len(report.sheets) > MOST_IN_FULL


def pages_beside(path: Path) -> Path:
    """Return the folder in which the further pages of a page lie."""
    return path.with_name(f"{path.stem}-pages")


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
    pages = pages_beside(path)
    if path.suffix.lower() == ".html" and os.path.lexists(pages) and not are_pages(pages):
        why = f"further pages would take the place of '{pages}', in which something else lies"
        raise DefinitionError(str(path), f"{why}; choose another name")


def write_report(report: BatchReport, path: Path) -> None:
    """Write a report beside its place and then move it there in one step.

    The page about a very large pile comes with a folder of further pages, which takes its place with it.

    Raises
    ------
    DefinitionError
        It cannot be written, or something that is no report stands there.
    """
    refuse_unfit(path, (Path(brief.file) for brief in report.briefs))
    try:
        with tempfile.TemporaryDirectory(dir=path.parent, prefix=".boreledger-", suffix=".part") as name:
            beside = Path(name)
            with (beside / "report").open("wb") as stream:
                stream.writelines(WRITERS[path.suffix.lower()](report, path))
            (beside / "report").chmod(0o644)
            if path.suffix.lower() == ".html":
                _put_pages(report, path, beside)
            os.replace(beside / "report", path)
    except OSError as error:
        raise DefinitionError(str(path), f"it cannot be written ({error.strerror})") from None


def _put_pages(report: BatchReport, path: Path, beside: Path) -> None:
    """Put the further pages of a page in place of those of an earlier one."""
    from validators.reports.as_html import naming_of, part_as_html
    from validators.reports.calls import calls_of
    from validators.reports.parts import parts_of

    folder, new = pages_beside(path), beside / "pages"
    if is_paged(report):
        new.mkdir()
        naming = naming_of(report)
        for part in parts_of(report, calls_of(report), folder.name):
            page = part_as_html(report, part, folder, f"../{path.name}", naming)
            (new / part.name).write_bytes(page.encode("utf-8", "backslashreplace"))
    if are_pages(folder):
        os.replace(folder, beside / "before")
    if is_paged(report):
        os.replace(new, folder)


def are_pages(folder: Path) -> bool:
    """Return whether a folder holds the further pages of a report, and nothing else."""
    try:
        return not folder.is_symlink() and all(
            path.suffix == ".html" and is_report(path) for path in folder.iterdir()
        )
    except OSError:
        return False


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
