"""The engineering verdicts of a checked sheet, with value, limits and guard beside each word."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from sheetgen.catalogue import LIMIT_SIDES
from validators.findings import Note, Verdict

if TYPE_CHECKING:
    from validators.checked import Checked

CHOICE_AXIS = "candidate"


def verdicts(sheet: Checked) -> Iterator[Verdict]:
    """Return every verdict that concerns the engine that is built.

    Of the combinations on the parts sheet only the chosen one counts.
    """
    plan = sheet.plan
    chosen = str(sheet.values.get("chosen_candidate") or "").lower()
    for key in plan.catalogue.limited:
        entry = plan.catalogue.entries[key]
        for cell in plan.by_key[key]:
            if CHOICE_AXIS in entry.over and cell.index[entry.over.index(CHOICE_AXIS)] != chosen:
                continue
            word = sheet.reference.get("_".join((f"{key}_verdict", *cell.index)))
            value = sheet.values.get(cell.name) if cell.is_input else sheet.reference.get(cell.name)
            limits = {
                side: sheet.values.get(f"{key}_{side}") for side in LIMIT_SIDES[entry.limits]
            }
            yield _verdict(sheet, cell.name, value, limits, str(word))
    for cell in plan.by_key["ring_gap_verdict"]:
        place = "_".join(cell.index)
        limits = {
            "lower": sheet.reference.get(f"ring_gap_least_{place}"),
            "upper": sheet.reference.get(f"ring_gap_most_{place}"),
        }
        value = sheet.values.get(f"ring_gap_reading_{place}")
        yield _verdict(
            sheet, f"ring_gap_reading_{place}", value, limits, str(sheet.reference.get(cell.name)),
            guard="plain_guard_ring_gap", origin="wanted gap, and the smallest that does not butt",
        )


def _verdict(
    sheet: Checked, name: str, value: object, limits: dict[str, object], word: str, *,
    guard: str = "", origin: str = "",
) -> Verdict:
    plan = sheet.plan
    cell = plan.by_name[name]
    entry = plan.catalogue.entries[cell.key]
    guard = guard or entry.guard
    held = sheet.reference.get(guard, sheet.reference.get("_".join((guard, *cell.index))))
    if held is None:
        held = sheet.values.get(guard)

    def number(x: object) -> float | None:
        return float(x) if isinstance(x, int | float) else None

    return Verdict(
        name=name,
        label=cell.label,
        place=sheet.place(cell),
        value=number(value),
        unit=plan.unit(cell.key),
        lower=number(limits.get("lower")),
        upper=number(limits.get("upper")),
        guard=0.0 if guard == "exact_guard" else number(held),
        origin=origin or str(sheet.values.get(f"{cell.key}_origin") or "not said"),
        word=word,
    )


def judged(sheet: Checked, verdict: Verdict, told: str, todo: str) -> Note:
    """Return what to say of one verdict."""
    digits = _digits(sheet, verdict.name)
    unit = f" {verdict.unit}" if verdict.unit else ""
    sides = [
        f"{side} {limit:.{digits}f}{unit}"
        for side, limit in (("at least", verdict.lower), ("at most", verdict.upper))
        if limit is not None
    ]
    guard = f", U = {verdict.guard:.{digits + 1}f}{unit}" if verdict.guard else ""
    return Note(
        place=verdict.place,
        quantity=verdict.name,
        found=f"{verdict.value:.{digits}f}{unit}{guard}: {told}",
        expected=f"{' and '.join(sides)} ({verdict.origin})",
        todo=todo,
    )


def _digits(sheet: Checked, name: str) -> int:
    measure = sheet.plan.catalogue.measure_of(sheet.plan.by_name[name].key)
    family = sheet.plan.build.family
    return measure.decimals[0 if family == "millimetre" else 1] + 1 if measure else 3
