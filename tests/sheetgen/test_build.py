"""The build definition: strict, and complete for every layout."""

from dataclasses import replace

import pytest

from sheetgen.build import build_from_text, new_build, presets, read_build
from sheetgen.errors import DefinitionError
from sheetgen.plan import plan_workbook

LAYOUTS = [
    (kind, cylinders, rods)
    for kind, most in (("inline", 12), ("v", 12), ("flat", 12))
    for cylinders in range(1, most + 1)
    for rods in ((1,) if kind == "inline" else (1, 2))
]


def written(tmp_path, text):
    path = tmp_path / "build.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("preset", presets())
@pytest.mark.parametrize("family", ["millimetre", "inch"])
def test_a_preset_survives_its_text_form(preset, family):
    """The birth record's text gives the same plan back."""
    build = new_build(preset, family)
    again = build_from_text(build.as_text())
    assert again == build
    assert plan_workbook(again).digest == plan_workbook(build).digest


def test_the_digest_is_another_whatever_is_another():
    """An entry, a word, a formula, a place, a name, a family."""
    plan = plan_workbook(new_build("inline-3", "millimetre"))
    entry = next(n for n, cell in enumerate(plan.cells) if cell.is_input)
    word = next(n for n, cell in enumerate(plan.cells) if isinstance(cell.value, str) and not cell.is_input)
    formula = next(n for n, cell in enumerate(plan.cells) if cell.formula)
    changes = [(entry, {"value": 1.5}), (entry, {"row": 900}), (word, {"value": "other"}),
               (formula, {"formula": "=1"}), (formula, {"role": "input"})]
    found = {plan.digest, plan_workbook(new_build("inline-3", "inch")).digest}
    for number, change in changes:
        cells = (*plan.cells[:number], replace(plan.cells[number], **change), *plan.cells[number + 1:])
        found.add(replace(plan, cells=cells, bare=None).digest)
    name = next(iter(plan.names))
    found.add(replace(plan, names={**plan.names, name: ("Parts", (1, 1), (1, 1))}, bare=None).digest)
    assert len(found) == len(changes) + 3
    assert replace(plan, bare=None).digest == plan.digest


def test_the_digest_of_a_build_is_that_of_its_cells():
    """What is given is in it, whether or not the bare plan is at hand."""
    build = new_build("inline-3", "millimetre")
    given = replace(build, entries={**build.entries, ("job_number", ()): "J-1"})
    plan, other = plan_workbook(given), plan_workbook(replace(build, entries={("job_number", ()): "J-2"}))
    assert plan.bare is not None
    assert replace(plan, bare=None).digest == plan.digest
    assert len({plan.digest, other.digest, plan_workbook(build).digest}) == 3


@pytest.mark.parametrize(("kind", "cylinders", "rods"), LAYOUTS)
def test_every_layout_can_be_planned(tmp_path, kind, cylinders, rods):
    """Inline, V and flat, 1 to 12 cylinders, one or two rods per crankpin."""
    text = f'[engine]\nlayout = "{kind}"\ncylinders = {cylinders}\nrods_per_crankpin = {rods}\n'
    build = read_build(written(tmp_path, text))
    layout = build.layout
    assert layout.cylinders == cylinders
    assert max(layout.crankpin_of.count(pin) for pin in layout.crankpin_of) <= rods
    assert layout.banks == (1 if kind == "inline" or cylinders == 1 else 2)
    if cylinders in (1, 2, 5, 12):
        assert len(plan_workbook(build).by_key["bore_reading"]) == 6 * cylinders


@pytest.mark.parametrize(
    ("numbering", "banks", "pins"),
    [
        ("alternate", (1, 2, 1, 2, 1, 2), (1, 1, 2, 2, 3, 3)),
        ("bank by bank", (1, 1, 1, 2, 2, 2), (1, 2, 3, 1, 2, 3)),
    ],
)
def test_numbering_sets_bank_and_crankpin(tmp_path, numbering, banks, pins):
    """Both ways of counting a V engine's cylinders put two rods on each pin."""
    text = f'[engine]\nlayout = "v"\ncylinders = 6\nrods_per_crankpin = 2\nnumbering = "{numbering}"\n'
    layout = read_build(written(tmp_path, text)).layout
    assert layout.bank_of == banks
    assert layout.crankpin_of == pins


HEAD = '[engine]\npreset = "inline-4"\n'


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (HEAD + "[given]\nstroke_nominl = 80\n", ["build.toml, line 4", "stroke_nominl", "stroke_nominal"]),
        (HEAD + "[givn]\nstroke_nominal = 80\n", ["line 3", "givn", "given"]),
        ("[engine]\npreset = 'inline-4'\ncylindres = 4\n", ["line 3", "cylindres", "cylinders"]),
        ("[engine]\npreset = 'inlin-4'\n", ["inlin-4", "inline-4"]),
        (HEAD + "[limits.bore_tapr]\nupper = 0.01\n", ["line 3", "bore_tapr", "bore_taper"]),
        (HEAD + "[limits.bore_taper]\nuper = 0.01\n", ["bore_taper", "uper", "upper"]),
        (HEAD + "[limits.end_float]\nlower = 0.3\nupper = 0.1\n", ["end_float", "above the upper"]),
        (HEAD + "[given]\nstroke_nominal = 3.4\n", ["stroke_nominal", "3.4 mm", "20 to 250 mm"]),
        (HEAD + '[given]\nstroke_nominal = "80"\n', ["stroke_nominal", "a number"]),
        (HEAD + "[given]\nnominal_size = { boor = 80 }\n", ["nominal_size", "boor", "bore"]),
        (HEAD + "[given]\nmain_position = [0, 1]\n", ["main_position", "5 values", "2 given"]),
        (HEAD + "[given]\nbody_material = { rod = 'steal' }\n", ["body_material", "steal", "steel"]),
        (HEAD + "[given]\njob_date = 'soon'\n", ["job_date", "a date"]),
        (HEAD + "[given]\nbore_reading = 3\n", ["bore_reading", "nothing that is given"]),
        (HEAD + "[marks]\npiston_mrak = ['A']\n", ["piston_mrak", "piston_mark"]),
        ("[engine]\nlayout = 'w'\ncylinders = 4\n", ["line 2", "inline, v, flat"]),
        ("[engine]\nlayout = 'v'\ncylinders = 13\n", ["cylinders", "1 to 12"]),
        ("[engine]\nlayout = 'inline'\ncylinders = 4\nrods_per_crankpin = 2\n", ["one rod"]),
        ("[engine]\nlayout = 'inline'\n", ["number of cylinders is missing"]),
        ("[engine]\nlayout = 'inline'\ncylinders = 2\ncrankpins = [1, 3]\n", ["without a gap"]),
        (HEAD + "throws = [0, 180]\n", ["throws", "4 angles"]),
        (HEAD + "units = 'cm'\n", ["millimetre, inch"]),
        ("[engine\n", ["not valid TOML", "line 1"]),
    ],
)
def test_a_slip_in_a_build_file_is_named(tmp_path, text, words):
    """File, line or key, and the nearest right one."""
    with pytest.raises(DefinitionError) as caught:
        read_build(written(tmp_path, text))
    for word in words:
        assert word in str(caught.value)
    assert "build.toml" in str(caught.value)


def test_a_missing_or_wrong_file_is_named(tmp_path):
    """No traceback for a file that is not there, a folder, or bytes that are no text."""
    with pytest.raises(DefinitionError, match="no such file"):
        read_build(tmp_path / "none.toml")
    with pytest.raises(DefinitionError, match="cannot be read"):
        read_build(tmp_path)
    (tmp_path / "x.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(DefinitionError, match="UTF-8"):
        read_build(tmp_path / "x.toml")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{}",
        "[]",
        "null",
        '{"family":"millimetre"}',
        '{"family":"cm","layout":{},"entries":[]}',
        "[" * 3000,
    ],
)
def test_a_damaged_birth_text_is_refused(text):
    """Text that is no build definition is a DefinitionError, whatever it is."""
    with pytest.raises(DefinitionError):
        build_from_text(text)


def test_given_values_reach_their_cells(tmp_path):
    """A list goes along the axis, a table to its elements, a single value to all."""
    text = HEAD + (
        "[given]\nstroke_nominal = 84.5\nnominal_size = { bore = 86, pin = 22 }\n"
        '[limits.bore_taper]\nupper = 0.02\norigin = "part maker"\n'
        "[marks]\npiston_mark = ['A', 'B', 'C', 'D']\n"
    )
    cells = plan_workbook(read_build(written(tmp_path, text))).by_name
    assert cells["stroke_nominal"].value == 84.5
    assert cells["nominal_size_bore"].value == 86
    assert cells["nominal_size_piston"].value is None
    assert cells["bore_taper_upper"].value == 0.02
    assert cells["bore_taper_origin"].value == "part maker"
    assert cells["piston_mark_3"].value == "C"


ENGINE = '[engine]\npreset = "inline-3"\n'


def test_a_build_file_leaves_the_top_end_out_unless_it_asks_for_it(tmp_path):
    """A job is a short block; what belongs to the head is neither planned nor given then."""
    short = read_build(written(tmp_path, ENGINE))
    whole = read_build(written(tmp_path, ENGINE + "top_end = true\n"))
    assert (short.left_out, whole.left_out) == (("top_end",), ())
    plans = plan_workbook(short), plan_workbook(whole)
    titles = [[sheet.template.stem for sheet in plan.sheets] for plan in plans]
    assert titles[0] == [stem for stem in titles[1] if stem != "top_end"]
    assert "top_end" in titles[1]
    assert [("lash_reading" in plan.by_key) for plan in plans] == [False, True]
    assert [("top_end" in plan.stage_inputs) for plan in plans] == [False, True]
    assert [("verdict_tally_lobe_centre_within" in plan.by_name) for plan in plans] == [False, True]
    for build, plan in zip((short, whole), plans, strict=True):
        again = build_from_text(build.as_text())
        assert again == build
        assert plan_workbook(again).digest == plan.digest


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ("top_end = 1\n", "top_end is true or false, not 1"),
        ("top_end = false\n[given]\nvalve_lift = 10\n", "on a sheet that is left out"),
        ("[limits]\nlobe_centre = { upper = 110 }\n", "on a sheet that is left out"),
        ("top_edn = true\n", "top_end"),
        ("fastener_groups = 0\n", "fastener_groups is a whole number from 1 to 12"),
    ],
)
def test_what_the_engine_table_cannot_say(tmp_path, more, words):
    """A wrong word, and what belongs to a sheet that is not there, get one sentence."""
    with pytest.raises(DefinitionError, match=words):
        read_build(written(tmp_path, ENGINE + more))


def test_a_record_that_leaves_out_a_sheet_that_must_be_there_is_refused():
    """Only an optional sheet can be left out."""
    text = new_build("inline-3").as_text()
    for listed in ('["bores"]', '["top_end", "top_end"]', "3"):
        with pytest.raises(DefinitionError):
            build_from_text(text.replace('"left_out":[]', f'"left_out":{listed}'))


@pytest.mark.parametrize("groups", [1, 4, 12])
def test_there_are_as_many_fastener_groups_as_asked_for(tmp_path, groups):
    """Each has its row, its steps and who did it."""
    plan = plan_workbook(read_build(written(tmp_path, ENGINE + f"fastener_groups = {groups}\n")))
    assert len(plan.by_key["joint_name"]) == len(plan.by_key["joint_done_by"]) == groups
    assert len(plan.by_key["joint_torque_at"]) == 4 * groups


def test_values_over_two_axes_are_lists_or_tables_for_each(tmp_path):
    """A table names elements, a list counts them, one value stands for all; blanks stay blank."""
    text = ENGINE + """fastener_groups = 2
[given]
joint_torque_at = { 1 = { first = 30, third = 85 }, 2 = [20, 40, "", ""] }
joint_angle_at = [60, [30, 30, 30, 45]]
"""
    entries = read_build(written(tmp_path, text)).entries
    torques = {index: value for (key, index), value in entries.items() if key == "joint_torque_at"}
    assert torques == {("1", "first"): 30, ("1", "third"): 85, ("2", "first"): 20, ("2", "second"): 40}
    angles = [value for (key, _), value in entries.items() if key == "joint_angle_at"]
    assert angles == [60, 60, 60, 60, 30, 30, 30, 45]
    wrong = ENGINE + "[given]\njoint_torque_at = { 1 = { fifth = 3 } }\n"
    with pytest.raises(DefinitionError, match="no element 'fifth'"):
        read_build(written(tmp_path, wrong))
