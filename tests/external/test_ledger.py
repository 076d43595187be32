"""The ledger that ships is that of the tests as they are, and it can fail."""

import subprocess
import sys

import pytest

from sheetgen.catalogue import Catalogue, Entry, load_catalogue
from tests.external.ledger import PAGE, ROOT, differences, faults_of, make_ledger, read_mark, word_results
from tests.external.nudging import Watch
from validators.ledger import as_lines, as_markdown, read_ledger
from validators.reference.pistons import piston_clearance
from validators.reference.volumes import swept_volume

CATALOGUE = load_catalogue()


def test_the_ledger_is_complete_and_up_to_date():
    """Every marked test is run again with every function that it calls put off."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.external.ledger", "--check"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_page_is_that_of_the_ledger():
    assert PAGE.read_text(encoding="utf-8") == as_markdown(read_ledger())


def test_no_result_is_without_a_check_or_a_reason():
    """As it ships: without running anything."""
    assert faults_of(read_ledger()) == []
    results = {key for key, entry in CATALOGUE.entries.items() if entry.kind == "result" and not entry.of}
    assert results <= set(read_ledger()["quantities"])


def test_a_new_result_without_a_check_is_named():
    entry = Entry(key="bolt_stretch", label="Stretch of a bolt", kind="result", measure="length")
    larger = replace_entries(CATALOGUE.entries | {"bolt_stretch": entry})
    faults = [fault for fault in faults_of(make_ledger(larger, {})) if fault.startswith("bolt_stretch ")]
    assert len(faults) == 1
    assert "has no outside check: mark a test in tests/external" in faults[0]


def replace_entries(entries):
    parts = {name: getattr(CATALOGUE, name) for name in Catalogue.__slots__}
    return Catalogue(**(parts | {"entries": entries}))


def test_a_reason_that_is_no_longer_true_is_named():
    ledger = read_ledger()
    ledger["quantities"]["piston_clearance"]["unchecked"] = "nobody knows"
    assert any("piston_clearance is said to be unchecked" in fault for fault in faults_of(ledger))


def test_a_ledger_behind_its_tests_is_named():
    ledger, older = read_ledger(), read_ledger()
    del older["quantities"]["swept_volume"]
    older["quantities"]["piston_clearance"]["checks"] = []
    older["quantities"]["bore_mean"]["checks"][0]["agreement"] *= 100
    assert [text.split()[0] for text in differences(older, ledger)] == [
        "swept_volume",
        "bore_mean",
        "piston_clearance",
    ]


class TestWatch:
    def setup_method(self):
        self.watch = Watch(word_results(CATALOGUE))

    def test_a_test_that_asserts_nothing_checks_nothing(self):
        assert self.watch.agreement("piston_clearance", lambda: piston_clearance(0.0861, 0.086)) is None

    def test_the_agreement_is_measured(self):
        def run():
            assert piston_clearance(0.0861, 0.086) == pytest.approx(1e-4, rel=3e-5)

        assert self.watch.agreement("piston_clearance", run) == pytest.approx(1e-4)

    def test_a_route_that_breaks_down_is_no_check(self):
        def run():
            if piston_clearance(0.0861, 0.086) != pytest.approx(1e-4):
                raise ZeroDivisionError

        assert self.watch.agreement("piston_clearance", run) is None

    def test_functions_are_themselves_again_afterwards(self):
        before = swept_volume.__code__, swept_volume(0.086, 0.086)
        with self.watch.in_place("swept_volume", 0.1) as watch:
            assert swept_volume(0.086, 0.086) == pytest.approx(1.1 * before[1])
        assert watch.called == {"swept_volume"}
        assert (swept_volume.__code__, swept_volume(0.086, 0.086)) == before
        assert not hasattr(swept_volume, "__wrapped__")


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"source": "scipy", "place": "x"}, "does not say covers"),
        ({"source": "A table", "place": "x", "covers": "y", "edition": "2"}, "does not say known"),
        ({"source": "scipy", "place": "x", "covers": "y", "known": "heard"}, "'known' is one of"),
        ({"source": "scipy", "place": "x", "cover": "y"}, "takes only"),
    ],
)
def test_a_mark_that_says_too_little_is_named(said, why):
    with pytest.raises(ValueError, match=why) as raised:
        read_mark("test_here", pytest.mark.outside(**said).mark)
    assert str(raised.value).startswith("test_here")


def test_the_printed_ledger_names_every_result():
    text = as_lines(read_ledger())
    for key in read_ledger()["quantities"]:
        assert f"\n{key}\n" in f"\n{text}"
