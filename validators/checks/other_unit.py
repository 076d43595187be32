"""A number seems to be in the other unit.

What it finds: a size that is 25.4 times too big or too small against what it should be near: the nominal
size, the shell wall that housing and journal leave, the wanted ring gap or lash, the other bolts or widths of
its kind; a mass in ounces, pounds or kilograms and a chamber in cubic inches among others of its kind; a last
torque that is the maker's torque in the other unit, which needs a look.
Why it matters: inches in a millimetre cell make every result nonsense, and sometimes plausible nonsense.
Example: 3.386 in a cell that wants about 86 mm.
What to do: enter it in the unit of the workbook. True sizes lie within 2 % of nominal and the rule fires
at a factor of 25.4 give or take 5 %, so it has no false alarms on sizes; on ring gaps and lash it takes one
six times off, on masses one nearly thirty times off. A last torque is asked for within 2 % of 1.36 times or
over the maker's.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.expected import is_size, nominal_of
from validators.findings import Note, Severity
from validators.slips import Slip, slipped
from validators.together import together

CODE = "READ04"
NAME = "other-unit"
SEVERITY = Severity.BLOCKS
INCH, TORQUE = 25.4, 1.3558179483314004
LENGTHS = ((INCH, "millimetres"), (1 / INCH, "inches"))
FACTORS: dict[str, tuple[tuple[float, str], ...]] = {
    "mm": LENGTHS, "in": LENGTHS,
    "g": ((1 / 28.349523125, "ounces"), (1 / 453.59237, "pounds"), (0.001, "kilograms")),
    "cm³": ((1 / 16.387064, "cubic inches"),),
    "N·m": ((1 / TORQUE, "foot pounds"), (TORQUE, "foot pounds converted twice")),
    "ft·lbf": ((TORQUE, "newton metres"), (1 / TORQUE, "newton metres converted twice")),
}
"""By unit: how many times what is meant a number in another unit is, and what that unit is called."""

NAMES = {
    "mm": "millimetres", "in": "inches", "g": "grams", "cm³": "cubic centimetres",
    "N·m": "newton metres", "ft·lbf": "foot pounds",
}
ASKED = "joint_torque_at"


def find(sheet: Checked) -> Iterator[Note]:
    """List numbers that are in the other unit."""
    return together(sheet, slipped(sheet, CODE))


def slip(sheet: Checked, cell: PlannedCell, value: float, found: Mapping[str, Slip]) -> Slip | None:
    """Return what to say of a number if it seems to be in the other unit."""
    nominal = nominal_of(sheet, cell) if value > 0 and is_size(sheet, cell) else None
    if nominal is None or any(name in found for name in nominal.rests_on):
        return None
    away = math.log(value / nominal.value)
    unit = sheet.plan.unit(cell.key)
    for factor, told in FACTORS.get(unit, ()):
        if abs(away - math.log(factor)) < nominal.near:
            note = Note(
                place=sheet.place(cell),
                quantity=cell.name,
                severity=Severity.LOOK if cell.key == ASKED else None,
                found=f"{value:.10g} {unit}, looks like {told}: it would be {value / factor:.6g} {unit}",
                expected=f"a number near {nominal.value:.6g} {unit} ({nominal.called})",
                todo=f"Enter it in {NAMES[unit]}, the unit of this workbook.",
                holds_up=sheet.holds_up([cell.name]),
            )
            return Slip(CODE, note, factor, value / factor)
    return None
