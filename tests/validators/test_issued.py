"""What was issued: the shop's key, a workbook made ready to be sent, and returned files compared with it."""

import json
import pickle
import stat
from datetime import date

import pytest
from typer.testing import CliRunner

from sheetgen.errors import DefinitionError
from sheetgen.fill import fill_workbook
from sheetgen.seal import read_key, write_key
from sheetgen.workbook import workbook_bytes
from tests.returned.workbooks import engine, fill_three, with_wider_limit
from validators.cli import app
from validators.issued import Issued, IssuedFile, read_issued
from validators.issuing import issue
from validators.merge.merging import merge
from validators.sealed import keyed_digest
from validators.sheet import check_workbook, read_sheet

RUN = CliRunner()
LIMIT = "piston_clearance_upper"
WRITTEN = {"job_date": "2031-04-01", "piston_clearance_origin": "builder"}


@pytest.fixture
def key(tmp_path):
    path = tmp_path / "shop.key"
    return write_key(path), path


def test_a_key_is_written_for_its_owner_only_and_never_over_another(key):
    """64 hexadecimal digits, mode 600; two keys differ."""
    shop, path = key
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert read_key(path).mark == shop.mark
    with pytest.raises(DefinitionError, match="not overwritten"):
        write_key(path)
    assert write_key(path.with_name("other.key")).mark != shop.mark


@pytest.mark.parametrize("text", ["", "secret", "00" * 31, "zz" * 32, "00" * 32 + "\n" + "00" * 32])
def test_what_is_no_key_is_refused_without_saying_what_it_is(tmp_path, text):
    """The sentence tells what a key looks like and not what stood there."""
    path = tmp_path / "a.key"
    path.write_text(text)
    with pytest.raises(DefinitionError) as caught:
        read_key(path)
    assert "hexadecimal" in str(caught.value)
    assert not text or text not in str(caught.value)


def test_the_key_shows_nowhere(key):
    """Neither what a key is called nor how it prints gives it away; it can be sent to a worker process."""
    shop, path = key
    secret = path.read_text().strip()
    plan = engine("three").plan
    told = repr(shop) + repr(Issued(key=shop)) + shop.mark + shop.digest(plan)
    assert secret not in told
    assert repr(bytes.fromhex(secret))[2:-1] not in told
    assert pickle.loads(pickle.dumps(shop)).digest(plan) == shop.digest(plan)


def test_a_keyed_digest_fits_one_plan_and_one_key(key):
    """Another limit or another key gives another digest."""
    shop, path = key
    plan = engine("three").plan
    assert shop.fits(plan, shop.digest(plan).upper() + " ")
    assert not shop.fits(with_wider_limit(plan), shop.digest(plan))
    assert not write_key(path.with_name("b.key")).fits(plan, shop.digest(plan))
    assert not shop.fits(plan, "")
    assert not shop.fits(plan, "é")


def test_without_a_key_nothing_of_it_is_in_the_workbook(key, tmp_path):
    """The rows are there with a key and not without."""
    plan = engine("three").plan
    for name, given in (("plain", None), ("sealed", key[0])):
        path = tmp_path / f"{name}.xlsx"
        path.write_bytes(workbook_bytes(plan, stored_values=False, key=given))
        held = {str(cell.value) for cell in read_sheet(path).returned.sheet("Birth record").cells.values()}
        assert (key[0].digest(plan) in held) is (given is not None)
        assert key[1].read_text().strip() not in held


def test_what_is_typed_before_a_workbook_is_issued_becomes_what_it_was_written_with(tmp_path, key):
    """Limits, dates, words and marks go into the birth record; readings stay entries; all is as issued."""
    base = engine("three")
    typed = {
        LIMIT: 0.095, "job_number": "J-7", "engine_name": None, "rod_clearance_target": 0.05,
        "piston_reading_1": 85.93, "job_date": date(2031, 4, 1), "piston_clearance_origin": "BUILDER",
    }
    typed = {name: value for name, value in typed.items() if name in base.plan.by_name}
    source, out = tmp_path / "typed.xlsx", tmp_path / "issued.xlsx"
    source.write_bytes(fill_workbook(base.issued, base.plan, typed))
    plan = issue(source, out, key=key[0])
    assert plan.digest != base.plan.digest
    for name, value in typed.items():
        if plan.catalogue.entries[plan.by_name[name].key].kind == "given":
            assert plan.by_name[name].value == WRITTEN.get(name, value), name
    again = read_sheet(out, Issued(read_issued([out]), key[0]))
    assert again.plan.digest == plan.digest
    assert {name: again.values[name] for name in typed.keys() - WRITTEN} == {
        name: value for name, value in typed.items() if name not in WRITTEN
    }
    codes = {finding.code for finding in check_workbook(out, again.issued).findings}
    assert not codes & {"CELL09", "CELL12", "CELL13"}


def test_a_filled_workbook_keeps_its_readings_when_it_is_issued_again(tmp_path):
    """Nothing that was typed is lost on the way."""
    base = engine("three")
    source, out = tmp_path / "filled.xlsx", tmp_path / "issued.xlsx"
    source.write_bytes(base.filled)
    issue(source, out)
    before, after = read_sheet(source), read_sheet(out)
    assert before.values == after.values
    assert check_workbook(out).exit_status == 0


@pytest.mark.parametrize("typed", [{LIMIT: "0,095"}, {"job_date": "soon"}, {"job_date": 7.0}])
def test_entries_that_cannot_be_used_are_not_issued(tmp_path, typed):
    """A limit that is text is no limit, and a word no date."""
    base = engine("three")
    source, out = tmp_path / "typed.xlsx", tmp_path / "issued.xlsx"
    source.write_bytes(fill_workbook(base.issued, base.plan, typed, recalculate=False))
    with pytest.raises(DefinitionError, match="must be put right first"):
        issue(source, out)
    assert not out.exists()


def test_a_merged_workbook_keeps_the_keyed_digest(tmp_path, key):
    """It is written anew from the same plan, and without the key."""
    base = engine("three")
    sealed = workbook_bytes(base.plan, key=key[0])
    paths = [tmp_path / "a.xlsx", tmp_path / "b.xlsx"]
    paths[0].write_bytes(fill_three(sealed, base.plan))
    paths[1].write_bytes(fill_workbook(sealed, base.plan, {"machinist_name": "somebody"}))
    merge(paths, tmp_path / "together.xlsx", prefer=paths[0])
    assert keyed_digest(read_sheet(tmp_path / "together.xlsx", Issued(key=key[0]))) == "fits"


def test_which_issued_file_a_returned_one_was():
    """By plan; of several with one plan by job number; by job number alone when the plan is another."""
    def sent(place, plan, job, value=1.0):
        return IssuedFile(place, plan, job, {"bore": value})

    a, b, c = sent("a", "p", "J1"), sent("b", "p", "j 2 ", 2.0), sent("c", "q", "J3")
    several = Issued((a, b, c))
    assert several.alike("p", "J1") == (a,)
    assert several.alike("p", " J  2") == (b,)
    assert several.alike("q", "changed by hand") == (c,)
    assert several.alike("other", "j3") == (c,)
    assert several.alike("p", "J9") == (a, b)
    assert several.alike("other", "") == ()
    assert Issued((a, sent("copy of a", "p", "J1"))).alike("p", "J1") == (a,)


def test_check_compares_with_what_was_issued(tmp_path, key):
    """One run over a pile, in worker processes too; the key is in no report; a wrong call exits with 2."""
    base = engine("three")
    sent, back = tmp_path / "sent", tmp_path / "back"
    sent.mkdir()
    back.mkdir()
    (sent / "J-1042.xlsx").write_bytes(workbook_bytes(base.plan, key=key[0]))
    (back / "a.xlsx").write_bytes(fill_three(workbook_bytes(base.plan, key=key[0]), base.plan))
    other = with_wider_limit(base.plan)
    (back / "b.xlsx").write_bytes(fill_three(workbook_bytes(other), other))
    reports = []
    for more in ([], ["--jobs", "2"]):
        call = ["check", str(back), "--issued", str(sent), "--key", str(key[1]), "--json", "--quiet", *more]
        result = RUN.invoke(app, call)
        assert result.exit_code == 1, result.output
        assert key[1].read_text().strip() not in result.output
        reports.append(json.loads(result.stdout)["sheets"])
    assert reports[0] == reports[1]
    first, second = reports[0]
    assert (first["keyed_digest"], second["keyed_digest"]) == ("fits", "none")
    assert first["issued"].endswith("sent/J-1042.xlsx")
    assert {f["code"] for f in second["findings"]} >= {"CELL09", "CELL12", "CELL13"}
    assert not {f["code"] for f in first["findings"]} & {"CELL09", "CELL12", "CELL13"}
    for wrong in (["--issued", str(tmp_path / "none.xlsx")], ["--key", str(sent / "J-1042.xlsx")],
                  ["--issued", str(key[1])]):
        result = RUN.invoke(app, ["check", str(back / "a.xlsx"), *wrong])
        assert result.exit_code == 2
        assert "Traceback" not in result.output


def test_issue_and_key_from_the_command_line(tmp_path):
    """Paths on standard output, what to do next on standard error; nothing is overwritten."""
    shop, source, out = tmp_path / "shop.key", tmp_path / "job.xlsx", tmp_path / "sent.xlsx"
    result = RUN.invoke(app, ["key", str(shop)])
    assert (result.exit_code, result.stdout.strip()) == (0, str(shop))
    assert shop.read_text().strip() not in result.output
    assert RUN.invoke(app, ["key", str(shop)]).exit_code == 2
    assert RUN.invoke(app, ["new", str(source), "--layout", "inline-3", "--key", str(shop)]).exit_code == 0
    result = RUN.invoke(app, ["issue", str(source), "-o", str(out), "--key", str(shop)])
    assert (result.exit_code, result.stdout.strip()) == (0, str(out))
    assert "--issued" in result.stderr
    assert RUN.invoke(app, ["issue", str(source), "-o", str(out)]).exit_code == 2
    data = json.loads(RUN.invoke(app, ["check", str(out), "--key", str(shop), "--json"]).stdout)
    assert data["sheets"][0]["keyed_digest"] == "fits"
