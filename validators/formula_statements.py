"""The formulas as the templates state them, each with the cells of a plan that it is put into."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import cast

from sheetgen.formula_parts import Part, split_formula
from sheetgen.gaps import LISTED
from sheetgen.naming import ALL, element_name
from sheetgen.plan import BLANKS, Plan, PlannedCell
from sheetgen.template import read_shapes, read_templates
from validators.formula_mutants import read_places, written

Target = tuple[str, tuple[int, int], tuple[int, int]]
FOLLOWING = {
    "cylinder": ("crankpin", "bank"), "sized": ("feature", "body"), "shellpair": ("grade",),
    "fit": ("sized", "feature"),
}
"""Axes that follow from the one of a loop, so that no template fixes an element on them."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A cell, and the names that stand in the places of its formula."""

    cell: PlannedCell
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Statement:
    """One formula of the templates.

    Parameters
    ----------
    where : str
        Sheet and quantity, or the shape; with a number where a quantity has several formulas.
    formula : Part
        The formula, its references as numbered places.
    places : tuple of str
        The references; behind them those with another element, see `others`.
    kinds : tuple of str
        What sort of thing each reference stands for.
    others : mapping of int to int
        Of a place whose element the template fixes, such as the thrust axis, the place of the same
        reference with another element.
    cells : tuple of Placed
        Every cell that holds it.
    blocks : mapping of name to sheet, first and last cell
        Names that only the references with another element need.
    """

    where: str
    formula: Part
    places: tuple[str, ...]
    kinds: tuple[str, ...]
    others: Mapping[int, int]
    cells: tuple[Placed, ...]
    blocks: Mapping[str, Target]

    @property
    def text(self) -> str:
        """The formula in the template's words."""
        return f"={written(self.formula, self.places)}"


def statements(plan: Plan) -> list[Statement]:
    """Return every different formula of the templates, in the order of the sheets.

    Every formula cell of the plan belongs to exactly one of them.
    """
    cells: dict[tuple[str, str], list[PlannedCell]] = {}
    for cell, where, text in _sources(plan):
        cells.setdefault((where, text), []).append(cell)
    several: dict[str, int] = {}
    for where, _ in cells:
        several[where] = several.get(where, 0) + 1
    reader, number = _Reader(plan), dict.fromkeys(several, 0)
    found = []
    for (where, text), members in cells.items():
        number[where] += 1
        label = f"{where} {number[where]}" if several[where] > 1 else where
        found.append(reader.statement(label, text, members))
    return found


def _sources(plan: Plan) -> Iterator[tuple[PlannedCell, str, str]]:
    """Yield each formula cell with where its formula is stated, and how."""
    lines = {
        (line.quantity, line.at): (template.stem, line)
        for template in read_templates(plan.version)
        for block in template.blocks
        for line in block.lines
        if line.formula
    }
    fixed = [(key, at) for key, at in lines if at]
    shapes = read_shapes()
    stems = {sheet.template.title: sheet.template.stem for sheet in plan.sheets}
    for cell in plan.cells:
        if not cell.formula:
            continue
        if cell.role == "gap":
            yield cell, f"{stems[cell.sheet]}/blanks from {cell.index[0]}", f"={_blanks(cell.index)}"
            continue
        if cell.role == "gap_mark":
            parts = range(cell.formula.count("COUNTBLANK"))
            counted = "+".join(f"COUNTBLANK({{part_{number}}})" for number in parts)
            yield cell, "shapes/gap_mark", shapes.gap_mark.replace("{blanks}", counted)
            continue
        if cell.role == "first_gap":
            yield cell, "shapes/first_gap", shapes.first_gap
            continue
        if cell.role == "gap_now":
            yield cell, "shapes/gap_now", shapes.gap_now
            continue
        if not cell.name:
            shape = cell.role if cell.role in ("job", "first_gap_label") else "echo"
            yield cell, f"shapes/{shape}", getattr(shapes, shape)
            continue
        entry = plan.catalogue.entries[cell.key]
        here = set(zip(entry.over, cell.index, strict=True))
        key = next((k for k in fixed if k[0] == cell.key and set(k[1]) <= here), (cell.key, ()))
        if key in lines:
            stem, line = lines[key]
            if line.size:
                yield cell, "shapes/size", shapes.size
            elif BLANKS in line.formula:
                (stage,) = cell.index
                yield cell, f"{stem}/{cell.key}[{stage}]", f"={_blanks(plan.stage_inputs[stage]) or '0'}"
            else:
                yield cell, f"{stem}/{cell.key}", line.formula
            continue
        kind = cell.key.removeprefix(f"{entry.of}_")
        sides = plan.catalogue.entries[entry.of].limits
        if kind == "limit_state":
            yield cell, f"shapes/limit_state.{sides}", shapes.state[sides]
        elif kind == "verdict":
            yield cell, "shapes/verdict", shapes.verdict
        elif (kind == "floor" and sides == "upper") or (kind == "ceiling" and sides == "lower"):
            yield cell, f"plan/{kind} without a limit", f"={'0-' if kind == 'floor' else ''}{{open_limit}}"
        elif kind == "guard_used":
            chances = plan.catalogue.entries[entry.of].chances
            yield cell, f"shapes/guard_used.{chances}", shapes.guard_used(chances)
        else:
            yield cell, f"shapes/{kind}", getattr(shapes, kind)


def _blanks(keys: Iterable[object]) -> str:
    return "+".join(f"COUNTBLANK({{{key}[*]}})" for key in keys)


class _Reader:
    """Reads the statements of one plan."""

    def __init__(self, plan: Plan) -> None:
        self.plan, self.catalogue = plan, plan.catalogue
        known = (cell for cell in plan.cells if cell.name or cell.role in LISTED)
        self.at = {(cell.sheet, cell.row, cell.column): cell for cell in known}

    def statement(self, where: str, text: str, members: Sequence[PlannedCell]) -> Statement:
        """Return the statement that these cells hold."""
        formula, places, order = read_places(text.replace("[F]", ""))
        named: list[list[str]] = []
        for cell in members:
            names = [token.text for token in split_formula(cell.formula) if token.kind == "name"]
            if len(names) != len(order):
                raise ValueError(f"{where}: the formula of {cell.name} is not the template's")
            filled = dict(zip(order, names, strict=True))
            named.append([filled[place] for place in range(len(places))])
        kinds = [self.kind(name) for name in named[0]]
        others: dict[int, int] = {}
        blocks: dict[str, Target] = {}
        for place in range(len(places)):
            turned = [self.turned(cell, names[place]) for cell, names in zip(members, named, strict=True)]
            found = [one for one in turned if one is not None]
            if len(found) < len(turned):
                continue
            others[place] = len(places)
            places.append(f"{places[place]} with {found[0][0]}")
            kinds.append("another element")
            for names, (_, name, block) in zip(named, found, strict=True):
                names.append(name)
                blocks[name] = block
        cells = tuple(Placed(cell, tuple(names)) for cell, names in zip(members, named, strict=True))
        return Statement(where, formula, tuple(places), tuple(kinds), others, cells, blocks)

    def members(self, name: str) -> list[PlannedCell]:
        """Return the cells that a name stands for, in the order of the sheet."""
        sheet, first, last = self.plan.names[name]
        return [
            self.at[sheet, row, column]
            for row in range(first[0], last[0] + 1)
            for column in range(first[1], last[1] + 1)
        ]

    def kind(self, name: str) -> str:
        """Return what sort of thing a name stands for: number or word, one cell or how big a block."""
        _, first, last = self.plan.names[name]
        first_cell = self.members(name)[0]
        if first_cell.role in LISTED:
            return f"list of {first_cell.role}"
        sort = "number" if self.catalogue.entries[first_cell.key].measure else "word"
        if name in self.plan.by_name:
            return sort
        return f"{sort}s, {last[0] - first[0] + 1} by {last[1] - first[1] + 1}"

    def turned(self, cell: PlannedCell, name: str) -> tuple[str, str, Target] | None:
        """Return what a reference would be with the next element on an axis that the template fixes.

        None where every axis is that of the loop, or stands for all elements.
        """
        members = self.members(name)
        if members[0].role in LISTED:
            return None
        entry = self.catalogue.entries[members[0].key]
        if cell.name:
            loop = self.catalogue.entries[cell.key].over
        elif cell.role in ("gap", "gap_mark", "gap_now", "first_gap"):
            loop = ()
        else:  # the index of a figure that is shown again is the loop it stands in
            loop = tuple(axis for axis, _ in cast("Sequence[tuple[str, str]]", cell.index))
        bound = {*loop, *(follower for axis in loop for follower in FOLLOWING.get(axis, ()))}
        for place, axis in enumerate(entry.over):
            here = members[0].index[place]
            labels = list(self.catalogue.axes[axis].elements)
            if axis in bound or len(labels) < 2 or any(member.index[place] != here for member in members):
                continue
            label = labels[(labels.index(here) + 1) % len(labels)]
            moved = [(*m.index[:place], label, *m.index[place + 1 :]) for m in members]
            there = [self.plan.by_name[element_name(entry.key, index)] for index in moved]
            rows, columns = {c.row for c in there}, {c.column for c in there}
            if len(rows) * len(columns) != len(there):
                return None
            columns_of_labels = map(set, zip(*moved, strict=True))
            shared = [next(iter(found)) if len(found) == 1 else ALL for found in columns_of_labels]
            block = (there[0].sheet, (min(rows), min(columns)), (max(rows), max(columns)))
            return f"{axis}={label}", element_name(entry.key, tuple(shared)), block
        return None
