"""The program: exit statuses, sentences instead of tracebacks, data on stdout and talk on stderr."""

import json

import pytest
from typer.testing import CliRunner

from validators.cli import app

RUN = CliRunner()


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo")
    result = RUN.invoke(app, ["demo", str(folder)])
    assert result.exit_code == 0, result.output
    return folder, result.output


def codes(folder, file):
    result = RUN.invoke(app, ["check", str(folder / "returned" / file), "--json"])
    data = json.loads(result.stdout)
    return result.exit_code, {
        f["code"] for f in data["sheets"][0]["findings"] if f["severity"] != "for information"
    }


def test_the_demo_tells_the_three_stories(demo):
    """Clean, out of limits, and faults of the hand, each with what it was planted with."""
    folder, output = demo
    assert codes(folder, "WB-017-clean.xlsx") == (0, set())
    status, found = codes(folder, "WB-017-parts-out.xlsx")
    assert status == 1
    assert found >= {"LIMIT01", "LIMIT05", "LIMIT06"}
    assert not {code for code in found if not code.startswith("LIMIT")}
    status, found = codes(folder, "WB-017-faults.xlsx")
    assert status == 1
    assert found >= {"CELL03", "READ02", "READ04", "READ06", "READ07", "READ14", "READ15"}
    assert "an odd pair" in output
    assert "Replace the bolt: it has stretched for good" in output
    assert "rocks 0.0360 mm above the deck" in output
    assert "103,9195" in output


def test_the_clean_copy_is_held_by_nothing(demo):
    """All that must be measured is within, and every mark is where it belongs."""
    folder, _ = demo
    for file, state in (
        ("WB-017-clean.xlsx", "no measurement holds it"),
        ("WB-017-parts-out.xlsx", "held"),
    ):
        data = json.loads(RUN.invoke(app, ["check", str(folder / "returned" / file), "--json"]).stdout)
        assert data["sheets"][0]["results"]["assembly_state"] == state


def test_the_demo_overwrites_nothing(demo):
    """A second demo in the same folder stops with one sentence."""
    folder, _ = demo
    result = RUN.invoke(app, ["demo", str(folder)])
    assert result.exit_code == 2
    assert "not overwritten" in result.stderr
    assert "Traceback" not in result.output + result.stderr


def test_new_writes_where_it_says_and_check_reads_it(tmp_path):
    """The path is the only thing on stdout."""
    out = tmp_path / "job.xlsx"
    result = RUN.invoke(app, ["new", str(out), "--layout", "V8", "--units", "inch"])
    assert result.exit_code == 0, result.stderr
    assert result.stdout.strip() == str(out)
    assert "boreledger check" in result.stderr
    result = RUN.invoke(app, ["check", str(out)])
    assert result.exit_code == 1
    assert "READ01" in result.stdout
    assert RUN.invoke(app, ["new", str(out), "--layout", "v8"]).exit_code == 2


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["new", "job.xlsx"], "--layout"),
        (["new", "job.xlsx", "--layout", "v9"], "v8"),
        (["new", "job.xlsx", "--layout", "v8", "--units", "cm"], "millimetre"),
        (["new", "job.ods", "--layout", "v8"], ".xlsx"),
        (["new", "job.xlsx", "--build", "none.toml"], "no such file"),
        (["check", "nowhere.xlsx"], "FILE01"),
    ],
)
def test_a_wrong_call_gets_a_sentence_and_status_2(tmp_path, monkeypatch, arguments, words):
    """Never a traceback."""
    monkeypatch.chdir(tmp_path)
    result = RUN.invoke(app, arguments)
    assert result.exit_code == 2
    assert words in result.output + result.stderr
    assert "Traceback" not in result.output + result.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_folder_is_checked_and_a_bad_file_stops_nothing(demo, tmp_path):
    """The worst file sets the status; every file has its report."""
    folder, _ = demo
    (folder / "broken.xlsx").write_bytes(b"PK\x03\x04 no workbook")
    report = tmp_path / "report.json"
    try:
        result = RUN.invoke(app, ["check", str(folder), "--report", str(report)])
    finally:
        (folder / "broken.xlsx").unlink()
    assert result.exit_code == 2
    data = json.loads(report.read_text(encoding="utf-8"))
    assert data["shape"] == "boreledger report"
    assert data["version"] == 1
    assert len(data["sheets"]) == 5
    assert [s["status"] for s in data["sheets"]].count("could not be read") == 1
    assert "5 files" in result.stdout


@pytest.mark.parametrize("ending", [".html", ".xlsx", ".csv"])
def test_a_report_is_written_and_replaced_but_no_other_file(demo, tmp_path, ending):
    """What stands there is looked at before anything is checked."""
    folder, _ = demo
    path, other = tmp_path / f"monday{ending}", tmp_path / f"notes{ending}"
    other.write_bytes(b"mine")
    call = ["check", str(folder / "returned" / "WB-017-faults.xlsx"), "--report"]
    for _ in range(2):
        result = RUN.invoke(app, [*call, str(path)])
        assert result.exit_code == 1, result.output
        assert "READ02" in result.stdout
    result = RUN.invoke(app, [*call, str(other)])
    assert result.exit_code == 2
    assert "not overwritten" in result.stderr
    assert result.stdout == ""
    assert other.read_bytes() == b"mine"
    assert sorted(p.name for p in tmp_path.iterdir()) == [path.name, other.name]


def test_an_original_workbook_is_not_replaced_by_a_report(demo):
    """Neither the checked file nor another in its folder."""
    folder, _ = demo
    original = folder / "returned" / "WB-017-faults.xlsx"
    before = original.read_bytes()
    for report in (original, folder / "WB-017-issued.xlsx", folder / "report.xlsx"):
        result = RUN.invoke(app, ["check", str(folder), str(original), "--report", str(report)])
        assert result.exit_code == 2
        assert result.stdout == ""
    assert original.read_bytes() == before
    assert not (folder / "report.xlsx").exists()


def test_an_empty_folder_is_said(tmp_path):
    """Nothing to check is not a pass."""
    result = RUN.invoke(app, ["check", str(tmp_path)])
    assert result.exit_code == 2
    assert "no workbook" in result.stderr


def test_version_and_help():
    """Each command's help shows an example."""
    assert "template version 1" in RUN.invoke(app, ["--version"]).stdout
    for command in ("new", "check", "compare", "merge", "record", "names", "demo", "prove"):
        assert "Example" in RUN.invoke(app, [command, "--help"]).stdout


def test_the_top_end_is_asked_for(tmp_path):
    """A new workbook is a short block's; one option more brings the sheet for the head."""
    (tmp_path / "build.toml").write_text('[engine]\npreset = "inline-3"\ntop_end = false\n', encoding="utf-8")
    for name, more, sheets in (("short", [], 22), ("whole", ["--top-end"], 23)):
        result = RUN.invoke(app, ["new", str(tmp_path / f"{name}.xlsx"), "--layout", "inline-3", *more])
        assert result.exit_code == 0, result.stderr
        assert f"{sheets} sheets" in result.stderr
    call = ["new", str(tmp_path / "no.xlsx"), "--build", str(tmp_path / "build.toml"), "--top-end"]
    result = RUN.invoke(app, call)
    assert result.exit_code == 2
    assert "top_end = false" in result.stderr
