"""The office program says what is wrong in one sentence, and never stays behind."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.crosscheck import office
from tests.crosscheck.office import Job, Office, OfficeError, office_program, runs
from tests.crosscheck.workbooks import PRESETS, issued

pytestmark = pytest.mark.office


@pytest.fixture
def workbook(tmp_path: Path) -> Path:
    path = tmp_path / "issued.xlsx"
    path.write_bytes(issued(*PRESETS[0]))
    return path


def test_without_an_office_program_one_sentence_says_what_to_install(
    tmp_path, workbook, monkeypatch
):
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(OfficeError, match=r"^there is no office program 'soffice': install "):
        Office(tmp_path).run(Job(workbook=workbook))


def test_without_the_module_that_speaks_to_it_one_sentence_says_what_to_install(
    tmp_path, workbook, monkeypatch
):
    monkeypatch.setattr(office, "SYSTEM_PYTHON", tmp_path / "python3")
    with pytest.raises(OfficeError, match=r"python3 has no module 'uno': install "):
        Office(tmp_path).run(Job(workbook=workbook))


def test_a_job_that_takes_too_long_stops_the_program_and_the_next_starts_it_again(workbook):
    with office_program() as program:
        program.start()
        first = program.process.pid
        with pytest.raises(OfficeError, match=r"did not answer within 0\.01 s"):
            program.run(Job(workbook=workbook), seconds=0.01)
        assert not runs(first)
        assert program.run(Job(workbook=workbook))[0].questions == ()
        second, folder = program.process.pid, program.folder
    assert not runs(second)
    assert not folder.exists()


def test_a_job_that_cannot_be_done_does_not_stop_the_next(program, workbook, tmp_path):
    with pytest.raises(OfficeError, match=r"missing\.xlsx: "):
        program.run(Job(workbook=tmp_path / "missing.xlsx"), Job(workbook=workbook))
    process = program.process
    assert program.run(Job(workbook=workbook))[0].filter
    assert program.process is process
