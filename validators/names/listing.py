"""Every named cell of a workbook: what it is, where it stands, how it is computed and after what source."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from sheetgen.build import new_build, presets
from sheetgen.catalogue import FAMILIES
from sheetgen.errors import DefinitionError, nearest
from sheetgen.plan import Plan, PlannedCell, column_letters, plan_workbook
from validators.copies import open_copy
from validators.names.sources import source_of_entry, told_of
from validators.names.words import in_words

DIRECTIONS = {"given": "input", "reading": "input", "result": "output", "constant": "constant",
              "fixed": "constant"}


@dataclass(frozen=True, slots=True)
class Named:
    """One named cell.

    Attributes
    ----------
    name, quantity : str
        The cell's name, and the quantity it is an element of.
    direction, kind : str
        input, output or constant; and given, reading, result, constant or fixed.
    formula, in_words, equation : str
        As the sheet has it; the same in words; and as the reference core states it. "" for what is entered.
    source : str
        After what it is computed, or who enters it.
    """

    name: str
    quantity: str
    label: str
    unit: str
    sheet: str
    cell: str
    direction: str
    kind: str
    formula: str
    in_words: str
    equation: str
    source: str


def names(
    workbook: Path | str | None = None, *, layout: str = "", units: str = "", only: str = ""
) -> tuple[Named, ...]:
    """Return every input and output of a workbook, or of a layout.

    Parameters
    ----------
    workbook : path, optional
        A workbook of ours; cells are told where they stand in it now.
    layout, units : str, optional
        Without a workbook: a known layout and family of units.
    only : str, optional
        Only names that hold this text.

    Raises
    ------
    DefinitionError
        The workbook cannot be read, or the layout or the family is not known.
    """
    places: dict[str, tuple[str, str]] = {}
    if workbook is not None:
        if layout or units:
            raise DefinitionError("names", "say a workbook, or --layout and --units, not both")
        copy = open_copy(Path(workbook))
        plan = copy.plan
        places = {name: (at.sheet, at.address) for name, at in copy.located.items()}
    else:
        plan = plan_workbook(new_build(*_layout(layout, units)))
    labels = Labels(plan)
    return tuple(_named(plan, labels, places, cell) for cell in plan.cells if cell.name and only in cell.name)


def _layout(layout: str, units: str) -> tuple[str, str]:
    known = presets()
    layout, units = layout.lower(), units or FAMILIES[0]
    if layout not in known:
        told = f"'{layout}' is no known layout{nearest(layout, known)}" if layout else (
            f"say a workbook, or --layout ({', '.join(known)})"
        )
        raise DefinitionError("--layout", told)
    if units not in FAMILIES:
        raise DefinitionError("--units", f"units are one of {', '.join(FAMILIES)}{nearest(units, FAMILIES)}")
    return layout, units


def _named(
    plan: Plan, labels: Labels, places: dict[str, tuple[str, str]], cell: PlannedCell
) -> Named:
    entry = plan.catalogue.entries[cell.key]
    sheet, address = places.get(cell.name, (cell.sheet, cell.address))
    equation, source = told_of(cell.key, entry.of) if cell.formula else ("", source_of_entry(entry))
    return Named(
        name=cell.name,
        quantity=cell.key,
        label=labels.of(cell.name),
        unit=plan.unit(cell.key),
        sheet=sheet,
        cell=address,
        direction=DIRECTIONS[entry.kind],
        kind=entry.kind,
        formula=cell.formula,
        in_words=in_words(cell.formula, labels.of) if cell.formula else "",
        equation=equation,
        source=source,
    )


class Labels:
    """What a person calls every name of a plan; a range is told from its first cell to its last."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.told: dict[str, str] = {}

    def of(self, name: str) -> str:
        """Return the label of a name."""
        if name not in self.told:
            self.told[name] = self._label(name)
        return self.told[name]

    def _label(self, name: str) -> str:
        cell = self.plan.by_name.get(name)
        if cell is not None:
            return self._element(cell)
        sheet, first, last = self.plan.names[name]
        ends = [
            self.of(self.plan.by_place[sheet, f"{column_letters(column)}{row}"].name)
            for row, column in (first, last)
        ]
        return ", ".join(_joined(*ends))

    def _element(self, cell: PlannedCell) -> str:
        """Return the label of one cell; checked items and sheets by what a person calls them."""
        entry, axes = self.plan.catalogue.entries[cell.key], self.plan.catalogue.axes
        text = cell.label or entry.label
        for axis, label in zip(entry.over, cell.index, strict=True):
            told = self._called(axis, label)
            if told:
                text = text.replace(f"{axes[axis].label} {label}", f"{axes[axis].label} {told}")
        return text

    def _called(self, axis: str, label: str) -> str:
        if axis == "stage":
            return next(s.template.title for s in self.plan.sheets if s.template.stem == label)
        if axis == "item":
            entries = self.plan.catalogue.entries
            key = label if label in entries else f"{label}_reading"
            return f"{entries[key].label.replace(', ', ' ')} ({self.plan.by_key[key][0].sheet})"
        return ""


def _joined(first: str, last: str) -> Iterator[str]:
    """Yield the parts of two labels, those that differ as "from to".

    Examples
    --------
    >>> list(_joined("Bore, cylinder 1, top", "Bore, cylinder 1, bottom"))
    ['Bore', 'cylinder 1', 'top to bottom']
    """
    one, two = first.split(", "), last.split(", ")
    if len(one) != len(two):
        yield f"{first} to {last}"
        return
    for a, b in zip(one, two, strict=True):
        yield a if a == b else f"{a} to {b}"
