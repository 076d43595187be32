"""An issued workbook is opened in the office program, filled in there, saved, and checked here.

What the check says of it must be what it says of the same entries typed into the same file without
any office program: a program that rewrites the whole file must not raise a single finding.
"""

from __future__ import annotations

import math
import subprocess
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest

from sheetgen.fill import fill_workbook
from sheetgen.plan import BIRTH_SHEET, Plan
from tests.crosscheck.office import ENGLISH, GERMAN, Job, Office, Outcome, Typed
from tests.crosscheck.workbooks import issued, keystrokes, natural_seed, plan_of, readings_of
from validators.findings import Finding, Severity, SheetReport, Status
from validators.returned import open_returned
from validators.sheet import check_workbook

pytestmark = pytest.mark.office

TRIPS = [
    ("inline-4", "millimetre", ENGLISH),
    ("v8", "inch", ENGLISH),
    ("flat-6", "millimetre", GERMAN),
]


@dataclass(frozen=True)
class Trip:
    """One workbook filled in twice: without the office program, and in it."""

    plan: Plan
    entries: Mapping[str, Typed]
    outcome: Outcome
    folder: Path
    reports: dict[str, SheetReport]

    def check(self, name: str) -> SheetReport:
        """Return what the check says of one of the files."""
        if name not in self.reports:
            self.reports[name] = check_workbook(self.folder / name)
        report = self.reports[name]
        assert report.status is Status.CHECKED, report.findings
        return report


@pytest.fixture(scope="module", params=TRIPS, ids=" ".join)
def trip(request, program: Office, tmp_path_factory) -> Trip:
    """The files of one round trip."""
    preset, family, locale = request.param
    plan, sent = plan_of(preset, family), issued(preset, family)
    entries = readings_of(plan, natural_seed(TRIPS.index(request.param)))
    folder = tmp_path_factory.mktemp("trip")
    (folder / "issued.xlsx").write_bytes(sent)
    (folder / "filled.xlsx").write_bytes(fill_workbook(sent, plan, entries))
    typing = Job(
        workbook=folder / "issued.xlsx",
        entries=keystrokes(plan, entries, locale),
        locale=locale,
        saves={kind: folder / f"typed.{kind}" for kind in ("xlsx", "ods", "pdf")},
    )
    again = Job(
        workbook=folder / "typed.ods", locale=locale, saves={"xlsx": folder / "again.xlsx"}
    )
    outcome, _ = program.run(typing, again)
    return Trip(plan, entries, outcome, folder, {})


def of_gates(report: SheetReport, *gates: str) -> list[Finding]:
    """Return the findings of some gates."""
    return [finding for finding in report.findings if finding.code.startswith(gates)]


def said(report: SheetReport) -> set[tuple[str, ...]]:
    """Return what is said of the entries and the engine, without the name of the file."""
    return {
        (f.code, f.severity, f.quantity, f.place.sheet, f.place.cell, f.found, f.expected, f.todo)
        for f in of_gates(report, "READ", "LIMIT")
    }


def test_every_open_cell_takes_what_is_typed(trip):
    assert trip.outcome.refused == []
    assert len(trip.outcome.typed) == len(trip.entries)


def test_what_was_typed_is_in_the_file_as_typed(trip):
    returned = open_returned(trip.folder / "typed.xlsx")
    for cell in trip.plan.cells:
        if cell.name not in trip.entries:
            continue
        sheet = returned.sheet(cell.sheet)
        assert sheet is not None
        held, typed = sheet.cell(cell.address), trip.entries[cell.name]
        if isinstance(typed, float):
            assert held.kind == "number", cell.name
            assert math.isclose(held.value, typed, rel_tol=1e-14), cell.name
        elif isinstance(typed, str):
            assert (held.kind, held.value) == ("text", typed), cell.name


def test_the_entries_are_enough_to_judge_the_engine(trip):
    words = [verdict.word for verdict in trip.check("typed.xlsx").verdicts]
    judged = [word for word in words if word in ("within", "under", "over", "too close to call")]
    assert len(judged) > len(words) / 3


@pytest.mark.parametrize("name", ["typed.xlsx", "again.xlsx"])
def test_a_copy_saved_by_the_office_program_has_no_finding_about_its_cells(trip, name):
    report = trip.check(name)
    assert report.saved_by.startswith("LibreOffice")
    assert of_gates(report, "CELL") == []


@pytest.mark.parametrize("name", ["typed.xlsx", "again.xlsx"])
def test_what_the_office_program_stored_is_what_is_recomputed(trip, name):
    assert of_gates(trip.check(name), "CALC") == []


@pytest.mark.parametrize("name", ["typed.xlsx", "again.xlsx"])
def test_entries_and_engine_are_judged_as_if_no_program_had_been_between(trip, name):
    assert said(trip.check(name)) == said(trip.check("filled.xlsx"))


def test_the_same_entries_without_an_office_program_have_no_finding_about_cells_either(trip):
    report = trip.check("filled.xlsx")
    assert of_gates(report, "CELL", "CALC") == []


def test_the_verdicts_are_the_same_to_the_last_word(trip):
    one, other = trip.check("typed.xlsx"), trip.check("filled.xlsx")
    assert [(v.name, v.word) for v in one.verdicts] == [(v.name, v.word) for v in other.verdicts]


def test_what_is_lost_on_the_way_is_for_information_only(trip):
    """The birth record stays hidden, but not as deep; locks and entry rules stay."""
    returned = open_returned(trip.folder / "again.xlsx")
    assert returned.sheet(BIRTH_SHEET).visible == "hidden"
    assert all(sheet.protected for sheet in returned.sheets)
    sent = open_returned(trip.folder / "issued.xlsx")
    for sheet in sent.sheets:
        kept = returned.sheet(sheet.title)
        assert kept is not None
        assert {rule.type for rule in kept.validations} == {r.type for r in sheet.validations}
    findings = of_gates(trip.check("again.xlsx"), "CELL", "FILE", "BIRTH")
    assert {finding.severity for finding in findings} <= {Severity.INFORMATION}


# ---------------------------------------------------------------- locks


def locked_samples(plan: Plan) -> dict[tuple[str, str], str]:
    """Return one locked cell of each kind on each sheet, and what somebody types there."""
    found: dict[tuple[str, str], tuple[str, str]] = {}
    for cell in plan.cells:
        if not cell.is_input:
            found.setdefault((cell.sheet, cell.role), (cell.sheet, cell.address))
    return dict.fromkeys(found.values(), "0.12345")


@pytest.mark.parametrize("how", ["line", "keys"])
def test_a_locked_cell_takes_nothing(program, tmp_path, how):
    preset, family, _ = TRIPS[0]
    plan = plan_of(preset, family)
    samples = locked_samples(plan)
    open_cells = {(cell.sheet, cell.address): "0.12345" for cell in plan.cells
                  if cell.name in ("piston_reading_1", "bore_reading_1_top_thrust")}
    (tmp_path / "issued.xlsx").write_bytes(issued(preset, family))
    job = Job(workbook=tmp_path / "issued.xlsx", entries=samples | open_cells, how=how,
              window=True, saves={"xlsx": tmp_path / "typed.xlsx"})
    [outcome] = program.run(job)
    assert len(samples) > 100
    assert outcome.refused == list(samples)
    assert not of_gates(check_workbook(tmp_path / "typed.xlsx"), "CELL")


# ---------------------------------------------------------------- print


def printed(path: Path) -> str:
    """Return the text of a printed file, laid out as on its pages."""
    command = ["pdftotext", "-layout", str(path), "-"]
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout


def test_a_filled_workbook_prints_every_sheet_and_every_number(trip):
    text = printed(trip.folder / "typed.pdf")
    for sheet in trip.plan.sheets:
        assert sheet.template.title in text
    assert BIRTH_SHEET not in text
    narrow = [line.strip() for line in text.splitlines() if "###" in line]
    assert narrow == [], "columns too narrow for their numbers"
    assert not [line for line in text.splitlines() if "Err:" in line or "#VALUE!" in line]
