"""The lists that a shop keeps beside the workbook: shells in stock, masses of parts, parts on offer."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from sheetgen.errors import DefinitionError, nearest

LARGEST_LIST = 1_000_000
MOST_ROWS = 2000
BEARINGS = ("main", "rod")
HALVES = ("upper", "lower", "either")
WEIGHED = ("piston", "pin", "rod")
OFFERED = ("rod", "piston", "gasket")
STOCK_COLUMNS = ("bearing", "grade", "half", "count")
MASS_COLUMNS = ("kind", "mark", "mass", "uncertainty")
OFFER_COLUMNS = (
    "kind",
    "mark",
    "length",
    "compression_height",
    "thickness",
    "crown_volume",
    "mass",
    "price",
)
NEEDED = {
    "rod": ("length",),
    "piston": ("compression_height", "crown_volume"),
    "gasket": ("thickness",),
}


@dataclass(frozen=True)
class ShellStock:
    """Shells in stock: grade (without regard to case) and half to their number, of one kind of bearing."""

    counts: Mapping[tuple[str, str], int] = field(default_factory=dict)
    unlimited: bool = True
    names: Mapping[str, str] = field(default_factory=dict)

    def count(self, grade: str, half: str) -> int:
        """Return how many there are; none where the list does not speak of it."""
        return self.counts.get((grade.casefold(), half), 0)

    @property
    def halves(self) -> tuple[str, ...]:
        """The halves that the list speaks of."""
        return tuple(half for half in HALVES if any(told == half for _, told in self.counts))

    def with_one_more(self, grade: str, half: str) -> ShellStock:
        """Return the same stock with one more shell."""
        key = grade.casefold(), half
        return ShellStock({**self.counts, key: self.counts.get(key, 0) + 1}, False, self.names)


@dataclass(frozen=True, slots=True)
class Weighed:
    """Masses of one kind of part, by mark without regard to case, with their expanded uncertainty."""

    masses: Mapping[str, float]
    uncertainties: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Offer:
    """One part on offer, in the units of the workbook; what is not given is nan."""

    kind: str
    mark: str
    figures: Mapping[str, float]


def read_stock(path: Path) -> dict[str, ShellStock]:
    """Read the shells in stock: kind of bearing to its stock; a kind that is not named is unlimited.

    Raises
    ------
    DefinitionError
        The file cannot be read, or a line that cannot be; it is named.
    """
    counts: dict[str, dict[tuple[str, str], int]] = {}
    names: dict[str, dict[str, str]] = {}
    for where, row in rows_of(path, STOCK_COLUMNS, ("bearing", "grade", "count")):
        bearing = _one_of(where, "bearing", row["bearing"], BEARINGS)
        half = _one_of(where, "half", row["half"] or "either", HALVES)
        count = _number(where, "count", row["count"], lowest=0.0)
        if count != int(count):
            raise DefinitionError(where, f"count is a whole number, not {row['count']}")
        if not row["grade"]:
            raise DefinitionError(where, "the grade is missing")
        held = counts.setdefault(bearing, {})
        key = row["grade"].casefold(), half
        held[key] = held.get(key, 0) + int(count)
        names.setdefault(bearing, {})[key[0]] = row["grade"]
    return {
        kind: ShellStock(counts[kind], False, names[kind]) if kind in counts else ShellStock()
        for kind in BEARINGS
    }


def read_masses(path: Path) -> dict[str, Weighed]:
    """Read the masses of pistons, pins and rods, in grams: kind to its masses.

    Raises
    ------
    DefinitionError
        The file cannot be read, or a line that cannot be; it is named.
    """
    masses: dict[str, dict[str, float]] = {kind: {} for kind in WEIGHED}
    uncertainties: dict[str, dict[str, float]] = {kind: {} for kind in WEIGHED}
    for where, row in rows_of(path, MASS_COLUMNS, ("kind", "mark", "mass")):
        kind = _one_of(where, "kind", row["kind"], WEIGHED)
        mark = row["mark"].casefold()
        if not mark:
            raise DefinitionError(where, "the mark is missing")
        if mark in masses[kind]:
            raise DefinitionError(where, f"the {kind} {row['mark']} is there twice")
        masses[kind][mark] = _number(where, "mass", row["mass"], lowest=0.0)
        if row["uncertainty"]:
            uncertainties[kind][mark] = _number(where, "uncertainty", row["uncertainty"], lowest=0.0)
    return {kind: Weighed(masses[kind], uncertainties[kind]) for kind in WEIGHED}


def read_offers(path: Path) -> list[Offer]:
    """Read the parts on offer.

    Raises
    ------
    DefinitionError
        The file cannot be read, or a line that cannot be; it is named.
    """
    offers: list[Offer] = []
    for where, row in rows_of(path, OFFER_COLUMNS, ("kind", "mark")):
        kind = _one_of(where, "kind", row["kind"], OFFERED)
        if not row["mark"]:
            raise DefinitionError(where, "the mark is missing")
        if any(offer.kind == kind and offer.mark.casefold() == row["mark"].casefold() for offer in offers):
            raise DefinitionError(where, f"the {kind} {row['mark']} is there twice")
        figures = {}
        for column in OFFER_COLUMNS[2:]:
            lowest = -math.inf if column == "crown_volume" else 0.0
            figures[column] = _number(where, column, row[column], lowest=lowest) if row[column] else math.nan
        for column in NEEDED[kind]:
            if math.isnan(figures[column]):
                raise DefinitionError(where, f"a {kind} needs its {column}")
            if column != "crown_volume" and figures[column] <= 0:
                raise DefinitionError(where, f"{column} is above 0, not {row[column]}")
        offers.append(Offer(kind, row["mark"], figures))
    return offers


def rows_of(
    path: Path, columns: tuple[str, ...], needed: tuple[str, ...]
) -> Iterator[tuple[str, dict[str, str]]]:
    """Yield where each line stands and its cells by column; the list may use commas or semicolons.

    A list with semicolons may write its numbers with decimal commas.
    """
    try:
        if path.stat().st_size > LARGEST_LIST:
            raise DefinitionError(str(path), f"a list has at most {LARGEST_LIST} bytes")
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise DefinitionError(str(path), "there is no such file") from None
    except OSError as error:
        raise DefinitionError(str(path), f"it cannot be read ({error.strerror})") from None
    except UnicodeDecodeError:
        raise DefinitionError(str(path), "it is not UTF-8 text") from None
    if "\0" in text:
        raise DefinitionError(str(path), "it is not a list in text form")
    first = next((line for line in text.splitlines() if line.strip()), "")
    between = ";" if ";" in first else ","
    try:
        lines = list(csv.reader(io.StringIO(text), delimiter=between, strict=True))
    except csv.Error as error:
        raise DefinitionError(str(path), f"it is not a list with one part per line ({error})") from None
    numbered = [
        (n, [cell.strip() for cell in line]) for n, line in enumerate(lines, 1) if any(map(str.strip, line))
    ]
    if not numbered:
        raise DefinitionError(str(path), f"it is empty; its first line is: {','.join(columns)}")
    if len(numbered) - 1 > MOST_ROWS:
        raise DefinitionError(str(path), f"a list has at most {MOST_ROWS} lines")
    head = [name.casefold().replace(" ", "_") for name in numbered[0][1]]
    for name in head:
        if name not in columns:
            raise DefinitionError(f"{path}, line 1", f"unknown column '{name}'{nearest(name, columns)}")
        if head.count(name) > 1:
            raise DefinitionError(f"{path}, line 1", f"the column {name} is there twice")
    for name in needed:
        if name not in head:
            raise DefinitionError(f"{path}, line 1", f"the column {name} is missing")
    for number, cells in numbered[1:]:
        where = f"{path}, line {number}"
        if len(cells) > len(head):
            raise DefinitionError(where, f"{len(cells)} cells, and {len(head)} columns")
        row = dict(zip(head, cells, strict=False))
        yield (
            where,
            {
                name: row.get(name, "").replace(",", ".")
                if between == ";" and name not in ("mark", "grade")
                else row.get(name, "")
                for name in columns
            },
        )


def _one_of(where: str, column: str, value: str, known: tuple[str, ...]) -> str:
    if value.casefold() not in known:
        raise DefinitionError(where, f"{column} is one of {', '.join(known)}, not '{value}'")
    return value.casefold()


def _number(where: str, column: str, text: str, *, lowest: float) -> float:
    try:
        value = float(text)
    except ValueError:
        raise DefinitionError(where, f"{column} is a number, not '{text}'") from None
    if not math.isfinite(value) or value < lowest or abs(value) > 1e9:
        raise DefinitionError(where, f"{column} cannot be {text}")
    return value
