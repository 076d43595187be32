"""The steps of the assembly are read strictly, and told for the layout at hand."""

import pytest

from sheetgen import assembly
from sheetgen.build import new_build
from sheetgen.errors import DefinitionError
from sheetgen.plan import plan_workbook

SOUND = {"key": "one", "title": "One", "text": "Do it.", "rests_on": ["end_float"]}


@pytest.fixture
def stated(monkeypatch):
    """Return a way to read steps that are stated here."""

    def read(*steps):
        monkeypatch.setattr(assembly, "read_toml", lambda path: {"step": list(steps)})
        return assembly.all_steps.__wrapped__()

    return read


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"rests_onn": []}, "rests_on"),
        ({"layouts": ["inlin"]}, "inline"),
        ({"rests_on": ["end_flot"]}, "end_float"),
    ],
)
def test_a_misspelt_word_names_the_nearest_right_one(stated, change, told):
    with pytest.raises(DefinitionError, match=told):
        stated({**SOUND, **change})


def test_a_label_stands_once(stated):
    assert [step.key for step in stated(SOUND)] == ["one"]
    with pytest.raises(DefinitionError, match="twice"):
        stated(SOUND, SOUND)


@pytest.mark.parametrize("layout", ["inline-3", "v8", "flat-4"])
def test_every_step_of_the_layout_is_on_the_sheet_with_its_numbers_filled_in(layout):
    plan = plan_workbook(new_build(layout))
    steps = assembly.steps_for(plan.build.layout.kind)
    texts = [cell.value for cell in plan.cells if cell.sheet == "Assembly" and cell.role == "table_text"]
    assert len(texts) == len(steps) >= 15
    assert not [text for text in texts if "{" in text]
    shells = next(text for text in texts if "main" in text.lower() and "upper and lower" in text.lower())
    assert str(plan.build.layout.mains) in shells
    assert [cell.index[0] for cell in plan.by_key["step_state"]] == [step.key for step in steps]


def test_only_a_case_that_is_closed_over_the_crank_has_its_rods_on_it_first():
    keys = {kind: [step.key for step in assembly.steps_for(kind)] for kind in assembly.KINDS}
    assert keys["flat"].index("rods_on_crank") < keys["flat"].index("close_case")
    for kind in ("inline", "v"):
        assert keys[kind].index("pistons") < keys[kind].index("rod_bolts")
        assert "close_case" not in keys[kind]
