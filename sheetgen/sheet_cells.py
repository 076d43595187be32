"""The cells of one sheet, put one by one: inputs, formulas, fixed numbers, figures shown again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from sheetgen.catalogue import Entry
from sheetgen.errors import DefinitionError
from sheetgen.layout import Index
from sheetgen.look import look, properties
from sheetgen.naming import Names, element_label, element_name
from sheetgen.planned import PlannedCell, column_letters
from sheetgen.sheet_words import SheetWords
from sheetgen.template import Block, Line, Shapes, Template
from sheetgen.text_fit import column_pixels, with_air

LABEL_COLUMN = 1
HEADS = ("column_header", "element_header")


class SheetCells:
    """Where the next cell of a sheet goes, and the cells of its quantities."""

    def __init__(self, template: Template, names: Names, shapes: Shapes) -> None:
        self.template, self.names, self.shapes = template, names, shapes
        self.build, self.catalogue, self.words = names.build, names.catalogue, SheetWords(names)
        self.cells: list[PlannedCell] = []
        self.ranges: dict[str, tuple[str, tuple[int, int], tuple[int, int]]] = {}
        self.cuts: list[int] = []
        self.row, self.base, self.span, self.alone = 1, LABEL_COLUMN, 1, True
        self.label_role, self.text_end, self.crowded = "row_label", template.text_columns, False

    @property
    def first(self) -> int:
        """The column right of the labels of the block at hand."""
        return self.base + self.span

    def put(self, column: int, role: str, **fields: Any) -> None:
        """Put one cell, in the row at hand unless told otherwise."""
        row = fields.pop("row", self.row)
        if role in HEADS and column > LABEL_COLUMN:
            fields["value"] = self.head(role, fields["value"], column, fields.get("columns", 1))
        self.cells.append(PlannedCell(sheet=self.template.title, row=row, column=column, role=role, **fields))

    def head(self, role: str, text: str, column: int, columns: int) -> str:
        """Return the text of a head, its lines broken where one would touch the frame."""
        widths, style = look()["widths"], properties(role)
        given = widths.get(self.template.stem, {})
        across = [given.get(column_letters(one), widths["data"]) for one in range(column, column + columns)]
        pixels = sum(column_pixels(width) for width in across)
        return with_air(text, pixels, style["font_size"], bold=bool(style.get("bold")))

    def quantity(
        self, column: int, key: str, index: Index, *, formula: str = "", workings: bool = False
    ) -> None:
        """Put one element of a quantity: an input, a formula or a number that follows from the layout."""
        entry = self.catalogue.entries[key]
        fields: dict[str, Any] = {
            "name": element_name(key, index), "key": key, "index": index,
            "label": element_label(entry, index, self.catalogue),
        }
        if entry.is_input:
            self.put(column, "input", value=self.build.entries.get((key, index)), **fields)
        elif entry.kind in ("fixed", "constant"):
            self.put(column, "constant", value=self.words.fixed(key, index), **fields)
        else:
            role = "verdict" if entry.words else "working" if workings else "result"
            self.put(column, role, formula=formula or self.limit_formula(entry), **fields)

    def limit_formula(self, entry: Entry) -> str:
        """Return the shared shape of a verdict, a limit's state or the limit used."""
        limited = self.catalogue.entries[entry.of]
        kind = entry.key.removeprefix(f"{entry.of}_")
        shape = {
            "verdict": self.shapes.verdict,
            "limit_state": self.shapes.state[limited.limits],
            "floor": self.shapes.floor if limited.limits != "upper" else "=0-{open_limit}",
            "ceiling": self.shapes.ceiling if limited.limits != "lower" else "={open_limit}",
            "guard_used": self.shapes.guard_used(limited.chances),
        }[kind]
        text = shape.replace("{value}", f"{{{entry.of}}}").replace("{state}", f"{{{entry.of}_limit_state}}")
        for word in ("floor", "ceiling", "lower", "upper"):
            text = text.replace(f"{{{word}}}", f"{{{entry.of}_{word}}}")
        if kind == "verdict" and limited.chances != 1:
            return text.replace("{guard}", f"{{{entry.of}_guard_used}}")
        key, loop = self.guard(limited)
        fixed = ",".join(f"{axis}={label}" for axis, label in loop)
        return text.replace("{guard}", f"{{{key}[{fixed}]}}" if fixed else f"{{{key}}}")

    def guard(self, limited: Entry) -> tuple[str, tuple[tuple[str, str], ...]]:
        """Return the quantity that guards a limited one, and the element that is meant, as a loop."""
        if limited.guard in self.catalogue.entries:
            return limited.guard, ()
        key, label = self.element(limited.guard)
        return key, ((self.catalogue.entries[key].over[0], label),)

    def element(self, name: str) -> tuple[str, str]:
        """Split an element name of a one-axis quantity into key and label."""
        for key, entry in self.catalogue.entries.items():
            if len(entry.over) == 1 and name.startswith(f"{key}_"):
                label = name.removeprefix(f"{key}_")
                if label in self.catalogue.axes[entry.over[0]].elements:
                    return key, label
        raise DefinitionError("quantities.toml", f"guard '{name}' is neither a quantity nor an element")

    def one(self, column: int, line: Line, loop: Mapping[str, str], block: Block) -> None:
        """Put one cell of a line at this turn of the loop."""
        if line.echo:
            entry = self.catalogue.entries[line.echo]
            role = "verdict_echo" if entry.words and not entry.is_input else "echo"
            formula = self.shapes.echo.replace("{value}", f"{{{line.echo}}}")
            self.put(column, role, formula=formula, key=line.echo, index=tuple(sorted(loop.items())))
            return
        index = tuple(loop[axis] for axis in self.catalogue.entries[line.quantity].over)
        self.quantity(column, line.quantity, index, formula=line.formula, workings=block.workings)

    def widen(self, columns: int) -> None:
        """Let the cell put last take several columns."""
        self.cells[-1] = replace(self.cells[-1], columns=columns)
