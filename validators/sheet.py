"""One returned sheet, start to end; or several together, each plan's formulas computed once for all."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from openpyxl.utils.datetime import MAC_EPOCH, WINDOWS_EPOCH, from_excel

from validators.birth import read_birth
from validators.checked import Checked
from validators.checks.registry import find_all
from validators.container import Limits
from validators.errors import UnreadableFile
from validators.findings import SheetReport, Status
from validators.recompute import Recomputer
from validators.returned import open_returned, read_returned
from validators.sealed import keyed_digest

if TYPE_CHECKING:
    from validators.issued import Issued

LONGEST_MARK = 200


def check_workbook(path: Path | str, issued: Issued | None = None) -> SheetReport:
    """Open a returned workbook, recompute it twice, compare, judge; nothing is written.

    Parameters
    ----------
    path : path
        The file as it came back.
    issued : Issued, optional
        What was issued, to compare with.

    Returns
    -------
    SheetReport
        Findings in the order of the gates; a file that cannot be read has exactly one.
    """
    return report_on(read_sheet(path, issued))


def check_workbooks(paths: Sequence[Path | str]) -> list[SheetReport]:
    """Check returned workbooks; those with the same formulas are recomputed in one go.

    What is said of a file does not depend on the files beside it; all of them are held in memory.
    """
    sheets = [opened(Path(path)) for path in paths]
    alike: dict[str, list[Checked]] = {}
    for sheet in sheets:
        if sheet.unreadable is None:
            alike.setdefault(sheet.recompute.formula_set, []).append(sheet)
    for group in alike.values():
        recompute(group[0].recompute, group)
    return [report_on(sheet) for sheet in sheets]


def read_sheet(path: Path | str, issued: Issued | None = None) -> Checked:
    """Open a returned workbook and recompute it twice; why it cannot be read stands in `unreadable`."""
    sheet = opened(Path(path), issued=issued)
    if sheet.unreadable is None:
        recompute(sheet.recompute, [sheet])
    return sheet


def opened(
    path: Path, data: bytes | None = None, fault: UnreadableFile | None = None, limits: Limits | None = None,
    issued: Issued | None = None,
) -> Checked:
    """Return a sheet as far as it can be read.

    Parameters
    ----------
    path : Path
        What to call it, and where it is when no bytes are given.
    data : bytes, optional
        The file, when it is at hand.
    fault : UnreadableFile, optional
        Why it cannot be read, when that is known already.
    limits : Limits, optional
        How much it may hold.
    issued : Issued, optional
        What was issued, to compare with.
    """
    sheet = Checked(path, unreadable=fault, issued=issued)
    if fault is None:
        try:
            sheet.workbook = (
                open_returned(path, limits) if data is None else read_returned(data, path, limits)
            )
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
        engine=_told(sheet.values.get("engine_name")),
        builder=_told(sheet.values.get("builder_name")),
        measured_by=_told(sheet.values.get("machinist_name")),
        measured_on=_day(sheet),
        saved_by=sheet.returned.core.application,
        issued=sheet.issued_file.place if sheet.issued_file else "",
        keyed_digest=keyed_digest(sheet),
        findings=tuple(find_all(sheet)),
        verdicts=sheet.verdicts,
        results=dict(sheet.reference),
    )


def _day(sheet: Checked) -> str:
    """Return the day of the measurement as year-month-day, "" when no such day was typed."""
    reading = sheet.entries.get("measured_date")
    if reading is None or reading.fault or not isinstance(reading.value, float):
        return ""
    epoch = MAC_EPOCH if sheet.returned.counts_from_1904 else WINDOWS_EPOCH
    return str(from_excel(reading.value, epoch))[:10]


def _told(mark: float | str | None) -> str:
    """Return a mark as text, however it was typed and however long it is."""
    if mark is None:
        return ""
    return f"{mark:.15g}" if isinstance(mark, float) else mark[:LONGEST_MARK]
