"""A deviation stands where a size belongs, or the other way round.

What it finds: a value under a twentieth of the nominal where the gauges sheet says "size", or beyond the
dial's travel where it says "deviation". Where every reading of a gauge row is typed the other way, the row
of the gauges sheet is what is wrong.
Why it matters: the gauges sheet says how a kind of reading is typed; one cell that differs gives no size.
Example: 0.012 among whole bore sizes.
What to do: enter it in the form that the gauges sheet names, or change the form for the whole row.
Deviations are under 1 mm and sizes over 5 mm: no false alarms in practice.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.expected import (
    FORM_FEATURE,
    dial_sign,
    form_feature,
    is_size,
    nominal_of,
    setting_of,
)
from validators.findings import Note, Severity
from validators.slips import Slip, alike, replace_by_cause, slipped
from validators.together import together

CODE = "READ06"
NAME = "size-or-deviation"
SEVERITY = Severity.BLOCKS
SHARE = 0.05
"""Under this share of its nominal, a value is no size but a deviation."""


def find(sheet: Checked) -> Iterator[Note]:
    """List readings that are typed in the other form."""
    return together(sheet, slipped(sheet, CODE))


def slip(sheet: Checked, cell: PlannedCell, value: float, found: Mapping[str, Slip]) -> Slip | None:
    """Return what to say of a number that is a deviation for a size, or a size for a deviation."""
    meant: float | None = None
    feature, nominal = form_feature(cell.key), nominal_of(sheet, cell)
    unit, travel = sheet.plan.unit(cell.key), sheet.plan.by_name["dial_travel"].value
    if is_size(sheet, cell):
        if nominal is None or not nominal.dialled or value >= SHARE * nominal.value:
            return None
        if any(name in found for name in nominal.rests_on):
            return None
        setting = setting_of(sheet, cell)
        start = nominal.value if setting is None else setting
        meant = start + dial_sign(sheet, cell) * value
        whole = f"from {start:.6g} {unit} it would be {meant:.6g} {unit}"
        told = f"{value:.10g} {unit}, a deviation? Then {whole}"
        if value < -travel:
            told, meant = f"{value:.10g} {unit}, a size with a minus sign?", -value
        expected = f"a whole size near {nominal.value:.6g} {unit} ({nominal.called})"
        todo = "Enter it in the form that the gauges sheet names for this gauge." if feature else (
            "Enter the whole size."
        )
    else:
        if sheet.values.get(f"entry_form_{feature}") != "deviation" or abs(value) <= travel:
            return None
        is_whole = nominal is not None and abs(value - nominal.value) < SHARE * nominal.value
        told = f"{value:.10g} {unit}, {'a whole size?' if is_whole else 'more than a dial shows'}"
        set_at = setting_of(sheet, cell) if is_whole else None
        if set_at is not None:
            meant = dial_sign(sheet, cell) * (value - set_at)
            told += f" From {set_at:.6g} {unit} the deviation would be {meant:.6g} {unit}"
        expected = f"a deviation from the setting size, at most {travel:.6g} {unit}"
        todo = "Enter it in the form that the gauges sheet names for this gauge."
    note = Note(
        place=sheet.place(cell),
        quantity=cell.name,
        found=told,
        expected=expected,
        todo=todo,
        holds_up=sheet.holds_up([cell.name]),
    )
    return Slip(CODE, note, meant=meant)


def trace(sheet: Checked, found: dict[str, Slip]) -> None:
    """Where every reading of a gauge row is typed the other way, put the slip at the row's form."""
    for feature in dict.fromkeys(FORM_FEATURE.values()):
        entered = [
            cell.name
            for key, of in FORM_FEATURE.items()
            if of == feature
            for cell in sheet.plan.by_key[key]
            if isinstance(sheet.values[cell.name], float)
        ]
        cause = f"entry_form_{feature}"
        if not alike(found, entered, CODE):
            continue
        cell, form = sheet.plan.by_name[cause], sheet.values[cause]
        other = "deviation" if form == "size" else "size"
        note = Note(
            place=sheet.place(cell),
            quantity=cause,
            found=f"'{form}', and all {len(entered)} readings look typed as {other}s, "
            f"the first {sheet.values[entered[0]]:.10g} {sheet.plan.unit('nominal_size')}",
            expected=f"'{other}', or readings typed as {form}s",
            todo=f"If the readings are right, choose '{other}' on the gauges sheet.",
            holds_up=sheet.holds_up([cause, *entered]),
        )
        replace_by_cause(found, entered, cause, Slip(CODE, note, meant=other))
