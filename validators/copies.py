"""Copies of a workbook, opened and recomputed; what cannot be used is said in one sentence."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from pathlib import Path

from sheetgen.errors import DefinitionError
from validators.birth import read_birth
from validators.checked import Checked
from validators.checks.registry import find_all
from validators.errors import UnreadableFile
from validators.findings import Finding
from validators.pile import Aside, Piece, walk
from validators.reports.as_text import printable
from validators.returned import read_returned

LOG = logging.getLogger("boreledger")
MOST_NAMED = 6
DAMAGE = frozenset({"CELL01", "CELL02", "CELL03", "CELL04", "CELL05", "CELL10"})
"""Findings after which it is not sure what was typed into a copy: sheets or names gone, cells moved, and
formulas changed, deleted or typed over, where a value of somebody's would be lost."""


def outer_file(path: Path) -> Path:
    """Return the file on disk that a place is in: itself, or the archive or mail that holds it."""
    for outer in (path, *path.parents):
        if outer.is_file():
            return outer
    return path


def find_copy(path: Path) -> Piece:
    """Return the one workbook that a path means.

    Parameters
    ----------
    path : path
        A workbook; an archive, a saved mail or a folder that holds a single one; or one of several in it, by
        the place that `check` gives it, such as ``returned.zip/march/job-12.xlsx``.

    Raises
    ------
    DefinitionError
        There is none, or more than one; the sentence names them.
    """
    outer = outer_file(path)
    kept: Piece | None = None
    places: list[str] = []
    what = f"there is no such workbook in {outer}" if outer != path else "there is no workbook in it"
    for item in walk([outer]):
        if isinstance(item, Aside) and item.place == path.as_posix():
            what = f"this is {item.found}; expected is a workbook, or what holds one"
        if not isinstance(item, Piece) or (outer != path and item.place != path.as_posix()):
            continue
        if kept is not None and item.data == kept.data and not item.fault and not kept.fault:
            continue  # the same file once more
        places.append(item.place)
        kept = kept or item
    if kept is None:
        raise DefinitionError(printable(str(path)), what)
    if len(places) > 1:
        more = f" and {len(places) - MOST_NAMED} more" if len(places) > MOST_NAMED else ""
        told = ", ".join(f"'{printable(place)}'" for place in places[:MOST_NAMED])
        raise DefinitionError(
            printable(str(path)), f"there are {len(places)} workbooks in it; name one of them: {told}{more}"
        )
    return kept


def open_copy(path: Path) -> Checked:
    """Open one copy and recompute it.

    Raises
    ------
    DefinitionError
        The file cannot be read or is no workbook of ours, or holds several; the sentence names it.
    """
    piece = find_copy(path)
    sheet = Checked(Path(piece.place))
    try:
        if piece.fault is not None:
            raise piece.fault
        sheet.workbook = read_returned(piece.data, sheet.path)
        sheet.recomputer = read_birth(sheet.workbook)
        batch = [sheet.values]
        sheet.recalculated = {name: v[0] for name, v in sheet.recomputer.recalculated(batch).items()}
        sheet.reference = {name: v[0] for name, v in sheet.recomputer.reference(batch).items()}
    except UnreadableFile as fault:
        why = f"{fault.code}: this is {fault.found}; expected is {fault.expected}. {fault.todo}"
        raise DefinitionError(printable(str(path)), why) from None
    except Exception as error:
        LOG.exception("%s", path)
        why = f"this program failed on it ({type(error).__name__}); run again with --verbose and report it"
        raise DefinitionError(printable(str(path)), why) from None
    return sheet


def open_copies(paths: Sequence[Path]) -> list[Checked]:
    """Open copies of one workbook, which must all come from the same plan.

    Raises
    ------
    DefinitionError
        A file cannot be read, is named twice, or was written from another plan.
    """
    seen: dict[Path, Path] = {}
    for path in paths:
        other = seen.setdefault(path.resolve(), path)
        if other is not path:
            raise DefinitionError(str(path), "this file is named twice; two copies are needed")
    copies = [open_copy(path) for path in paths]
    first = copies[0]
    for copy in copies[1:]:
        if copy.plan.digest != first.plan.digest:
            raise DefinitionError(
                str(copy.path),
                f"it was not written from the plan of {first.path.name}: {_told(copy)} against "
                f"{_told(first)}. Copies of one issued workbook are needed",
            )
    return copies


def _told(copy: Checked) -> str:
    build = copy.plan.build
    return f"{build.layout.name} in the {build.family} family, plan '{copy.plan.digest[:12]}'"


def titles(copies: Sequence[Checked]) -> tuple[str, ...]:
    """Return what each copy is called: its file name, with its folder where two names are the same."""
    names = [copy.path.name for copy in copies]
    return tuple(
        name if names.count(name) == 1 else str(copy.path) for name, copy in zip(names, copies, strict=True)
    )


def sheet_findings(copy: Checked) -> tuple[Finding, ...]:
    """Return what is wrong with the sheet of a copy, not with its engine."""
    return tuple(finding for finding in find_all(copy) if not finding.about_engine)
