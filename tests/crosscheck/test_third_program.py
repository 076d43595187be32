"""Filled workbooks through a spreadsheet program of another family, Gnumeric: it computes what was stored."""

import io
import subprocess

import openpyxl
import pytest

from sheetgen.build import new_build
from sheetgen.pictures.every import BOOKS, ENGINES, book
from sheetgen.plan import plan_workbook
from validators.agree import agrees

pytestmark = [pytest.mark.office, pytest.mark.filterwarnings("ignore:Workbook contains no default style")]
FILLED = ["flat-4_filled"]


@pytest.mark.parametrize("name", FILLED)
def test_another_program_computes_the_same(name, tmp_path):
    """Every formula of a filled workbook, and every rule, lock and chart is still there when it is saved."""
    data = book(name)
    before, after = tmp_path / "before.xlsx", tmp_path / "after.xlsx"
    before.write_bytes(data)
    subprocess.run(["ssconvert", "--recalc", str(before), str(after)], check=True, capture_output=True)
    then = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
    now = openpyxl.load_workbook(after, data_only=True)
    plan = plan_workbook(new_build(*ENGINES[BOOKS[name][0]]))
    cells = [cell for cell in plan.cells if cell.formula]
    assert len(cells) > 2000
    apart = []
    for cell in cells:
        stored, computed = (one[cell.sheet][cell.address].value for one in (then, now))
        numbers = isinstance(stored, int | float) and isinstance(computed, int | float)
        same = agrees(stored, computed) if numbers else (stored or "") == (computed or "")
        if not same:
            apart.append((cell.name, stored, computed))
    assert not apart
    for sheet in then.worksheets:
        saved = now[sheet.title]
        assert saved.protection.sheet == sheet.protection.sheet
        assert len(saved.data_validations.dataValidation) == len(sheet.data_validations.dataValidation)
        assert len(saved._charts) == len(sheet._charts)
        unlocked = [cell.coordinate for row in sheet for cell in row if not cell.protection.locked]
        assert all(not saved[place].protection.locked for place in unlocked)
