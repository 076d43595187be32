"""No error value, no "nan" and no "inf" reaches a person: not in a cell, not in a report."""

import random
import re

import pytest

from sheetgen.build import new_build
from sheetgen.fill import fill_workbook
from sheetgen.plan import plan_workbook
from sheetgen.workbook import workbook_bytes
from validators.batch import check_files
from validators.cell_values import ErrorValue
from validators.edge_builds import proof_builds
from validators.engines.formualizer_engine import FormualizerEngine
from validators.random_builds import MOODS
from validators.random_texts import with_texts
from validators.recompute import Recomputer
from validators.reports.as_csv import as_csv
from validators.reports.as_html import as_html
from validators.reports.as_json import as_json
from validators.reports.as_text import as_text

FAR = (1e6, -1e6, 1e8, -1e8, 1e-9, -1e-9, 0.0)
"""Far outside whatever is believed: what a finger that stays on a key makes of a size."""

UNREADABLE = re.compile(
    r"(?<![A-Za-z])(nan|NaN|inf|Infinity|-inf)(?![A-Za-z])|#(DIV/0|VALUE|NUM|REF|NAME|N/A)"
)


def far_out(plan, build, seed):
    """A build in which some numbers, few or many, are far out."""
    chance = random.Random(seed)
    numbers = [
        cell.name for cell in plan.cells if cell.is_input and plan.catalogue.entries[cell.key].measure
    ]
    chosen = chance.sample(numbers, 4 if seed % 2 else 40)
    return {**build, **{name: chance.choice(FAR) for name in chosen}}


@pytest.fixture(scope="module", params=["millimetre", "inch"])
def core(request):
    return Recomputer(plan_workbook(new_build("inline-3", request.param)))


@pytest.fixture(scope="module")
def builds(core):
    """Builds of every mood: as they are, with texts among the numbers, with numbers far out."""
    plain = proof_builds(core, range(len(MOODS)))
    texts = [with_texts(core.plan, build, 4 * seed + 3) for seed, build in enumerate(plain)]
    return [*plain, *texts, *(far_out(core.plan, build, seed) for seed, build in enumerate(plain))]


def test_no_formula_gives_an_error_value(core, builds):
    found = core.recalculated(builds)
    assert not {name for name, values in found.items() if any(isinstance(v, ErrorValue) for v in values)}


def test_no_error_value_is_stored_in_a_workbook(core, builds):
    engine = FormualizerEngine(core, lambda plan: workbook_bytes(plan, stored_values=False))
    found = engine.values(builds[:: len(MOODS) // 2])
    assert not {name for name, values in found.items() if any(isinstance(v, ErrorValue) for v in values)}
    assert not {name for name, values in found.items() if any(v in ("nan", "inf") for v in values)}


def test_the_core_gives_nothing_that_is_no_number(core, builds):
    """Missing is an empty text; every number is one that can be written down."""
    for name, values in core.reference(builds).items():
        for value in values:
            assert isinstance(value, str) or abs(value) < 1e300, name


@pytest.mark.parametrize("kind", [0, 1, 2], ids=["as typed", "texts", "far out"])
def test_no_report_says_what_no_person_can_read(core, builds, kind, tmp_path):
    plan = core.plan
    path = tmp_path / "returned.xlsx"
    typed = {name: value for name, value in builds[kind * len(MOODS) + 5].items() if value != ""}
    path.write_bytes(fill_workbook(workbook_bytes(plan), plan, typed))
    report = check_files([path])
    for text in (as_text(report, all_findings=True), as_csv(report), as_json(report), as_html(report)):
        visible = re.sub(r"<style.*?</style>|<script.*?</script>", "", text, flags=re.S)
        assert not UNREADABLE.search(visible), UNREADABLE.search(visible)
    assert "finding" in as_json(report)


def test_the_search_finds_what_it_looks_for():
    for text in ("U = nan mm", "-inf", "shows #VALUE!", "Infinity,"):
        assert UNREADABLE.search(text)
    assert not UNREADABLE.search("information on the finance of a banana")
