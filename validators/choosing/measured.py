"""What a returned sheet says, and why it does not say more."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from sheetgen.plan import Plan
from validators.checked import Checked

MOST_TOLD = 3


@dataclass(frozen=True)
class Measured:
    """The results of one sheet in the units that it shows; what rests on a faulty entry is not there.

    Attributes
    ----------
    sheet : Checked
        The sheet as it came back.
    """

    sheet: Checked

    @property
    def plan(self) -> Plan:
        """The plan of the workbook."""
        return self.sheet.plan

    @property
    def cylinders(self) -> range:
        """Numbers of the cylinders."""
        return range(1, self.plan.build.layout.cylinders + 1)

    @cached_property
    def per_micrometre(self) -> float:
        """Micrometres in one shown unit of length: programmes count in micrometres."""
        return 1e3 if self.plan.build.family == "millimetre" else 25.4e3

    def number(self, name: str) -> float | None:
        """Return a result or an entry as a number, None when there is none that can be used."""
        if name in self.sheet.spoilt:
            return None
        value = self.sheet.reference.get(name, self.sheet.values.get(name))
        return float(value) if isinstance(value, float | int) else None

    def mark(self, name: str) -> str:
        """Return an entry as the text of its mark, "" when there is none that can be used."""
        value = None if name in self.sheet.unusable else self.sheet.values.get(name)
        return "" if value is None else f"{value:.15g}" if isinstance(value, float) else value

    def unit(self, key: str) -> str:
        """Return the unit that a quantity is shown in."""
        return self.plan.unit(key)

    def why(self, name: str) -> str:
        """Return why a result cannot be used, as a person would say it."""
        faulty = self._ancestors(name) & self.sheet.unusable
        if faulty:
            return f"{self._told(faulty)} must be put right"
        if name in self.sheet.entries:
            return f"{self._told({name})} is blank"
        blank, stuck = self.sheet.missing.reasons(name) if name in self.sheet.reference else (set(), set())
        if blank:
            return f"{self._told(blank)} {'is' if len(blank) == 1 else 'are'} blank"
        return f"{self._told(stuck or {name})} cannot be computed from what is entered"

    def _ancestors(self, name: str) -> set[str]:
        precedents = self.sheet.recompute.dependence.precedents
        seen, waiting = {name}, [name]
        while waiting:
            for before in precedents.get(waiting.pop(), set()) - seen:
                seen.add(before)
                waiting.append(before)
        return seen

    def _told(self, names: set[str]) -> str:
        cells = [cell for cell in self.plan.cells if cell.name in names]
        told = [f"{cell.sheet}!{cell.address} ({cell.label or cell.name})" for cell in cells[:MOST_TOLD]]
        more = f" and {len(cells) - MOST_TOLD} more" if len(cells) > MOST_TOLD else ""
        return ", ".join(told) + more

    # ------------------------------------------------------------ what a change would give

    def after_each(
        self, changes: list[Mapping[str, float | str | None]]
    ) -> list[dict[str, float | str | None]]:
        """Return every result of the reference core for each set of changed entries."""
        usable = {
            name: None if name in self.sheet.unusable else value for name, value in self.sheet.values.items()
        }
        results = self.sheet.recompute.reference([{**usable, **change} for change in changes])
        return [{name: values[number] for name, values in results.items()} for number in range(len(changes))]


def out_of_limits(read: Measured, key: str, rows: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    """Name the places whose clearance is not surely within its limits, and by how much."""
    guard, unit = read.number(f"{key}_guard_used"), read.unit(key)
    for side, sign in (("lower", 1.0), ("upper", -1.0)):
        limit = read.number(f"{key}_{side}")
        if limit is None or guard is None:
            continue
        short = {row["place"]: rounded(sign * (row["clearance"] - limit) - guard) for row in rows}
        told = [f"{place} by {-left:.4g} {unit}" for place, left in short.items() if left < 0]
        if told:
            yield (
                f"not surely within the {side} limit, {limit:.6g} {unit} (uncertainty counted): "
                f"{', '.join(told)}"
            )


def rounded(value: float) -> float:
    """Return a number as sizes are compared: at nine decimals of the shown unit."""
    return round(value, 9)
