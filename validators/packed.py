"""The entries in which copies of one job differ, packed: a pile may hold half as many jobs as files."""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple, overload

from validators.findings import Difference, Place
from validators.kept_form import PACKED_QUICKLY


class EntryCell(NamedTuple):
    """An entry: its name, and where it stands in a workbook as it was written."""

    name: str
    sheet: str
    cell: str
    label: str


class PackedDifferences(Sequence[Difference]):
    """Differences that are unpacked each time they are gone through, in a twentieth of the memory.

    Whoever needs them more than once keeps them for as long as one job is looked at.

    Parameters
    ----------
    entries : sequence of EntryCell
        All entries of the workbook; jobs of one template share them.
    differences : iterable of Difference
        In the order of the entries, all with their place in one file.
    """

    __slots__ = ("_count", "_entries", "_file", "_packed")

    def __init__(self, entries: Sequence[EntryCell], differences: Iterable[Difference]) -> None:
        held = tuple(differences)
        self._entries, self._count = entries, len(held)
        self._file = held[0].place.file if held else ""
        numbers = {entry.name: number for number, entry in enumerate(entries)}
        rows = [self._row(numbers[told.name], told) for told in held]
        text = json.dumps(rows, separators=(",", ":"))
        self._packed = zlib.compress(text.encode(), PACKED_QUICKLY)

    def _row(self, number: int, told: Difference) -> list[object]:
        entry, place = self._entries[number], (told.place.sheet, told.place.cell)
        moved = place if place != (entry.sheet, entry.cell) else None
        return [number, moved, told.issued, *told.values]

    def __len__(self) -> int:
        return self._count

    def __iter__(self) -> Iterator[Difference]:
        for number, moved, issued, *values in json.loads(zlib.decompress(self._packed)):
            entry = self._entries[number]
            sheet, cell = moved or (entry.sheet, entry.cell)
            place = Place(file=self._file, sheet=sheet, cell=cell, label=entry.label)
            yield Difference(name=entry.name, place=place, issued=issued, values=tuple(values))

    @overload
    def __getitem__(self, at: int) -> Difference: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[Difference, ...]: ...
    def __getitem__(self, at: int | slice) -> Difference | tuple[Difference, ...]:
        return tuple(self)[at]

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Sequence):
            return NotImplemented
        return len(self) == len(other) and all(one == beside for one, beside in zip(self, other, strict=True))

    def __hash__(self) -> int:
        return hash((self._file, self._packed))
