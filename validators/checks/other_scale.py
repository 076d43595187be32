"""A temperature seems to be in °F.

What it finds: a workshop temperature above 45 where °C is wanted.
Why it matters: 68 °F read as 68 °C moves a bore by tens of micrometres; such a temperature is not used.
Example: 68 for the temperature of the block.
What to do: enter it in °C.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.expected import expected_text
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "READ10"
NAME = "other-temperature-scale"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """List workshop temperatures that no workshop has."""
    highest = sheet.plan.by_name["temperature_highest"].value
    for key in ("part_temperature", "gauge_temperature"):
        for cell in sheet.plan.by_key[key]:
            value = sheet.values[cell.name]
            if isinstance(value, float) and value > highest:
                yield Note(
                    place=sheet.place(cell),
                    quantity=cell.name,
                    found=f"{value:g} °C; as °F it would be {(value - 32) / 1.8:.1f} °C",
                    expected=expected_text(sheet.plan, cell),
                    todo="Enter it in °C.",
                    holds_up=sheet.holds_up([cell.name]),
                )
