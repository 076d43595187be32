"""A faultless workbook that another program opened and saved has no findings: spelling is no change.

That goes for a copy saved as an .ods document, too, and faults in it are told as they would be in the
.xlsx workbook.
"""

from __future__ import annotations

import io
import shutil
import subprocess
import zipfile
from pathlib import Path

import pytest

from sheetgen.workbook import workbook_bytes
from tests.returned.edits import type_over
from tests.returned.workbooks import engine
from validators.demo import COPIES, demo_plan, returned_copy
from validators.findings import SheetReport
from validators.sheet import check_workbook

PROGRAM = shutil.which("soffice")
SECONDS = 120
FORMATS = {"xlsx": "xlsx:Calc MS Excel 2007 XML", "ods": "ods"}

pytestmark = [
    pytest.mark.office,
    pytest.mark.skipif(PROGRAM is None, reason="LibreOffice is not installed"),
]


@pytest.fixture(scope="module")
def saved(tmp_path_factory) -> Path:
    """A folder of workbooks as the office program saves them, in both formats."""
    folder = tmp_path_factory.mktemp("office")
    faulty = engine("three")
    plan = demo_plan()
    issued = workbook_bytes(plan)
    books = {
        "three": engine("three").filled,
        "twin": engine("twin").filled,
        "issued": engine("three").issued,
        "typed_over": type_over(faulty.filled, faulty.plan, "piston_clearance_2", 0.05),
        **{f"demo_{number}": returned_copy(issued, plan, copy) for number, copy in enumerate(COPIES)},
    }
    paths = []
    for name, data in books.items():
        paths.append(folder / f"{name}.xlsx")
        paths[-1].write_bytes(data)
    profile = f"-env:UserInstallation=file://{folder}/profile"
    for kind in FORMATS.values():
        subprocess.run(
            [PROGRAM, profile, "--headless", "--convert-to", kind, "--outdir", str(folder / "saved"),
             *map(str, paths)],
            check=True, capture_output=True, timeout=SECONDS,
        )
    return folder


def told(report: SheetReport) -> list[tuple[object, ...]]:
    """Return findings without the name of the file."""
    return [
        (f.code, f.severity, f.quantity, f.place.sheet, f.place.cell, f.found, f.expected, f.todo, f.holds_up)
        for f in report.findings
    ]


@pytest.mark.parametrize("kind", FORMATS)
@pytest.mark.parametrize("name", ["three", "twin"])
def test_a_faultless_workbook_saved_by_another_program_has_no_findings(saved, name, kind):
    """Formulas, names, locks, rules, dates and the birth record come through, however they are written."""
    report = check_workbook(saved / "saved" / f"{name}.{kind}")
    assert report.findings == ()
    assert "LibreOffice" in report.saved_by


@pytest.mark.parametrize("kind", FORMATS)
def test_a_fault_is_found_in_what_another_program_saved(saved, kind):
    """A formula that was typed over is told, and nothing else with it."""
    report = check_workbook(saved / "saved" / f"typed_over.{kind}")
    assert [(f.code, f.quantity) for f in report.findings] == [("CELL03", "piston_clearance_2")]


@pytest.mark.parametrize("name", ["issued", "demo_0", "demo_1", "demo_2"])
def test_a_document_has_the_findings_of_the_workbook_it_was_saved_from(saved, name):
    """Word for word, with the same results; a blank workbook and the demo's clean and faulty copies."""
    workbook = check_workbook(saved / f"{name}.xlsx")
    document = check_workbook(saved / "saved" / f"{name}.ods")
    assert told(document) == told(workbook)
    assert document.results == workbook.results
    for what in ("job", "layout", "family"):
        assert getattr(document, what) == getattr(workbook, what)


CHANGES = {
    "formula": (b"of:=IF(stage_missing_bores=&quot;&quot;;", b"of:=IF(stage_missing_bores=&quot;0&quot;;",
                "CELL02"),
    "protection": (b'table:name="Bores" table:style-name="ta5" table:protected="true"',
                   b'table:name="Bores" table:style-name="ta5"', "CELL06"),
    "label": (b"<text:p>Torque plate", b"<text:p>Torque-plate", "CELL08"),
    "name": (b'<table:named-range table:name="assembly_state"', b'<table:named-range table:name="assembly_x"',
             "CELL05"),
}


@pytest.mark.parametrize("change", CHANGES)
def test_what_was_changed_in_a_document_is_found(saved, tmp_path, change):
    """A formula, a lock, a label and a name, each changed in the saved document."""
    before, after, code = CHANGES[change]
    out = io.BytesIO()
    with (
        zipfile.ZipFile(saved / "saved" / "three.ods") as archive,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as copy,
    ):
        for entry in archive.infolist():
            data = archive.read(entry)
            if entry.filename == "content.xml":
                assert before in data
                data = data.replace(before, after)
            copy.writestr(entry, data)
    path = tmp_path / "changed.ods"
    path.write_bytes(out.getvalue())
    assert {finding.code for finding in check_workbook(path).findings} == {code}
