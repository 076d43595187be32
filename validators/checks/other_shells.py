"""Other shells would land nearer the wanted clearance.

What it finds: a bearing for which the offered pair nearest the wanted clearance is not the pair that is in
(it may be an odd one), or for which no pair is offered.
Why it matters: the sheet offers it, the builder decides.
Example: main bearing 4: a thin upper and a standard lower shell would give 0.050 mm.
What to do: try the pair that is named, torque it and measure.
"""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.checks.impossible_pair import impossible
from validators.errors import quoted
from validators.findings import Note, Severity
from validators.judged import apart_digits, shown_digits

CODE = "LIMIT05"
NAME = "other-shells"
SEVERITY = Severity.INFORMATION
NOT_GOOD = ("under", "over", "too close to call")


def find(sheet: Checked) -> Iterator[Note]:
    """List bearings with a nearer pair of shells; where parts cannot go together, that comes first."""
    told = impossible(sheet)
    for bearing in ("main", "rod"):
        for cell in sheet.plan.by_key[f"{bearing}_shell_advice"]:
            word = sheet.reference.get(cell.name)
            name = "_".join((f"{bearing}_clearance", *cell.index))
            clearance = sheet.reference.get(name)
            if cell.name in sheet.spoilt or name in told or not isinstance(clearance, float):
                continue
            if word in ("change", "odd pair", "no pair offered"):
                yield _advice(sheet, bearing, cell, str(word), clearance)


def _advice(sheet: Checked, bearing: str, cell: PlannedCell, word: str, clearance: float) -> Note:
    place = "_".join(cell.index)
    pick = sheet.reference.get(f"{bearing}_pick_clearance_{place}")
    verdict = sheet.reference.get(f"{bearing}_clearance_verdict_{place}")
    unit = sheet.plan.unit(f"{bearing}_clearance")
    digits = next(
        (told.decimals for told in sheet.verdicts if told.name == f"{bearing}_clearance_{place}"),
        shown_digits(sheet, f"{bearing}_clearance"),
    )
    target = sheet.values.get(f"{bearing}_clearance_target")
    if isinstance(pick, float):
        if isinstance(target, int | float):
            digits = apart_digits(digits, (clearance, pick), (abs(clearance - target), abs(pick - target)))
        upper, lower = (
            _grade(sheet.reference.get(f"{bearing}_pick_{half}_{place}")) for half in ("upper", "lower")
        )
        odd = ", an odd pair" if word == "odd pair" else ""
        expected = f"upper {upper}, lower {lower}: {pick:.{digits}f} {unit}{odd}"
        todo = "Try the pair that is named, torque it and measure."
    else:
        expected = "walls of the offered grades, and rules for pairs that allow one"
        todo = "Enter the walls of the grades that can be had, or loosen the rules for pairs."
    return Note(
        place=sheet.place(cell),
        quantity=cell.name,
        severity=Severity.LOOK if verdict in NOT_GOOD else None,
        found=f"{clearance:.{digits}f} {unit} ({verdict}) with the shells that are in",
        expected=expected,
        todo=todo,
    )


def _grade(name: object) -> str:
    return f"{name:.10g}" if isinstance(name, float) else quoted(str(name))
