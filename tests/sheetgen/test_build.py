"""The build definition: strict, and complete for every layout."""

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
        '[limits.bore_taper]\nupper = 0.02\norigin = "part maker\'s sheet"\n'
        "[marks]\npiston_mark = ['A', 'B', 'C', 'D']\n"
    )
    cells = plan_workbook(read_build(written(tmp_path, text))).by_name
    assert cells["stroke_nominal"].value == 84.5
    assert cells["nominal_size_bore"].value == 86
    assert cells["nominal_size_piston"].value is None
    assert cells["bore_taper_upper"].value == 0.02
    assert cells["bore_taper_origin"].value == "part maker's sheet"
    assert cells["piston_mark_3"].value == "C"
