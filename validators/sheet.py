"""One returned sheet, start to end; or several together, each plan's formulas computed once for all."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from validators.birth import read_birth
from validators.checked import Checked
from validators.checks.registry import find_all
from validators.errors import UnreadableFile
from validators.findings import SheetReport, Status
from validators.recompute import Recomputer
from validators.returned import open_returned, read_returned

LONGEST_MARK = 200


def check_workbook(path: Path | str) -> SheetReport:
    """Open a returned workbook, recompute it twice, compare, judge; nothing is written.

    Parameters
    ----------
    path : path
        The file as it came back.

    Returns
    -------
    SheetReport
        Findings in the order of the gates; a file that cannot be read has exactly one.
    """
    sheet = opened(Path(path))
    if sheet.unreadable is None:
        recompute(sheet.recompute, [sheet])
    return report_on(sheet)


def opened(path: Path, data: bytes | None = None, fault: UnreadableFile | None = None) -> Checked:
    """Return a sheet as far as it can be read.

    Parameters
    ----------
    path : Path
        What to call it, and where it is when no bytes are given.
    data : bytes, optional
        The file, when it is at hand.
    fault : UnreadableFile, optional
        Why it cannot be read, when that is known already.
    """
    sheet = Checked(path, unreadable=fault)
    if fault is None:
        try:
            sheet.workbook = open_returned(path) if data is None else read_returned(data, path)
            sheet.recomputer = read_birth(sheet.workbook)
        except UnreadableFile as found:
            sheet.unreadable = found
    return sheet


def recompute(recomputer: Recomputer, sheets: Sequence[Checked]) -> None:
    """Recompute sheets that share their formulas, in one go.

    Parameters
    ----------
    recomputer : Recomputer
        Of one of them, or of any other sheet with the same `formula_set`.
    sheets : sequence of Checked
        What is recomputed.
    """
    batch = [sheet.values for sheet in sheets]
    recalculated, reference = recomputer.recalculated(batch), recomputer.reference(batch)
    for number, sheet in enumerate(sheets):
        sheet.recalculated = {name: values[number] for name, values in recalculated.items()}
        sheet.reference = {name: values[number] for name, values in reference.items()}


def report_on(sheet: Checked) -> SheetReport:
    """Compare, judge and tell what is to be told of a sheet that has been recomputed, or not read."""
    if sheet.unreadable is not None:
        return SheetReport(
            file=str(sheet.path),
            status=Status.UNREADABLE,
            findings=tuple(find_all(sheet)),
            digest=sheet.workbook.digest if sheet.workbook else "",
        )
    plan = sheet.plan
    return SheetReport(
        file=str(sheet.path),
        status=Status.CHECKED,
        digest=sheet.returned.digest,
        job=_told(sheet.values.get("job_number")),
        layout=plan.build.layout.name,
        family=plan.build.family,
        template_version=str(plan.version),
        saved_by=sheet.returned.core.application,
        findings=tuple(find_all(sheet)),
        verdicts=sheet.verdicts,
        results=dict(sheet.reference),
    )


def _told(mark: float | str | None) -> str:
    """Return a mark as text, however it was typed and however long it is."""
    if mark is None:
        return ""
    return f"{mark:.15g}" if isinstance(mark, float) else mark[:LONGEST_MARK]
