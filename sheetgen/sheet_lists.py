"""The blocks of a sheet that list what is said elsewhere: limits, constants, materials, strength classes."""

from __future__ import annotations

from sheetgen.catalogue import EXACT, Entry
from sheetgen.layout import bolt_classes, materials
from sheetgen.naming import element_label, element_name
from sheetgen.sheet_cells import SheetCells
from sheetgen.sources import TEMPLATES, read_toml
from sheetgen.subjects import item_label
from sheetgen.template import Block


class ListedBlocks(SheetCells):
    """Puts the blocks whose rows come from a list."""

    def put_limits(self, block: Block) -> None:
        """Put one row for each limited quantity: its limits, where they come from, what is used."""
        heads = ("Lower", "Upper", "Taken from", "Limits are", "Lower used", "Upper used", "U used")
        self.put(self.base, "column_header", value="Limits")
        for offset, head in enumerate(heads):
            self.put(self.first + offset, "column_header", value=head)
        self.row += 1
        told = [self.catalogue.entries[key].label for key in block.limits]
        for key in block.limits:
            entry = self.catalogue.entries[key]
            label = item_label(key, entry.label) if told.count(entry.label) > 1 else entry.label
            self.put(self.base, "row_label", value=self.words.with_unit(label, key))
            for offset, side in enumerate(("lower", "upper")):
                if entry.limits in ("both", side):
                    self.quantity(self.first + offset, f"{key}_{side}", ())
                else:
                    self.put(self.first + offset, "none", value="none")
            self.quantity(self.first + 2, f"{key}_origin", ())
            self.quantity(self.first + 3, f"{key}_limit_state", ())
            self.quantity(self.first + 4, f"{key}_floor", (), workings=True)
            self.quantity(self.first + 5, f"{key}_ceiling", (), workings=True)
            self.put_guard(self.first + 6, key, entry)
            self.row += 1

    def put_guard(self, column: int, key: str, entry: Entry) -> None:
        """Put the uncertainty that a verdict is guarded with, or say where it stands."""
        guard, loop = self.guard(entry)
        if entry.chances != 1:
            self.quantity(column, f"{key}_guard_used", (), workings=True)
        elif entry.guard == EXACT:
            self.put(column, "none", value="none")
        elif len(self.catalogue.entries[guard].over) > len(loop):
            self.put(column, "none", value="in the table")
        else:
            fixed = f"[{loop[0][0]}={loop[0][1]}]" if loop else ""
            formula = self.shapes.echo.replace("{value}", f"{{{guard}{fixed}}}")
            self.put(column, "working", formula=formula, key=guard, index=loop)

    def put_constants(self, block: Block) -> None:
        """Put every constant with its unit and its source, group by group."""
        wide = self.template.text_columns - self.first - 1
        for number, group in enumerate(read_toml(TEMPLATES / "constants.toml")["block"]):
            if number:
                self.cuts.append(self.row)  # a page may end between two groups
            for column, head, columns in (
                (self.base, group["title"], 1), (self.first, "Value", 1), (self.first + 1, "Unit", 1),
                (self.first + 2, "Source", wide),
            ):
                self.put(column, "column_header", value=head, columns=columns)
            self.row += 1
            for constant in group["constants"]:
                key, value = constant["key"], constant["value"]
                label = self.catalogue.entries[key].label
                if isinstance(value, list):
                    value = value[0 if self.build.family == "millimetre" else 1]
                self.put(self.base, self.label_role, value=label)
                self.put(self.first, "constant", name=key, key=key, value=value, label=label)
                if self.words.unit(key):
                    self.put(self.first + 1, "unit", value=self.words.unit(key))
                self.put(self.first + 2, "note", value=constant["source"], columns=wide)
                self.row += 1
            self.row += 1
        self.row -= 1

    def put_materials(self, block: Block) -> None:
        """Put the table of materials."""
        for offset, head in enumerate(("Material", "Expansion, 10⁻⁶/K", "Modulus, GPa")):
            self.put(self.base + offset, "column_header", value=head)
        self.row += 1
        for number, material in enumerate(materials(), 1):
            index = (f"m{number}",)
            for offset, (key, value) in enumerate((
                ("material_name", material["name"]),
                ("material_expansion", material["expansion"]),
                ("material_modulus", material.get("modulus", 0)),
            )):
                entry = self.catalogue.entries[key]
                self.put(self.base + offset, "constant", name=element_name(key, index), key=key, index=index,
                         value=value, label=element_label(entry, index, self.catalogue))
            self.row += 1

    def put_classes(self, block: Block) -> None:
        """Put the table of strength classes."""
        for offset, head in enumerate(("Strength class", "Proof stress, MPa", "Yield stress, MPa")):
            self.put(self.base + offset, "column_header", value=head)
        self.row += 1
        for number, strength in enumerate(bolt_classes(), 1):
            index = (f"k{number}",)
            for offset, field in enumerate(("name", "proof", "yield")):
                key = f"bolt_class_{field}"
                label = element_label(self.catalogue.entries[key], index, self.catalogue)
                self.put(self.base + offset, "constant", name=element_name(key, index), key=key, index=index,
                         value=strength[field], label=label)
            self.row += 1
