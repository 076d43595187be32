"""The engine that computes the values stored in a new workbook, given the file and what is typed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from validators.cell_values import ErrorValue
from validators.engines.engine import Build, Shown, Values, Write, place_of, version_of
from validators.recompute import Recomputer

ERRORS = {
    "Div": "#DIV/0!", "Value": "#VALUE!", "Num": "#NUM!", "Na": "#N/A", "Name": "#NAME?", "Ref": "#REF!",
    "Null": "#NULL!",
}


class FormualizerEngine:
    """A workbook that is opened anew for every build."""

    def __init__(self, recomputer: Recomputer, write: Write) -> None:
        import formualizer

        self.library: Any = formualizer
        self.data = write(recomputer.plan)
        cells = recomputer.plan.cells
        self.inputs = [cell for cell in cells if cell.is_input]
        self.formulas = [cell for cell in cells if cell.formula]

    @staticmethod
    def version() -> str:
        """Return what computes, with its version."""
        return f"formualizer {version_of('formualizer')}"

    def values(self, batch: Sequence[Build]) -> Values:
        """Return every formula's value."""
        found: Values = {place_of(c.sheet, c.address, c.name): [] for c in self.formulas}
        for build in batch:
            book = self.library.Workbook.from_bytes(self.data)
            for cell in self.inputs:
                book.set_value(cell.sheet, cell.row, cell.column, self.typed(build.get(cell.name)))
            book.evaluate_all()
            for cell in self.formulas:
                value = shown(book.get_value(cell.sheet, cell.row, cell.column))
                found[place_of(cell.sheet, cell.address, cell.name)].append(value)
        return found

    def typed(self, value: Shown) -> Any:
        """Return an entry as the library takes it: a text stays a text, a blank empties the cell."""
        if value is None or value == "":
            return None
        literal = self.library.LiteralValue
        return literal.text(value) if isinstance(value, str) else literal.number(float(value))

    def close(self) -> None:
        """Nothing is held."""


def shown(value: Any) -> Shown | ErrorValue:
    """Return a value of the library as the other engines give it.

    Examples
    --------
    >>> shown(3), shown("within"), shown({"type": "Error", "kind": "Div"})
    (3.0, 'within', ErrorValue(text='#DIV/0!'))
    """
    if isinstance(value, dict):
        return ErrorValue(ERRORS.get(str(value.get("kind")), "#VALUE!"))
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return value
    return float(value)
