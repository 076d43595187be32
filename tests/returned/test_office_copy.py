"""A faultless workbook that another program opened and saved has no findings: spelling is no change."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from tests.returned.edits import type_over
from tests.returned.workbooks import engine
from validators.sheet import check_workbook

PROGRAM = shutil.which("soffice")
SECONDS = 120


@pytest.fixture(scope="module")
def saved(tmp_path_factory) -> Path:
    """A folder of workbooks as the office program saves them."""
    folder = tmp_path_factory.mktemp("office")
    faulty = engine("three")
    books = {
        "three": engine("three").filled,
        "twin": engine("twin").filled,
        "typed_over": type_over(faulty.filled, faulty.plan, "piston_clearance_2", 0.05),
    }
    paths = []
    for name, data in books.items():
        paths.append(folder / f"{name}.xlsx")
        paths[-1].write_bytes(data)
    profile = f"-env:UserInstallation=file://{folder}/profile"
    command = [PROGRAM, profile, "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML"]
    subprocess.run(
        [*command, "--outdir", str(folder / "saved"), *map(str, paths)],
        check=True, capture_output=True, timeout=SECONDS,
    )
    return folder / "saved"


@pytest.mark.office
@pytest.mark.skipif(PROGRAM is None, reason="LibreOffice is not installed")
@pytest.mark.parametrize("name", ["three", "twin"])
def test_a_faultless_workbook_saved_by_another_program_has_no_findings(saved, name):
    """Formulas, names, locks, rules, dates and the birth record come through, however they are written."""
    report = check_workbook(saved / f"{name}.xlsx")
    assert report.findings == ()
    assert "LibreOffice" in report.saved_by


@pytest.mark.office
@pytest.mark.skipif(PROGRAM is None, reason="LibreOffice is not installed")
def test_a_fault_is_found_in_what_another_program_saved(saved):
    """A formula that was typed over is told, and nothing else with it."""
    report = check_workbook(saved / "typed_over.xlsx")
    assert [(f.code, f.quantity) for f in report.findings] == [("CELL03", "piston_clearance_2")]
