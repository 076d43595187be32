"""The engineering verdicts of a checked sheet, with value, limits and guard beside each word."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from sheetgen.catalogue import LIMIT_SIDES
from validators.findings import Note, Verdict

if TYPE_CHECKING:
    from validators.checked import Checked

CHOICE_AXIS = "candidate"
RING_GAP, RING_GAP_VERDICT, RING_GAP_GUARD = "ring_gap_reading", "ring_gap_verdict", "plain_guard_ring_gap"
CHECK_ENTRY = "check entry"
"""The word where an entry that the verdict rests on must be put right first."""


def judged_cells(sheet: Checked) -> Iterator[tuple[str, str]]:
    """Yield each verdict cell that concerns the engine that is built, and the value that it judges.

    Of the combinations on the parts sheet only the chosen one counts, and estimates are not judged.
    """
    plan = sheet.plan
    chosen = str(sheet.values.get("chosen_candidate") or "").lower()
    for key in plan.catalogue.limited:
        over = plan.catalogue.entries[key].over
        if plan.catalogue.entries[key].advisory:
            continue
        for cell in plan.by_key[key]:
            if CHOICE_AXIS not in over or cell.index[over.index(CHOICE_AXIS)] == chosen:
                yield "_".join((f"{key}_verdict", *cell.index)), cell.name
    for cell in plan.by_key[RING_GAP_VERDICT]:
        yield cell.name, "_".join((RING_GAP, *cell.index))


def verdicts(sheet: Checked) -> Iterator[Verdict]:
    """Yield every verdict; what rests on an entry that must be put right first says "check entry"."""
    for word_cell, name in judged_cells(sheet):
        word = str(sheet.reference.get(word_cell))
        if name in sheet.spoilt or word_cell in sheet.spoilt:
            word = CHECK_ENTRY
        yield _verdict(sheet, name, word)


def _verdict(sheet: Checked, name: str, word: str) -> Verdict:
    plan = sheet.plan
    cell = plan.by_name[name]
    entry, index = plan.catalogue.entries[cell.key], cell.index
    if cell.key == RING_GAP:
        guard, origin = RING_GAP_GUARD, "the wanted gap, and the smallest that does not butt"
        limits: Mapping[str, object] = {
            side: sheet.reference.get("_".join((f"ring_gap_{word}", *index)))
            for side, word in (("lower", "least"), ("upper", "most"))
        }
    else:
        guard, origin = entry.guard, str(sheet.values.get(f"{cell.key}_origin") or "not said")
        limits = {side: sheet.values.get(f"{cell.key}_{side}") for side in LIMIT_SIDES[entry.limits]}
    return Verdict(
        name=name,
        label=cell.label,
        place=sheet.place(cell),
        value=_number(sheet.values.get(name) if cell.is_input else sheet.reference.get(name)),
        unit=plan.unit(cell.key),
        lower=_number(limits.get("lower")),
        upper=_number(limits.get("upper")),
        guard=_guard(sheet, guard, index),
        origin=origin,
        word=word,
    )


def _guard(sheet: Checked, guard: str, index: tuple[str, ...]) -> float | None:
    if guard == "exact_guard":
        return 0.0
    for name in (guard, "_".join((guard, *index))):
        if name in sheet.reference:
            return _number(sheet.reference[name])
    return _number(sheet.values.get(guard))


def _number(value: object) -> float | None:
    return float(value) if isinstance(value, int | float) else None


def judged(sheet: Checked, verdict: Verdict, told: str, todo: str) -> Note:
    """Return what to say of one verdict."""
    digits = shown_digits(sheet, sheet.plan.by_name[verdict.name].key)
    unit = f" {verdict.unit}" if verdict.unit else ""
    sides = [
        f"{side} {limit:.{digits}f}{unit}"
        for side, limit in (("at least", verdict.lower), ("at most", verdict.upper))
        if limit is not None
    ]
    value = "nothing" if verdict.value is None else f"{verdict.value:.{digits}f}{unit}"
    guard = f", U = {verdict.guard:.{digits + 1}f}{unit}" if verdict.guard else ""
    return Note(
        place=verdict.place,
        quantity=verdict.name,
        found=f"{value}{guard}: {told}",
        expected=f"{' and '.join(sides)} ({verdict.origin})",
        todo=todo,
    )


def beyond(sheet: Checked, verdict: Verdict) -> str:
    """Return by how much a value is outside its limit, as a person would say it."""
    digits = shown_digits(sheet, sheet.plan.by_name[verdict.name].key)
    limit = verdict.lower if verdict.word == "under" else verdict.upper
    if verdict.value is None or limit is None:
        return f"{verdict.word} the limit"
    return f"{verdict.word} the limit by {abs(verdict.value - limit):.{digits}f} {verdict.unit}".rstrip()


def shown_digits(sheet: Checked, key: str) -> int:
    """Return how many decimals to say of a quantity: one more than its cell shows."""
    measure = sheet.plan.catalogue.measure_of(key)
    family = sheet.plan.build.family
    return measure.decimals[0 if family == "millimetre" else 1] + 1 if measure else 3
