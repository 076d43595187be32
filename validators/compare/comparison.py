"""Two returned copies of one workbook, reading by reading and verdict by verdict."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from sheetgen.catalogue import FAMILIES
from sheetgen.errors import DefinitionError
from sheetgen.plan import PlannedCell
from validators.agree import agrees
from validators.checked import Checked
from validators.compare.agreement import Agreement, agreement
from validators.compare.difference import (
    SAME,
    difference_uncertainty,
    gauges_used,
    guard_factor,
    parts_of,
)
from validators.copies import open_copies, sheet_findings, titles
from validators.findings import Severity
from validators.gauged import Gauged, gauged
from validators.readings import day

ASSUMED = (
    "Difference is the first copy less the second. Sizes are compared at 20 °C; dials and heights, whose "
    "zero each person chooses, by the result that follows from them; everything else as it was typed.",
    "Uncertainty of a difference: resolution, repeats and thermometers of two people are independent; the "
    "expansion figure of the part is one and the same error in both; certificate and expansion of the gauge "
    "cancel as far as they are equal where both name the same gauge, and are independent where they name two "
    "gauges or not both say. Burettes and roughness testers are taken as two. First order (JCGM 100, from "
    "memory).",
    "Limits of agreement are bias ± 1.96 s, after Bland and Altman (from memory). They take the differences "
    "as normal and independent; several readings of one part are less than fully independent.",
)
NO_UNCERTAINTY = "the gauges sheet does not tell its uncertainty"


@dataclass(frozen=True, slots=True)
class Pair:
    """One reading in both copies; `expanded` is U of the difference, None when the sheet does not tell."""

    name: str
    label: str
    sheet: str
    cell: str
    first: float
    second: float
    expanded: float | None

    @property
    def difference(self) -> float:
        """First less second."""
        return self.first - self.second

    @property
    def mean(self) -> float:
        """Mean of both."""
        return (self.first + self.second) / 2

    @property
    def disagrees(self) -> bool:
        """Whether the difference is more than both gauges explain."""
        return (
            self.expanded is not None
            and abs(self.difference) > self.expanded
            and not agrees(abs(self.difference), self.expanded)
        )


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of reading: all its pairs, how they agree, and what is assumed of the gauges."""

    key: str
    label: str
    unit: str
    decimals: int
    gauges: str
    pairs: tuple[Pair, ...]
    agreement: Agreement

    @property
    def disagreeing(self) -> tuple[Pair, ...]:
        """The pairs that differ by more than their uncertainty."""
        return tuple(pair for pair in self.pairs if pair.disagrees)

    @property
    def is_equal(self) -> bool:
        """Whether no reading differs at all."""
        return all(agrees(pair.first, pair.second) for pair in self.pairs)

    @property
    def note(self) -> str:
        """What is assumed or missing."""
        if any(pair.expanded is None for pair in self.pairs):
            return f"{self.gauges}; {NO_UNCERTAINTY}, so that nothing is said of single readings"
        return self.gauges


@dataclass(frozen=True, slots=True)
class Differing:
    """Something that reads differently in both copies."""

    name: str
    label: str
    sheet: str
    cell: str
    first: str
    second: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """What comes of two copies."""

    files: tuple[str, str]
    job: str
    layout: str
    family: str
    factor: float | None
    kinds: tuple[Kind, ...]
    only_first: int
    only_second: int
    left_out: tuple[Differing, ...]
    verdicts: tuple[Differing, ...]
    verdicts_alike: int
    other_entries: tuple[Differing, ...]
    faults: tuple[int, int]

    @property
    def disagreeing(self) -> int:
        """How many readings disagree beyond their uncertainty."""
        return sum(len(kind.disagreeing) for kind in self.kinds)

    @property
    def exit_status(self) -> int:
        """0 nothing to act on, 1 something to act on."""
        return 1 if self.disagreeing or self.verdicts or self.left_out or any(self.faults) else 0


def compare(first: Path | str, second: Path | str) -> Comparison:
    """Compare two people's readings of the same parts.

    Parameters
    ----------
    first, second : path
        Returned copies of one issued workbook.

    Raises
    ------
    DefinitionError
        A copy cannot be read, they were written from two plans, they are one and the same file, or no
        reading is in both.
    """
    one, two = open_copies([Path(first), Path(second)])
    if one.returned.digest == two.returned.digest:
        raise DefinitionError(str(two.path), f"it is {one.path.name} over again, byte for byte")
    kinds = tuple(_kinds(one, two))
    if not kinds:
        raise DefinitionError(
            str(two.path), f"no reading stands in it and in {one.path.name}: there is nothing to compare"
        )
    names = titles((one, two))
    only = [0, 0]
    for name in _readings(one):
        has = [bool(copy.entries[name].text.strip()) for copy in (one, two)]
        if has[0] != has[1]:
            only[has.index(True)] += 1
    verdicts, alike = _verdicts(one, two)
    job = one.values.get("job_number")
    return Comparison(
        files=(names[0], names[1]),
        job="" if job is None else entry_text(one, one.plan.by_name["job_number"]),
        layout=one.plan.build.layout.name,
        family=one.plan.build.family,
        factor=guard_factor(one, two),
        kinds=kinds,
        only_first=only[0],
        only_second=only[1],
        left_out=tuple(_left_out(one, two)),
        verdicts=verdicts,
        verdicts_alike=alike,
        other_entries=tuple(_other_entries(one, two)),
        faults=(_faults(one), _faults(two)),
    )


def _readings(copy: Checked) -> Iterator[str]:
    """Yield the name of every reading of a part, in the order of the sheets."""
    entries = copy.plan.catalogue.entries
    for cell in copy.plan.cells:
        if cell.is_input and gauged(copy.plan.catalogue, entries[cell.key]) is not None:
            yield cell.name


def _kinds(one: Checked, two: Checked) -> Iterator[Kind]:
    plan = one.plan
    compared: dict[str, Gauged] = {}
    for name in _readings(one):
        key = plan.by_name[name].key
        how = gauged(plan.catalogue, plan.catalogue.entries[key])
        assert how is not None
        compared.setdefault(how.compared if how.way == "dial" else key, how)
    for key, how in compared.items():
        entry, cells = plan.catalogue.entries[key], plan.by_key[key]
        measure = plan.catalogue.measure_of(key)
        assert measure is not None
        expanded, gauges = _expanded(one, two, how)
        pairs = []
        for cell in cells:
            values = [_compared(copy, cell, how) for copy in (one, two)]
            if values[0] is not None and values[1] is not None:
                label = one.label(cell)
                pairs.append(Pair(cell.name, label, cell.sheet, cell.address, values[0], values[1], expanded))
        if pairs:
            yield Kind(
                key=key,
                label=f"{entry.label} ({cells[0].sheet})",
                unit=plan.unit(key),
                decimals=measure.decimals[FAMILIES.index(plan.build.family)],
                gauges=gauges,
                pairs=tuple(pairs),
                agreement=agreement([p.first for p in pairs], [p.second for p in pairs]),
            )


def _expanded(one: Checked, two: Checked, how: Gauged) -> tuple[float | None, str]:
    gauges = gauges_used(one, two, how)
    parts = parts_of(one, how), parts_of(two, how)
    factor = guard_factor(one, two)
    if parts[0] is None or parts[1] is None or factor is None:
        return None, gauges
    return factor * difference_uncertainty(parts[0], parts[1], same_gauge=gauges == SAME), gauges


def _compared(copy: Checked, cell: PlannedCell, how: Gauged) -> float | None:
    """Return what is compared of a reading, None when it is missing or must be put right first."""
    if cell.is_input and (cell.name in copy.unusable or copy.values.get(cell.name) is None):
        return None
    name = "_".join((how.compared, *cell.index))
    if name in copy.spoilt:
        return None
    value = copy.values.get(name) if name in copy.entries else copy.reference.get(name)
    return float(value) if isinstance(value, int | float) else None


def _left_out(one: Checked, two: Checked) -> Iterator[Differing]:
    """Yield readings that stand in both copies and cannot be compared, with what stands there."""
    for name in _readings(one):
        cell = one.plan.by_name[name]
        how = gauged(one.plan.catalogue, one.plan.catalogue.entries[cell.key])
        assert how is not None
        stands = [copy.entries[name].text for copy in (one, two)]
        values = [_compared(copy, cell, how) for copy in (one, two)]
        if how.way != "dial" and all(stands) and None in values:
            told = [
                text if value is not None else f"{text} (check entry)"
                for text, value in zip(stands, values, strict=True)
            ]
            yield _differing(one, cell, *told)


def _verdicts(one: Checked, two: Checked) -> tuple[tuple[Differing, ...], int]:
    other = {verdict.name: verdict.word for verdict in two.verdicts}
    differing = tuple(
        _differing(one, one.plan.by_name[v.name], v.word, other.get(v.name, "of another combination"))
        for v in one.verdicts
        if v.word != other.get(v.name)
    )
    return differing, len(one.verdicts) - len(differing)


def _other_entries(one: Checked, two: Checked) -> Iterator[Differing]:
    """Yield what is typed differently besides the readings: gauges, marks, words, what was given."""
    readings = set(_readings(one))
    for cell in one.plan.cells:
        if cell.is_input and cell.name not in readings:
            texts = [entry_text(copy, cell) for copy in (one, two)]
            if not agrees(one.values[cell.name], two.values[cell.name]) or (
                texts[0].strip().casefold() != texts[1].strip().casefold()
                and not isinstance(one.values[cell.name], float)
            ):
                yield _differing(one, cell, *texts)


def entry_text(copy: Checked, cell: PlannedCell) -> str:
    """Return what stands in an entry as a person reads it; "" when it is blank."""
    value = copy.values[cell.name]
    if copy.plan.catalogue.entries[cell.key].text == "date" and isinstance(value, float):
        return day(value, counts_from_1904=copy.returned.counts_from_1904) or copy.entries[cell.name].text
    return copy.entries[cell.name].text


def _differing(copy: Checked, cell: PlannedCell, first: str, second: str) -> Differing:
    return Differing(cell.name, copy.label(cell), cell.sheet, cell.address, first, second)


def _faults(copy: Checked) -> int:
    return sum(f.severity is Severity.BLOCKS for f in sheet_findings(copy))


