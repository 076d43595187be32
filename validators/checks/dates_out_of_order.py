"""Dates that cannot follow each other.

What it finds: a measurement, a step of the assembly or the tightening of a group of fasteners dated before
the job was sent out; a gauge calibrated after it was used.
Why it matters: readings of another job, or a year mistyped; a gauge without a valid calibration gives an
uncertainty that nobody can answer for.
Example: measured on 17 April 2030, for a job of 3 March 2031.
What to do: correct the date, or ask which job the readings belong to. Days are compared, so there are no
false alarms where the dates are right.
"""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.findings import Note, Severity
from validators.readings import day
from validators.together import together

CODE = "READ20"
NAME = "dates-out-of-order"
SEVERITY = Severity.LOOK
JOB, MEASURED, CALIBRATED = "job_date", "measured_date", "gauge_calibrated"
DONE = ("joint_done_on", "step_date")


def find(sheet: Checked) -> Iterator[Note]:
    """Compare the days of measurement and work with that of the job and of each calibration."""
    job, measured = _day_number(sheet, JOB), _day_number(sheet, MEASURED)
    if job is not None:
        yield from together(sheet, _done_early(sheet, job))
    if measured is None:
        return
    if job is not None and measured < job:
        yield _note(
            sheet, sheet.plan.by_name[MEASURED], measured,
            f"a day not before {_told(sheet, job)}, the date of the job",
            "Correct the date, or ask which job these readings belong to.",
        )
        return  # which of the dates is wrong is not known: the calibrations say nothing then
    late = (
        _note(
            sheet, cell, number, f"a day not after {_told(sheet, measured)}, when it was used",
            "Correct the date, or enter the calibration that was valid when the gauge was used.",
        )
        for cell in sheet.plan.by_key[CALIBRATED]
        if (number := _day_number(sheet, cell.name)) is not None and number > measured
    )
    yield from together(sheet, late)


def _done_early(sheet: Checked, job: int) -> Iterator[Note]:
    for key in DONE:
        for cell in sheet.plan.by_key[key]:
            number = _day_number(sheet, cell.name)
            if number is not None and number < job:
                yield _note(
                    sheet, cell, number, f"a day not before {_told(sheet, job)}, the date of the job",
                    "Correct the date, or ask which job this entry belongs to.",
                )


def _day_number(sheet: Checked, name: str) -> int | None:
    reading = sheet.entries.get(name)
    if reading is None or reading.fault or not isinstance(reading.value, float):
        return None
    return int(reading.value)


def _told(sheet: Checked, number: int) -> str:
    return day(float(number), counts_from_1904=sheet.returned.counts_from_1904)


def _note(sheet: Checked, cell: PlannedCell, number: int, expected: str, todo: str) -> Note:
    return Note(
        place=sheet.place(cell), quantity=cell.name, found=_told(sheet, number), expected=expected, todo=todo
    )
