"""Two models of the oil film side by side: the closed form of the sheets, and the Reynolds equation.

``python -m validators.film_comparison`` writes the page that tells how far they are apart.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from sheetgen.catalogue import load_catalogue
from validators.reference.constants import CONSTANTS
from validators.reference.film_formula import finite_sommerfeld, least_gap, short_sommerfeld
from validators.reference.reynolds import solved_bearing

PAGE = Path(__file__).parent / "reference" / "OIL_FILM.md"
LENGTHS = (0.25, 0.35, 0.5, 0.7, 1.0)
ECCENTRICITIES = (0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95)
FIT = tuple(CONSTANTS[f"film_end_{part}"] for part in ("level", "length", "gap", "linear", "square"))

TOP = """\
# The oil film: two models side by side

*Written by `python -m validators.film_comparison`; a test compares it with what that gives.*

A sheet computes the least film from a closed form, because a cell cannot solve a differential
equation. The core states the same form again, so that sheet and core can be compared to nine digits.
`reynolds.py` is another model of the same bearing and takes nothing from the form: it solves the
Reynolds equation by finite differences, with the film beginning at the widest gap and tearing where
it would be drawn apart.

Both speak of a full, round, stiff journal bearing under a steady load, with oil of one temperature.
A crank bearing is none of these things all the time. The films are for comparing clearances, oils
and speeds; they are no reason to release an engine or to hold it.

S is the Sommerfeld number (D/C)² η n / P with the diametral clearance C. *Film* compares the least
film at equal S: that of the closed form, read between rows of eccentricity as the sheets do, over
that of the equation, less one. *Attitude* is the angle from the load to the least film, by the
equation; the closed form does not give it.

| L/D | eccentricity | S, equation | S, closed form | form - equation, % | film, % | attitude, ° |
| --- | --- | --- | --- | --- | --- | --- |
"""
END = """
Farthest apart: {number:.1f} % in S, {film:.1f} % in the film.

The form was fitted for a length of 0.2 to 1 times the diameter and an eccentricity of 0.10 to 0.97.
Outside, the sheets show no film and say so.
"""


def compared(length: float) -> np.ndarray:
    """Compare the models at one length over diameter.

    Parameters
    ----------
    length : float
        Length over diameter.

    Returns
    -------
    rows : shape (eccentricities, 6)
        Eccentricity; Sommerfeld number by the equation and by the form; how much more the form says
        of the number and of the film, in per cent; attitude in degrees.
    """
    tried = np.array(ECCENTRICITIES)
    solved = solved_bearing(tried, length)
    formed = finite_sommerfeld(short_sommerfeld(tried), tried, length, FIT)
    nodes = np.array([float(told) for told in load_catalogue().axes["node"].elements.values()])
    rows = finite_sommerfeld(short_sommerfeld(nodes), nodes, length, FIT)
    gap = least_gap(solved.sommerfeld[:, np.newaxis], rows, nodes)
    return np.column_stack(
        [
            tried,
            solved.sommerfeld,
            formed,
            100 * (formed / solved.sommerfeld - 1),
            100 * (gap / (1 - tried) - 1),
            np.degrees(solved.attitude),
        ]
    )


def page() -> str:
    """Return the page."""
    tables = {length: compared(length) for length in LENGTHS}
    lines = [
        f"| {length:.2f} | {tried:.2f} | {solved:.4g} | {formed:.4g} | {number:+.1f} | {film:+.1f} "
        f"| {attitude:.1f} |\n"
        for length, table in tables.items()
        for tried, solved, formed, number, film, attitude in table
    ]
    farthest = np.max(np.abs(np.concatenate(list(tables.values()))), axis=0)
    return TOP + "".join(lines) + END.format(number=farthest[3], film=farthest[4])


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
