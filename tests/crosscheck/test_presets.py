"""The office program computes whole workbooks, and the reference core must give the same.

The workbooks carry no stored values, so every figure is the program's own.  A result in a file has
15 digits; that is far inside the one tolerance of `agrees`, so no other is needed.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from sheetgen.fill import fill_workbook
from sheetgen.plan import Plan
from sheetgen.workbook import bare_workbook
from tests.crosscheck.office import Job, Outcome
from tests.crosscheck.workbooks import (
    ALTERNATING,
    PRESETS,
    UNSETTLED,
    as_sent,
    natural_seed,
    plan_of,
    recomputer_of,
    shown_again,
)
from validators.agree import agrees
from validators.random_builds import random_entries
from validators.recompute import Entries, Shown
from validators.returned import open_returned

pytestmark = pytest.mark.office


def computed(program, folder: Path, plan: Plan, entries: Entries) -> tuple[Outcome, Path]:
    """Let the office program compute a workbook that holds entries and not one stored value."""
    bare = bare_workbook(plan)
    workbook, saved = folder / "bare.xlsx", folder / "saved.xlsx"
    workbook.write_bytes(fill_workbook(bare, plan, entries, recalculate=False))
    held = open_returned(workbook)
    formulas = [cell for sheet in held.sheets for cell in sheet.cells.values() if cell.formula]
    assert formulas
    assert all(cell.kind == "blank" for cell in formulas)
    [outcome] = program.run(Job(workbook=workbook, saves={"xlsx": saved}))
    return outcome, saved


def differences(
    outcome: Outcome, saved: Path, plan: Plan, entries: Entries, reference: dict[str, list[Shown]]
) -> list[str]:
    """Return every figure, on the screen or in the saved file, that is not the reference core's."""
    returned = open_returned(saved)
    expected: dict[str, Shown] = {name: values[0] for name, values in reference.items()}
    wanted = {plan.by_name[name]: value for name, value in expected.items()}
    for cell, name in shown_again(plan).items():
        source = plan.by_name[name]
        typed = entries.get(name) if source.is_input else source.value
        wanted[cell] = expected.get(name, typed)
        if cell.role == "job" and wanted[cell] in (None, ""):
            wanted[cell] = "not given"
    found = []
    for cell, value in wanted.items():
        on_screen = outcome.at(cell.sheet, cell.row, cell.column)
        sheet = returned.sheet(cell.sheet)
        assert sheet is not None
        in_file = sheet.cell(cell.address)
        if not agrees(on_screen, value) or not agrees(in_file.value, value) or in_file.raw:
            told = f"{on_screen!r} on the screen, {in_file.value!r} in the file"
            found.append(f"{cell.sheet}!{cell.address} {cell.name}: {told}, {value!r} by the core")
    return found


def must_agree(program, folder: Path, preset: str, family: str, entries: Entries | None) -> None:
    """Compare the office program with the reference core over one workbook."""
    recomputer = recomputer_of(preset, family)
    plan = recomputer.plan
    typed = as_sent(plan) if entries is None else entries
    outcome, saved = computed(program, folder, plan, {} if entries is None else entries)
    assert outcome.errors == ()
    reference = recomputer.reference([typed])
    assert differences(outcome, saved, plan, typed, reference) == []


@pytest.mark.parametrize(("preset", "family"), PRESETS)
def test_every_result_of_a_full_build_is_the_reference_cores(program, tmp_path, preset, family):
    entries = random_entries(
        plan_of(preset, family), natural_seed(PRESETS.index((preset, family)))
    )
    must_agree(program, tmp_path, preset, family, entries)


@pytest.mark.parametrize(("preset", "family"), ALTERNATING[-2:])
def test_every_result_of_an_unfilled_workbook_is_the_reference_cores(
    program, tmp_path, preset, family
):
    must_agree(program, tmp_path, preset, family, None)


@pytest.mark.parametrize("seed", UNSETTLED)
def test_blanks_edges_and_slips_are_taken_as_the_reference_core_takes_them(
    program, tmp_path, seed
):
    preset, family = PRESETS[seed]
    entries = random_entries(plan_of(preset, family), seed)
    must_agree(program, tmp_path, preset, family, entries)


def test_a_difference_of_one_part_in_a_hundred_million_is_noticed(program, tmp_path):
    """The comparison can fail: the same workbook against a core that was given another bore."""
    recomputer = recomputer_of(*PRESETS[0])
    plan = recomputer.plan
    entries = random_entries(plan, natural_seed(0))
    outcome, saved = computed(program, tmp_path, plan, entries)
    other = entries | {"stroke_nominal": float(entries["stroke_nominal"]) * (1 + 1e-8)}
    found = differences(outcome, saved, plan, other, recomputer.reference([other]))
    assert any("swept_volume_nominal" in line for line in found)
    assert not any(" bore_mean_" in line for line in found)
