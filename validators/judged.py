"""The engineering verdicts of a checked sheet, with value, limits and guard beside each word."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from sheetgen.catalogue import LIMIT_SIDES, Entry
from validators.findings import Note, Verdict

if TYPE_CHECKING:
    from validators.checked import Checked

CHOICE_AXIS = "candidate"
RING_GAP, RING_GAP_VERDICT, RING_GAP_GUARD = "ring_gap_reading", "ring_gap_verdict", "plain_guard_ring_gap"
BY_PIN_FIT = {"bush_pin_clearance": "floating", "pin_interference": "pressed"}
"""Judged values of which one must be there: by how the pin sits in the rod."""
PIN_FIT = {**BY_PIN_FIT, "pin_end_clearance": "floating", "press_temperature": "pressed"}
"""Judged values that only one way of the pin in the rod has."""
MOST_DIGITS = 10
_TOLD_BY_DIGITS = ("under", "over", "within", "too close to call")
CHECK_ENTRY = "check entry"
"""The word where an entry that the verdict rests on must be put right first."""


def judged_cells(sheet: Checked) -> Iterator[tuple[str, str]]:
    """Yield each verdict cell that concerns the engine that is built, and the value that it judges.

    Of the combinations on the parts sheet only the chosen one counts, of a pin only what goes for a
    floating or for a pressed one, and estimates are not judged.
    """
    plan = sheet.plan
    chosen = str(sheet.values.get("chosen_candidate") or "").lower()
    pin_fit = str(sheet.values.get("pin_fit") or "")
    for key in plan.catalogue.limited:
        if pin_fit and PIN_FIT.get(key, pin_fit) != pin_fit:
            continue
        over = plan.catalogue.entries[key].over
        if plan.catalogue.entries[key].advisory:
            continue
        for cell in plan.by_key[key]:
            if CHOICE_AXIS not in over or cell.index[over.index(CHOICE_AXIS)] == chosen:
                yield "_".join((f"{key}_verdict", *cell.index)), cell.name
    for cell in plan.by_key[RING_GAP_VERDICT]:
        yield cell.name, "_".join((RING_GAP, *cell.index))


def may_be_open(sheet: Checked, key: str) -> bool:
    """Return whether a judged value may be missing, or without limits, in the engine at hand."""
    if key in BY_PIN_FIT:
        return sheet.values.get("pin_fit") != BY_PIN_FIT[key]
    return sheet.plan.catalogue.entries[key].optional


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
        guard, origin = guard_of(entry), str(sheet.values.get(f"{cell.key}_origin") or "not said")
        limits = {side: sheet.values.get(f"{cell.key}_{side}") for side in LIMIT_SIDES[entry.limits]}
    made = Verdict(
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
        key=cell.key,
        title=entry.label,
        decimals=shown_digits(sheet, cell.key),
    )
    digits = telling_digits(made, made.decimals)
    return made if digits == made.decimals else replace(made, decimals=digits)


def guard_of(entry: Entry) -> str:
    """Return the name of what guards the verdict of a quantity: that of an extreme is one of its own."""
    return entry.guard if entry.chances == 1 else f"{entry.key}_guard_used"


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
    """Return what to say of one verdict, in digits that do not contradict the word."""
    digits = telling_digits(verdict, shown_digits(sheet, sheet.plan.by_name[verdict.name].key))
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
    digits = telling_digits(verdict, shown_digits(sheet, sheet.plan.by_name[verdict.name].key))
    limit = verdict.lower if verdict.word == "under" else verdict.upper
    if verdict.value is None or limit is None:
        return f"{verdict.word} the limit"
    return f"{verdict.word} the limit by {abs(verdict.value - limit):.{digits}f} {verdict.unit}".rstrip()


def telling_digits(verdict: Verdict, digits: int) -> int:
    """Return how many decimals a verdict needs so that the figures, as printed, lead to its word.

    A value that is over its limit by less than the last digit would be printed as equal to it. Verdicts
    are told apart at nine decimals, so that many are always enough for the uncertainty, too.

    Examples
    --------
    >>> from validators.findings import Place
    >>> of = dict(name="", label="", place=Place(file="a.xlsx"), unit="mm", lower=0.04, origin="")
    >>> telling_digits(Verdict(**of, value=0.0651, upper=0.064, guard=0.001, word="over"), 4)
    4
    >>> telling_digits(Verdict(**of, value=0.06500004, upper=0.064, guard=0.001, word="over"), 4)
    8
    """
    for wanted in range(digits, MOST_DIGITS):
        if _word_of_printed(verdict, wanted) == verdict.word:
            return wanted
    return digits if verdict.word not in _TOLD_BY_DIGITS else MOST_DIGITS


def apart_digits(digits: int, *pairs: tuple[float, float]) -> int:
    """Return how many decimals keep figures apart, as printed, that a sentence says are apart.

    Parameters
    ----------
    digits : int
        So many at least.
    *pairs : pairs of float
        Figures of which each is said to be more, or less, than its other.

    Examples
    --------
    >>> apart_digits(4, (0.0117, 0.0)), apart_digits(4, (0.0000002, 0.0)), apart_digits(4, (0.05, 0.05))
    (4, 7, 4)
    """
    for wanted in range(digits, MOST_DIGITS):
        if all(one == other or f"{one:.{wanted}f}" != f"{other:.{wanted}f}" for one, other in pairs):
            return wanted
    return MOST_DIGITS


def _word_of_printed(verdict: Verdict, digits: int) -> str:
    """Return the word that a reader with a pencil would find from the figures as they are printed."""
    if verdict.value is None:
        return "not measured"
    value = Decimal(f"{verdict.value:.{digits}f}")
    guard = Decimal(f"{verdict.guard or 0.0:.{digits + 1}f}")
    lower, upper = (
        None if limit is None else Decimal(f"{limit:.{digits}f}") for limit in (verdict.lower, verdict.upper)
    )
    if lower is not None and value < lower - guard:
        return "under"
    if upper is not None and value > upper + guard:
        return "over"
    kept = (lower is None or value >= lower + guard) and (upper is None or value <= upper - guard)
    return "within" if kept else "too close to call"


def shown_digits(sheet: Checked, key: str) -> int:
    """Return how many decimals to say of a quantity: one more than its cell shows."""
    measure = sheet.plan.catalogue.measure_of(key)
    family = sheet.plan.build.family
    return measure.decimals[0 if family == "millimetre" else 1] + 1 if measure else 3
