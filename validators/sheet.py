"""One returned sheet, start to end."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from openpyxl.utils.datetime import MAC_EPOCH, WINDOWS_EPOCH, from_excel

from validators.birth import read_birth
from validators.checked import Checked
from validators.checks.registry import find_all
from validators.errors import UnreadableFile
from validators.findings import SheetReport, Status
from validators.returned import open_returned

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
    return check_workbooks([path])[0]


def check_workbooks(paths: Sequence[Path | str]) -> list[SheetReport]:
    """Check returned workbooks; those that were written from one build are recomputed in one go.

    What is said of a file does not depend on the files beside it; all of them are held in memory.
    """
    sheets = [_opened(Path(path)) for path in paths]
    alike: dict[int, list[Checked]] = {}
    for sheet in sheets:
        if sheet.recomputer is not None:
            alike.setdefault(id(sheet.recomputer), []).append(sheet)
    for group in alike.values():
        batch = [sheet.values for sheet in group]
        recalculated = group[0].recompute.recalculated(batch)
        reference = group[0].recompute.reference(batch)
        for number, sheet in enumerate(group):
            sheet.recalculated = {name: values[number] for name, values in recalculated.items()}
            sheet.reference = {name: values[number] for name, values in reference.items()}
    return [_report(sheet) for sheet in sheets]


def _opened(path: Path) -> Checked:
    """Return a file as far as it can be read."""
    sheet = Checked(path)
    try:
        sheet.workbook = open_returned(path)
        sheet.recomputer = read_birth(sheet.workbook)
    except UnreadableFile as fault:
        sheet.unreadable = fault
    return sheet


def _report(sheet: Checked) -> SheetReport:
    if sheet.unreadable is not None:
        return SheetReport(
            file=str(sheet.path), status=Status.UNREADABLE, findings=tuple(find_all(sheet)),
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
