"""A report is there whole or not at all, and takes the place of nothing but a report."""

import json
import os
from pathlib import Path

import pytest

from sheetgen.errors import DefinitionError
from validators.findings import BatchReport
from validators.reports import write
from validators.reports.write import WRITERS, is_report, refuse_unfit, write_report

ENDINGS = sorted(WRITERS)


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_report_may_be_replaced(tmp_path, report, ending):
    """The second one stands there alone."""
    path = tmp_path / f"monday{ending}"
    write_report(report("J1"), path)
    first = path.read_bytes()
    write_report(report("J2"), path)
    assert path.read_bytes() != first
    assert is_report(path)
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


@pytest.mark.parametrize("ending", ENDINGS)
@pytest.mark.parametrize("held", [b"", b"somebody's own notes", b"PK\x03\x04", b'{"shape": "other"}'])
def test_nothing_else_is_replaced(tmp_path, report, ending, held):
    """Whatever stands there stays, byte for byte."""
    path = tmp_path / f"notes{ending}"
    path.write_bytes(held)
    with pytest.raises(DefinitionError, match="not overwritten"):
        write_report(report(), path)
    assert path.read_bytes() == held
    assert len(list(tmp_path.iterdir())) == 1


def test_a_returned_workbook_is_never_replaced(tmp_path, sheet):
    """Neither when it was checked under this name, nor when it looks like a report of ours."""
    path = tmp_path / "returned.xlsx"
    write_report(BatchReport(sheets=(sheet(),)), path)
    before = path.read_bytes()
    with pytest.raises(DefinitionError, match="files to check"):
        write_report(BatchReport(sheets=(sheet(file=str(path)),)), path)
    with pytest.raises(DefinitionError, match="files to check"):
        refuse_unfit(tmp_path / "." / "returned.xlsx", [path])
    with pytest.raises(DefinitionError, match="checked next time"):
        refuse_unfit(tmp_path / "report.xlsx", [tmp_path])
    refuse_unfit(tmp_path / "report.html", [tmp_path])
    assert path.read_bytes() == before


def test_a_link_or_a_folder_is_not_followed(tmp_path, report):
    """What a link points to is not written to."""
    target = tmp_path / "original.xlsx"
    target.write_bytes(b"original")
    (tmp_path / "link.json").symlink_to(target)
    (tmp_path / "dangling.html").symlink_to(tmp_path / "nowhere")
    (tmp_path / "folder.csv").mkdir()
    for name in ("link.json", "dangling.html", "folder.csv"):
        with pytest.raises(DefinitionError, match="not overwritten"):
            write_report(report(), tmp_path / name)
    assert target.read_bytes() == b"original"


def test_a_write_that_fails_leaves_the_old_report(tmp_path, report, monkeypatch):
    """A full disk or a lost drive leaves no half report and no other file."""
    path = tmp_path / "monday.json"
    write_report(report("J1"), path)

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(write.os, "replace", full)
    with pytest.raises(DefinitionError, match="No space left"):
        write_report(report("J2"), path)
    assert json.loads(path.read_text())["sheets"][0]["job"] == "J1"
    assert os.listdir(tmp_path) == ["monday.json"]


def test_a_fault_while_it_is_made_leaves_nothing(tmp_path, report, monkeypatch):
    """The file is begun only when all of it is there."""
    def broken(*_):
        raise RuntimeError

    monkeypatch.setitem(WRITERS, ".csv", broken)
    with pytest.raises(RuntimeError):
        write_report(report(), tmp_path / "monday.csv")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["report.pdf", "report", "no folder/report.json"])
def test_where_no_report_can_be(tmp_path, report, name):
    """A sentence, not a traceback."""
    with pytest.raises(DefinitionError):
        write_report(report(), tmp_path / name)


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_file_name_with_half_a_character_stops_no_report(tmp_path, sheet, ending):
    """Names from another system may hold bytes that are no text."""
    path = tmp_path / f"monday{ending}"
    write_report(BatchReport(sheets=(sheet(file="caf\udce9.xlsx"),)), path)
    assert is_report(path)
    assert Path(path).stat().st_size > 100
