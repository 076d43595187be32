"""The only tolerance in the code: when two results are the same."""

from __future__ import annotations

import math

RELATIVE = 1e-9
ABSOLUTE = 1e-12


def agrees(one: float | str | None, other: float | str | None, floor: float = ABSOLUTE) -> bool:
    """Return whether two results, in the unit the sheet shows, are the same.

    Numbers agree within one part in 10⁹, or within the floor: 10⁻¹² of the shown unit, or the larger one
    that the catalogue gives to what is left over of large numbers, such as unbalanced masses. An empty
    text is no value.

    Examples
    --------
    >>> agrees(0.055, 0.055 * (1 + 1e-10)), agrees(0.055, 0.0551)
    (True, False)
    >>> agrees("", None), agrees("within", "Within"), agrees("", 0.0)
    (True, True, False)
    >>> agrees(3e-10, 0.0), agrees(3e-10, 0.0, floor=1e-8)
    (False, True)
    """
    if type(one) is float and type(other) is float:
        return math.isclose(one, other, rel_tol=RELATIVE, abs_tol=max(floor, ABSOLUTE))
    if one is None or one == "":
        return other is None or other == ""
    if other is None or other == "":
        return False
    if isinstance(one, str) or isinstance(other, str):
        return isinstance(one, str) and isinstance(other, str) and one.casefold() == other.casefold()
    return math.isclose(one, other, rel_tol=RELATIVE, abs_tol=max(floor, ABSOLUTE))
