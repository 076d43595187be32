"""The engines of the contact pictures: everything is filled in, and words of every kind are on the sheets."""

import pytest

from sheetgen.build import new_build
from sheetgen.errors import DefinitionError
from sheetgen.pictures.every import ENGINES
from sheetgen.pictures.filled import FOLDER, typed
from sheetgen.plan import plan_workbook
from validators.recompute import Recomputer

HOLDING = {
    "bore_out_of_round_verdict_3": "over",
    "main_clearance_verdict_2": "too close to call",
    "ring_gap_verdict_2_top": "under",
    "ring_gap_verdict_4_top": "too close to call",
    "roughness_rpk_verdict_2": "too close to call",
}


@pytest.fixture(scope="module", params=ENGINES)
def engine(request):
    plan = plan_workbook(new_build(*ENGINES[request.param]))
    given = {cell.name: cell.value for cell in plan.cells if cell.is_input}
    entries = given | dict(typed(plan, FOLDER / f"{request.param}.toml"))
    return plan, entries


def test_every_required_entry_is_given(engine):
    """And most of the others."""
    plan, entries = engine
    of = plan.catalogue.entries
    required = [cell.name for cell in plan.cells if cell.is_input and not of[cell.key].optional]
    assert not [name for name in required if entries[name] in (None, "")]
    assert sum(value not in (None, "") for value in entries.values()) > 0.8 * len(entries)


def test_it_is_sound_but_for_a_few_places(engine):
    """What holds the assembly is what was meant to."""
    plan, entries = engine
    results = {name: values[0] for name, values in Recomputer(plan).reference([entries]).items()}
    assert {name: results[name] for name in HOLDING} == HOLDING
    words = [results[cell.name] for cell in plan.cells if cell.role == "verdict" and cell.name in results]
    out = [word for word in words if word in ("over", "under", "too close to call")]
    assert words.count("within") > 200
    assert 5 <= len(out) < 20


def test_a_file_with_a_slip_is_refused(engine, tmp_path):
    """No such entry, no such element, a number that cannot be right."""
    plan, _ = engine
    for text, told in (
        ("bore_readin = 1", "is no entry"),
        ("piston_mass = { 99 = 400 }", "has no element"),
        ("bore_reading = 9000", "outside"),
    ):
        path = tmp_path / "readings.toml"
        path.write_text(text)
        with pytest.raises(DefinitionError, match=told):
            list(typed(plan, path))
