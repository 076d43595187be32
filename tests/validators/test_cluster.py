"""A cluster checks a pile as this machine does, under the same ceilings."""

from __future__ import annotations

import builtins
import os
import time
import warnings
from dataclasses import replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

from sheetgen.errors import DefinitionError
from sheetgen.fill import fill_workbook
from tests.returned.workbooks import engine
from validators import apart, batch, cluster, kept
from validators.batch import check_files
from validators.ceilings import Ceilings, RunLimits
from validators.cli import app
from validators.cluster import check_in_cluster
from validators.pile import walk
from validators.reports.as_json import as_json

RUN = CliRunner()


@pytest.fixture(scope="module")
def address():
    """Return the address of a cluster with two worker processes on this machine."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import distributed

        with distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, host="127.0.0.1", dashboard_address=None,
            worker_dashboard_address=None,
        ) as local:
            yield local.scheduler_address


@pytest.fixture(scope="module")
def pile(tmp_path_factory) -> Path:
    """Return a folder with files of two jobs, one of them cut short."""
    folder = tmp_path_factory.mktemp("returned")
    base = engine("three")
    for number in range(3):
        entries = {"job_number": f"J-{number // 2}", "bore_reading_2_top_thrust": 86.001 + number / 1000}
        data = fill_workbook(base.filled, base.plan, entries, recalculate=False)
        (folder / f"job-{number}.xlsx").write_bytes(data)
        os.utime(folder / f"job-{number}.xlsx", (1e9 + number, 1e9 + number))
    (folder / "cut.xlsx").write_bytes(base.filled[:5000])
    return folder


@pytest.mark.filterwarnings("ignore")
def test_two_workers_of_a_cluster_say_the_same(pile, address, tmp_path, monkeypatch):
    """Byte for byte, in whatever order they are done; and what they found is kept."""
    monkeypatch.setattr(batch, "CHUNK", 1)
    here = as_json(check_files([pile]))
    report, keep = tmp_path / "there.json", tmp_path / "kept"
    call = ["check", str(pile), "--cluster", address, "--keep", str(keep), "--report", str(report)]
    told = RUN.invoke(app, call)
    assert told.exit_code == 2, told.output  # one file cannot be read
    assert report.read_text("utf-8") == here
    monkeypatch.setattr(batch, "check_together", None)
    assert as_json(check_files([pile], keep=keep)) == here


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize(("ceilings", "told"), [
    (Ceilings(memory_bytes=150_000_000), "more than 150 MB of memory"),
    (Ceilings(seconds=0.01), "longer than 0.01 seconds"),
])
def test_the_ceilings_hold_on_every_machine(pile, address, ceilings, told):
    """A file that goes over one is told, and the machine goes on."""
    path = pile / "job-0.xlsx"
    (sheet,) = check_files([path], cluster=address, limits=RunLimits(ceilings=ceilings)).sheets
    assert [finding.code for finding in sheet.findings] == ["FILE05"], sheet.findings
    assert told in sheet.findings[0].found
    assert as_json(check_files([path], cluster=address)) == as_json(check_files([path]))


@pytest.mark.filterwarnings("ignore")
def test_a_fault_while_the_pile_is_walked_is_told_and_nothing_hangs(pile, address):
    """Whatever thread it comes from."""
    def portions():
        yield list(walk([pile / "cut.xlsx"]))
        raise DefinitionError("somewhere", "no room")

    found = []
    with pytest.raises(DefinitionError, match="no room"):
        check_in_cluster(portions(), address, None, RunLimits(), None, lambda *one: found.append(one))
    assert len(found) == 1


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize(("jobs", "most"), [(1, 2), (None, 8)])
def test_only_so_much_is_held_here(pile, address, jobs, most, monkeypatch):
    """However large the pile, and however slow this machine is beside the cluster."""
    monkeypatch.setattr(cluster, "CHUNK", 1)
    (piece,) = walk([pile / "cut.xlsx"])
    done, under_way = [], []

    def portions():
        for number in range(20):
            under_way.append(number - len(done))
            yield [replace(piece, number=number)]

    def put(one, outcome):
        time.sleep(0.2)
        done.append(one)

    check_in_cluster(portions(), address, jobs, RunLimits(), None, put)
    assert sorted(one.number for one in done) == list(range(20))
    assert max(under_way) <= most


@pytest.mark.filterwarnings("ignore")
def test_a_fault_while_results_are_put_away_ends_the_run(pile, address):
    """Whatever is under way: nothing waits for room that nobody makes."""
    (piece,) = walk([pile / "cut.xlsx"])

    def put(one, outcome):
        raise DefinitionError("somewhere", "no room")

    portions = ([replace(piece, number=number)] for number in range(14))
    with pytest.raises(DefinitionError, match="no room"):
        check_in_cluster(portions, address, 1, RunLimits(), None, put)


def test_another_edition_is_refused(pile):
    """A machine with another program, Python or library checks nothing."""
    refused = apart.check_portion("of another program", [], RunLimits(), None)
    assert isinstance(refused, apart.Refused)
    assert "another edition of this program" in refused.why


def test_a_worker_waits_for_the_next_portion_and_other_settings_end_it(pile):
    """So that it is started once for a run; what came first is said again."""
    pieces = list(walk([pile / "job-0.xlsx"]))
    first = apart.check_portion(kept.edition_digest(), pieces, RunLimits(), None)
    (worker,) = apart._waiting[-1].pool.workers
    assert apart.check_portion(kept.edition_digest(), pieces, RunLimits(), None) == first
    assert apart._waiting[-1].pool.workers == [worker]
    other = RunLimits(ceilings=Ceilings(seconds=59.0))
    assert apart.check_portion(kept.edition_digest(), pieces, other, None) == first
    assert worker.process.poll() is not None
    for waiting in apart._waiting:
        waiting.pool.end()
    apart._waiting.clear()


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("address", ["tcp://127.0.0.1:9", "nonsense", "http://127.0.0.1:9", ""])
def test_a_cluster_that_does_not_answer_is_a_sentence(pile, address, monkeypatch):
    """And no traceback."""
    monkeypatch.setattr("validators.cluster.SECONDS_TO_ANSWER", 1)
    told = RUN.invoke(app, ["check", str(pile), "--cluster", address])
    assert told.exit_code == 2
    assert "no Dask scheduler answers there" in told.stderr
    assert "Traceback" not in told.output


@pytest.mark.parametrize("missing", ["joblib", "distributed"])
def test_without_the_extra_it_is_said_how_to_install_it(pile, monkeypatch, missing):
    """One sentence, before any work."""
    honest = builtins.__import__

    def without(name, *arguments, **words):
        if name.partition(".")[0] == missing:
            raise ImportError(f"No module named '{name}'", name=name)
        return honest(name, *arguments, **words)

    monkeypatch.setattr(builtins, "__import__", without)
    told = RUN.invoke(app, ["check", str(pile), "--cluster", "tcp://127.0.0.1:9"])
    assert told.exit_code == 2
    assert f"pip install joblib distributed ({missing} is missing)" in told.stderr
