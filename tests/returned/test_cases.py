"""Every folder here is one way in which a workbook comes back: is all of it found, and nothing more?

`change.py` says what happened to the filled, faultless workbook of an invented engine: `entries` are
typed into it, and it recalculates; `change` does anything else to its bytes.  `engine` picks the engine,
`without` leaves out some of what is given, `start` takes the "issued" workbook in place of the filled one.
`issued` makes the file that was sent out from the one that was written, and `key` is the shop's: then the
returned one is compared with them.  `pile` makes a whole pile of it: names of files to their bytes; then
`file` says where a finding is, and `pile` lists what the sheets in it may have.

`expected.toml` lists every finding by the names of cells, so that a cell may move in a template: `name` is
the finding's own, `first` the first cell of a quantity, `shows` what a cell of a `sheet` shows again, `at`
the
cell where it stands now; `down` and `column` go on from there.  A place that is none of ours is told by
`sheet` and `cell`.
"""

from __future__ import annotations

import importlib.util
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from sheetgen.fill import fill_workbook
from sheetgen.seal import ShopKey
from tests.returned.workbooks import Engine, engine
from validators.batch import check_files
from validators.checks.registry import all_checks
from validators.dependence import names_in
from validators.findings import Finding, SheetReport
from validators.issued import Issued, read_issued
from validators.sheet import check_workbook

HERE = Path(__file__).parent
FOLDERS = sorted(path.parent for path in HERE.glob("*/expected.toml"))
SHOWN_BY_BREAKING_US = {"CALC03", "TOOL01"}
"""Faults of this program, which no returned workbook can have."""

PLACE = {"file", "name", "first", "shows", "at", "down", "column", "sheet", "cell"}
KEYS = PLACE | {"code", "severity", "found", "expected", "todo", "holds_up"}


def read_change(folder: Path) -> ModuleType:
    """Return the module that says what happened to the workbook."""
    spec = importlib.util.spec_from_file_location(f"change_{folder.name}", folder / "change.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def returned_bytes(folder: Path) -> tuple[bytes, Engine]:
    """Return the workbook as it comes back in one case."""
    module = read_change(folder)
    base = engine(getattr(module, "engine", "three"), tuple(getattr(module, "without", ())))
    data = getattr(base, getattr(module, "start", "filled"))
    entries = getattr(module, "entries", {})
    if entries:
        data = fill_workbook(data, base.plan, entries)
    if hasattr(module, "change"):
        data = module.change(data, base.plan)
    return data, base


@cache
def expectation(folder: Path) -> Mapping[str, Any]:
    """Return what a case expects."""
    return tomllib.loads((folder / "expected.toml").read_text("utf-8"))


def told(findings: Sequence[Finding]) -> str:
    """Return findings as they would be listed in expected.toml, for whoever writes a case."""
    return "\n".join(
        f"{f.code} {f.severity}: {f.place} [{f.quantity}]\n  found {f.found}\n  expected {f.expected}\n"
        f"  todo {f.todo}\n  holds up {', '.join(f.holds_up)}"
        for f in findings
    )


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_every_fault_is_found_and_nothing_more(folder: Path, tmp_path: Path) -> None:
    """The findings of a returned workbook are exactly those its case lists, in the order of the gates."""
    data, base = returned_bytes(folder)
    wanted = expectation(folder)
    if hasattr(read_change(folder), "pile"):
        check_pile(read_change(folder).pile(data, base.plan), wanted, base, tmp_path)
        return
    path = tmp_path / "returned.xlsx"
    path.write_bytes(data)
    report = check_workbook(path, compared_with(folder, base, tmp_path))
    assert [f.code for f in report.findings] == [w["code"] for w in wanted.get("finding", [])], told(
        report.findings
    )
    for finding, want in zip(report.findings, wanted.get("finding", []), strict=True):
        assert set(want) <= KEYS, want
        assert list(differences(finding, want, base)) == [], told([finding])
    assert report.exit_status == wanted["exit_status"], told(report.findings)
    if report.exit_status == 0:
        assert report.results["assembly_state"] == "no measurement holds it"
    check_words(report, wanted)


def compared_with(folder: Path, base: Engine, tmp_path: Path) -> Issued | None:
    """Return what was issued in a case, None where it is not at hand."""
    module = read_change(folder)
    key = ShopKey(bytes.fromhex(module.key)) if hasattr(module, "key") else None
    if not hasattr(module, "issued"):
        return Issued(key=key) if key else None
    path = tmp_path / "sent" / "issued.xlsx"
    path.parent.mkdir()
    path.write_bytes(module.issued(base.issued, base.plan))
    return Issued(read_issued([path]), key)


def check_pile(
    files: Mapping[str, bytes], wanted: Mapping[str, Any], base: Engine, folder: Path
) -> None:
    """Compare what is said of a pile as a whole; its sheets have nothing to act on unless that is said."""
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    report = check_files([folder])
    assert [f.code for f in report.findings] == [w["code"] for w in wanted["finding"]], told(report.findings)
    for finding, want in zip(report.findings, wanted["finding"], strict=True):
        assert set(want) <= KEYS, want
        assert finding.place.file == f"{folder.as_posix()}/{want['file']}"
        assert list(differences(finding, want, base)) == [], told([finding])
    assert report.exit_status == wanted["exit_status"]
    assert [len(sheet.findings) for sheet in report.sheets] == wanted["sheets"]


def differences(finding: Finding, want: Mapping[str, Any], base: Engine) -> Iterator[str]:
    """Yield how a finding differs from what a case expects of it."""
    place = wanted_place(want, base)
    if (finding.place.sheet, finding.place.cell) != place:
        yield f"place {finding.place}, not {place}"
    if finding.quantity != want.get("name", ""):
        yield f"name {finding.quantity!r}, not {want.get('name')!r}"
    if finding.severity != want["severity"]:
        yield f"severity {finding.severity}, not {want['severity']}"
    for part in ("found", "expected", "todo"):
        if want.get(part, "") not in getattr(finding, part):
            yield f"{part} {getattr(finding, part)!r} does not say {want[part]!r}"
    if "holds_up" in want and list(finding.holds_up) != want["holds_up"]:
        yield f"holds up {finding.holds_up}, not {want['holds_up']}"


def wanted_place(want: Mapping[str, Any], base: Engine) -> tuple[str, str]:
    """Return sheet and cell where a case expects a finding."""
    if "shows" in want:
        planned = next(
            cell for cell in base.plan.cells
            if cell.sheet == want["sheet"] and not cell.name and want["shows"] in names_in(cell.formula)
        )
    else:
        name = want.get("at", want.get("first", want.get("name", "")))
        planned = base.plan.by_name.get(name)
    if planned is None:
        return want.get("sheet", ""), want.get("cell", "")
    letters = want.get("column", planned.address.rstrip("0123456789"))
    address = f"{letters}{planned.row + want.get('down', 0)}"
    return want.get("sheet", planned.sheet), want.get("cell", address)


def check_words(report: SheetReport, wanted: Mapping[str, Any]) -> None:
    """Compare the verdicts that a case names; a verdict that is held up is never a pass."""
    words = {verdict.name: verdict.word for verdict in report.verdicts}
    for name, word in wanted.get("verdicts", {}).items():
        assert words[name] == word, name


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_a_case_says_what_is_found_and_to_be_done(folder: Path) -> None:
    """Each expected finding names a piece of what was found, or of what to do."""
    for want in expectation(folder).get("finding", []):
        assert want.get("found") or want.get("todo"), want


def test_every_code_has_a_case() -> None:
    """No finding is left without a returned workbook that has the fault."""
    shown = {want["code"] for folder in FOLDERS for want in expectation(folder).get("finding", [])}
    assert {check.CODE for check in all_checks()} - shown == SHOWN_BY_BREAKING_US


def test_a_folder_is_named_by_its_code() -> None:
    """A case is named by the code it is about, and that code is among its findings."""
    for folder in FOLDERS:
        code = folder.name.split("_")[0]
        codes = {want["code"] for want in expectation(folder).get("finding", [])}
        assert code in codes or code == "CLEAN", folder.name
