"""Other shells would land nearer the wanted clearance.

What it finds: a bearing for which the offered pair nearest the wanted clearance is not the pair that is in; it may be an odd one.
Why it matters: the sheet offers it, the builder decides.
Example: main bearing 4: a thin upper and a standard lower shell would give 0.050 mm.
What to do: try the pair that is named, and measure.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "LIMIT05"
NAME = "other-shells"
SEVERITY = Severity.INFORMATION


def find(sheet: Checked) -> Iterator[Note]:
    """List bearings with a nearer pair of shells."""
    for bearing in ("main", "rod"):
        for cell in sheet.plan.by_key[f"{bearing}_shell_advice"]:
            word = sheet.reference.get(cell.name)
            if word not in ("change", "odd pair", "no pair offered"):
                continue
            place = "_".join(cell.index)
            clearance = sheet.reference.get(f"{bearing}_clearance_{place}")
            pick = sheet.reference.get(f"{bearing}_pick_clearance_{place}")
            unit = sheet.plan.unit(f"{bearing}_clearance")
            verdict = sheet.reference.get(f"{bearing}_clearance_verdict_{place}")
            now = f"{clearance:.4f} {unit} ({verdict})" if isinstance(clearance, float) else "not measured"
            if isinstance(pick, float):
                pair = [sheet.reference.get(f"{bearing}_pick_{half}_{place}") for half in ("upper", "lower")]
                expected = f"upper {pair[0]}, lower {pair[1]}: {pick:.4f} {unit}"
                expected += ", an odd pair" if word == "odd pair" else ""
            else:
                expected = "an offered pair that fits the rules for pairs"
            yield Note(
                place=sheet.place(cell),
                quantity=cell.name,
                severity=Severity.LOOK if verdict in ("under", "over", "too close to call") else None,
                found=f"{now} with the shells that are in",
                expected=expected,
                todo="Try the pair that is named, torque it and measure.",
            )
