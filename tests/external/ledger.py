"""The ledger of outside checks: which result is held against what, and how closely.

``python -m tests.external.ledger`` writes it; a test holds it against the tests as they are.
"""

import io
import json
import sys
import tomllib
from contextlib import redirect_stdout
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

import pytest

from sheetgen.catalogue import Catalogue, load_catalogue
from tests.external.nudging import Watch
from validators.ledger import LEDGER, as_markdown

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
PAGE = LEDGER.with_name("LEDGER.md")
KNOWN = {"run", "opened", "memory"}
FIELDS = {"source", "place", "covers", "edition", "known"}
RERUN = "run: python -m tests.external.ledger"


@dataclass(slots=True)
class Marked:
    """One test with its mark, the cases that passed, and what it holds."""

    test: str
    source: str
    place: str
    covers: str
    edition: str
    known: str
    agreement: dict[str, float] = field(default_factory=dict)
    called: set[str] = field(default_factory=set)


def word_results(catalogue: Catalogue) -> frozenset[str]:
    """Names of the results of which a share means nothing."""
    plain = {
        key
        for key, entry in catalogue.entries.items()
        if entry.kind == "result" and (entry.words or entry.text or entry.measure == "count")
    }
    return frozenset(plain | {"verdict", "limit_state"})


def editions() -> dict[str, str]:
    """The requirement of every library that the project names, by its name."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    listed = project["dependencies"] + project["optional-dependencies"]["test"]
    found = {}
    for line in listed:
        name = line.split(">")[0].split("=")[0].strip()
        found[name] = line.removeprefix(name) or "as installed"
    return found | {"Python standard library": project["requires-python"]}


def read_mark(test: str, mark: Any) -> Marked:
    """Read the mark of a test; a fault in it is a sentence that names the test."""
    said = dict(mark.kwargs)
    if mark.args or set(said) - FIELDS:
        raise ValueError(f"{test}: the mark 'outside' takes only {', '.join(sorted(FIELDS))}")
    libraries = editions()
    if said.get("source") in libraries:
        said = {"edition": libraries[said["source"]], "known": "run"} | said
    if missing := [name for name in sorted(FIELDS) if not said.get(name)]:
        raise ValueError(f"{test}: the mark 'outside' does not say {', '.join(missing)}")
    if said["known"] not in KNOWN:
        raise ValueError(f"{test}: 'known' is one of {', '.join(sorted(KNOWN))}")
    return Marked(test, **said)


class Recorder:
    """Runs every marked test again for each function that it calls, with that function put off."""

    def __init__(self) -> None:
        self.watch = Watch(word_results(load_catalogue()))
        self.marked: dict[str, Marked] = {}
        self.faults: list[str] = []

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Only marked tests are of interest here."""
        items[:] = [item for item in items if item.get_closest_marker("outside")]

    @pytest.hookimpl(tryfirst=True)
    def pytest_pyfunc_call(self, pyfuncitem: pytest.Function) -> bool:
        """Run the test as it is, then with one function at a time put off."""
        name = f"{pyfuncitem.path.name}::{pyfuncitem.originalname}"
        mark = pyfuncitem.get_closest_marker("outside")
        record = self.marked.setdefault(name, read_mark(name, mark))
        arguments = {
            argument: pyfuncitem.funcargs[argument] for argument in pyfuncitem._fixtureinfo.argnames
        }

        def run() -> None:
            pyfuncitem.obj(**arguments)

        with self.watch.in_place() as watch:
            run()
        record.called |= watch.called
        for function in sorted(watch.called):
            found = self.watch.agreement(function, run)
            if found is not None:
                best = record.agreement.get(function)
                record.agreement[function] = found if best is None else min(best, found)
        return True

    def pytest_runtest_logreport(self, report: Any) -> None:
        """Keep what failed: a ledger is made of tests that pass."""
        if report.failed:
            self.faults.append(f"{report.nodeid}: {report.longreprtext[-600:]}")


def record_tests(where: Path = HERE) -> dict[str, Marked]:
    """Run the marked tests of the folder, one process, and return what they hold."""
    recorder = Recorder()
    with redirect_stdout(io.StringIO()) as said:
        pytest.main([str(where), "-q", "-p", "no:cacheprovider"], plugins=[recorder])
    if recorder.faults or not recorder.marked:
        raise RuntimeError("\n".join(recorder.faults) or said.getvalue()[-2000:])
    return recorder.marked


def make_ledger(catalogue: Catalogue, marked: dict[str, Marked]) -> dict[str, Any]:
    """Put quantities and tests together, in the order of the catalogue."""
    keys = [key for key, entry in catalogue.entries.items() if entry.kind == "result" and not entry.of]
    quantities: dict[str, Any] = {}
    for key in [*keys, "limit_state", "verdict", "extreme_guard"]:
        holding = [record for record in marked.values() if key in record.agreement]
        # The closest first; among equals the one that calls the fewest functions.
        holding.sort(key=lambda record: (record.agreement[key], len(record.called), record.test))
        row: dict[str, Any] = {}
        if key in catalogue.entries:
            row["label"] = catalogue.entries[key].label
            if catalogue.entries[key].unchecked:
                row["unchecked"] = catalogue.entries[key].unchecked
        row["checks"] = [{"test": record.test, "agreement": record.agreement[key]} for record in holding]
        quantities[key] = row
    tests = {}
    for name, record in sorted(marked.items()):
        said = asdict(record)
        tests[name] = {part: said[part] for part in ("source", "edition", "place", "known", "covers")}
    return {"quantities": quantities, "tests": tests}


def faults_of(ledger: dict[str, Any]) -> list[str]:
    """Every quantity that nothing outside holds, and every mark that holds nothing, in sentences."""
    found = []
    used = set()
    for key, row in ledger["quantities"].items():
        used |= {check["test"] for check in row["checks"]}
        if not row["checks"] and "unchecked" not in row:
            found.append(
                f"{key} has no outside check: mark a test in tests/external with pytest.mark.outside that "
                "fails when this figure is wrong, or say why not with 'unchecked' in quantities.toml"
            )
        if row["checks"] and "unchecked" in row:
            found.append(
                f"{key} is said to be unchecked, but {row['checks'][0]['test']} checks it: "
                "take 'unchecked' out of quantities.toml"
            )
    for test in ledger["tests"]:
        if test not in used:
            found.append(f"{test} is marked 'outside' but fails for no result that is wrong")
    return found


def differences(shipped: dict[str, Any], made: dict[str, Any]) -> list[str]:
    """Say where the file that ships is behind the tests.

    A step of ten in an agreement is let pass: the last bit of a library may decide it.
    """
    found = [] if shipped["tests"] == made["tests"] else ["the marks of the tests have changed"]
    old, new = shipped["quantities"], made["quantities"]
    found += [f"{key} is not in the ledger" for key in new if key not in old]
    found += [f"{key} is no longer a result" for key in old if key not in new]
    for key in [key for key in new if key in old]:
        was, now = ({check["test"]: check["agreement"] for check in row[key]["checks"]} for row in (old, new))
        if was.keys() != now.keys() or old[key].get("unchecked") != new[key].get("unchecked"):
            found.append(f"{key} is checked by other tests than the ledger says")
        elif any(not _near(was[test], now[test]) for test in now):
            found.append(f"{key} is held more or less closely than the ledger says")
    return found


def _near(one: float, other: float) -> bool:
    return one == other or (one > 0 and other > 0 and 0.05 < one / other < 20)


def as_json(ledger: dict[str, Any]) -> str:
    """Make the text of the file that ships."""
    return json.dumps(ledger, indent=1, ensure_ascii=False) + "\n"


def main(arguments: list[str]) -> int:
    """Write the ledger, or with --check compare it; 1 if something is not held or not up to date."""
    ledger = make_ledger(load_catalogue(), record_tests())
    if arguments == ["--check"]:
        behind = differences(json.loads(LEDGER.read_text(encoding="utf-8")), ledger)
        print(*faults_of(ledger), *behind, *([RERUN] if behind else []), sep="\n")
        return 1 if faults_of(ledger) or behind else 0
    LEDGER.write_text(as_json(ledger), encoding="utf-8")
    PAGE.write_text(as_markdown(ledger), encoding="utf-8")
    faults = faults_of(ledger)
    for fault in faults:
        print(fault)
    print(f"{len(ledger['quantities'])} results, {len(ledger['tests'])} tests: {LEDGER}")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
