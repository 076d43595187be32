"""Somebody types with a comma where others type a point.

The file always holds the number; the harm is done at typing.  By keys the entry rule of the cell
stops what cannot be; handed over whole, as when a value is pasted, it does not, and then the check
has to say so.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from sheetgen.fill import fill_workbook
from sheetgen.workbook import bare_workbook
from tests.crosscheck.office import ENGLISH, GERMAN, Cell, Job, Office, Outcome
from tests.crosscheck.workbooks import issued, natural_seed, plan_of, recomputer_of
from validators.agree import agrees
from validators.findings import Finding, SheetReport
from validators.random_builds import random_entries
from validators.sheet import check_workbook

pytestmark = pytest.mark.office

WORKBOOK = ("inline-4", "millimetre")
GIVEN = {"nominal_size_bore": 86.0, "entry_form_bore": "size"}
"""What makes a slipped bore reading one that can be told."""

OWN, OTHER, WITH_UNIT, NO_THOUSANDS = (f"bore_reading_{n}_top_thrust" for n in range(1, 5))
DATE = "job_date"
TYPED = {
    ENGLISH: {
        OWN: "86.012", OTHER: "86,012", WITH_UNIT: "86.012 mm", NO_THOUSANDS: "86,5",
        DATE: "4/17/2031",
    },
    GERMAN: {
        OWN: "86,012", OTHER: "86.012", WITH_UNIT: "86,012 mm", NO_THOUSANDS: "86.5",
        DATE: "17.4.2031",
    },
}
"""One text for each cell; in each locale the point and the comma change their parts."""


@dataclass(frozen=True)
class Sitting:
    """What a person typed, what stands in the cells then, and what the check says of it."""

    texts: dict[str, str]
    outcome: Outcome
    report: SheetReport

    def cell(self, name: str) -> Cell:
        """Return what stands in a named cell."""
        place = plan_of(*WORKBOOK).by_name[name]
        return next(
            cell for cell in self.outcome.typed
            if (cell.sheet, cell.address) == (place.sheet, place.address)
        )

    def said(self, name: str) -> list[Finding]:
        """Return the findings about a named cell, other than that it is still empty."""
        return [f for f in self.report.findings if f.quantity == name and f.code != "READ01"]


def sitting(program: Office, folder, locale: str, how: str) -> Sitting:
    """Let a person of a locale type the texts, one way or the other."""
    plan, texts = plan_of(*WORKBOOK), TYPED[locale]
    path, saved = folder / "issued.xlsx", folder / "typed.xlsx"
    path.write_bytes(fill_workbook(issued(*WORKBOOK), plan, GIVEN))
    places = {name: (plan.by_name[name].sheet, plan.by_name[name].address) for name in texts}
    entries = {places[name]: text for name, text in texts.items()}
    job = Job(workbook=path, entries=entries, how=how, locale=locale, saves={"xlsx": saved})
    [outcome] = program.run(job)
    return Sitting(texts, outcome, check_workbook(saved))


@pytest.fixture(scope="module", params=[ENGLISH, GERMAN])
def by_keys(request, program, tmp_path_factory) -> Sitting:
    return sitting(program, tmp_path_factory.mktemp("keys"), request.param, "keys")


@pytest.fixture(scope="module", params=[ENGLISH, GERMAN])
def by_line(request, program, tmp_path_factory) -> Sitting:
    return sitting(program, tmp_path_factory.mktemp("line"), request.param, "line")


def test_ones_own_decimal_sign_arrives_as_the_number(by_keys):
    cell = by_keys.cell(OWN)
    assert (cell.taken, cell.value, cell.shown.strip()) == (True, 86.012, by_keys.texts[OWN])
    assert by_keys.said(OWN) == []


@pytest.mark.parametrize("name", [OTHER, WITH_UNIT, NO_THOUSANDS])
def test_what_cannot_be_right_is_stopped_by_the_entry_rule(by_keys, name):
    cell = by_keys.cell(name)
    assert (cell.taken, cell.value) == (False, None)
    assert by_keys.said(name) == []


def test_a_date_arrives_as_the_date_however_it_is_written(by_keys):
    assert by_keys.cell(DATE).shown.strip() == "2031-04-17"
    assert by_keys.said(DATE) == []


def test_past_the_entry_rule_ones_own_decimal_sign_is_the_number_too(by_line):
    assert by_line.cell(OWN).value == 86.012
    assert by_line.said(OWN) == []


def test_past_the_entry_rule_the_other_decimal_sign_is_read_as_thousands_and_said(by_line):
    assert by_line.cell(OTHER).value == 86012.0
    [finding] = by_line.said(OTHER)
    assert finding.code == "READ05"
    assert "read as thousands" in finding.found
    assert "86.012 mm" in finding.found


@pytest.mark.parametrize(("name", "number"), [(WITH_UNIT, "86.012"), (NO_THOUSANDS, "86.5")])
def test_past_the_entry_rule_text_is_said_with_the_number_it_probably_is(by_line, name, number):
    text = by_line.texts[name]
    assert by_line.cell(name).value == text
    [finding] = by_line.said(name)
    assert finding.code == "READ02"
    assert text in finding.found
    assert f"probably {number} mm" in finding.found


def test_a_slip_of_the_decimal_sign_is_no_finding_about_cells_or_stored_values(by_line):
    assert not [f for f in by_line.report.findings if f.code.startswith(("CELL", "CALC"))]


def test_a_program_with_a_decimal_comma_computes_the_same(program, tmp_path):
    recomputer = recomputer_of(*WORKBOOK)
    plan = recomputer.plan
    entries = random_entries(plan, natural_seed(3))
    path = tmp_path / "bare.xlsx"
    bare = bare_workbook(plan)
    path.write_bytes(fill_workbook(bare, plan, entries, recalculate=False))
    [outcome] = program.run(Job(workbook=path, locale=GERMAN))
    for name, values in recomputer.reference([entries]).items():
        cell = plan.by_name[name]
        assert agrees(outcome.at(cell.sheet, cell.row, cell.column), values[0]), name
