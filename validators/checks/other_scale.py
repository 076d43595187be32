"""A temperature seems to be in °F.

What it finds: a workshop temperature above 45 where °C is wanted.
Why it matters: 68 °F read as 68 °C would move a bore by tens of micrometres; such a temperature is not
used.
Example: 68 for the temperature of the block.
What to do: enter it in °C.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.expected import expected_text
from validators.findings import Note, Severity
from validators.slips import Slip, slipped
from validators.together import together

CODE = "READ10"
NAME = "other-temperature-scale"
SEVERITY = Severity.BLOCKS
WORKSHOP = ("part_temperature", "gauge_temperature")
HOTTEST = 122.0
"""°F: a workshop of 50 °C.  Above it a figure is no temperature of a workshop on either scale."""


def find(sheet: Checked) -> Iterator[Note]:
    """List workshop temperatures that are in °F."""
    return together(sheet, slipped(sheet, CODE))


def slip(sheet: Checked, cell: PlannedCell, value: float, _: Mapping[str, Slip]) -> Slip | None:
    """Return what to say of a temperature that no workshop has in °C."""
    if cell.key not in WORKSHOP or not sheet.plan.by_name["temperature_highest"].value < value <= HOTTEST:
        return None
    note = Note(
        place=sheet.place(cell),
        quantity=cell.name,
        found=f"{value:.10g} °C; as °F it would be {(value - 32) / 1.8:.1f} °C",
        expected=expected_text(sheet.plan, cell),
        todo="Enter it in °C.",
        holds_up=sheet.holds_up([cell.name]),
    )
    return Slip(CODE, note, meant=(value - 32) / 1.8)
