"""Expanded uncertainty of the difference between two people's readings of one place."""

from __future__ import annotations

import math
from dataclasses import dataclass

from validators.checked import Checked
from validators.gauged import Gauged

SAME, OTHER, NOT_SAID = "same gauge", "two gauges", "gauges not both named, taken as two"
TWO = "taken as two"


@dataclass(frozen=True, slots=True)
class Parts:
    """Standard uncertainties of one reading, in its shown unit; None where the sheet does not tell.

    Attributes
    ----------
    own : float
        What two people never share: resolution, repeats, thermometer.
    calibration : float
        Certificate of the gauge: shared when both used the same gauge.
    part_expansion, gauge_expansion : float
        Signed error for one standard uncertainty of the expansion figure of part and gauge.  Both people
        measured the same part, so that its error is shared.
    """

    own: float
    calibration: float
    part_expansion: float = 0.0
    gauge_expansion: float = 0.0

    @property
    def alone(self) -> float:
        """Standard uncertainty of the reading by itself."""
        return math.hypot(self.own, self.calibration, self.part_expansion, self.gauge_expansion)


def gauges_used(first: Checked, second: Checked, how: Gauged) -> str:
    """Return whether both people name the same gauge, two, or do not both say."""
    if not how.feature:
        return f"{how.way}s {TWO}"
    told = [str(copy.values.get(f"gauge_name_{how.feature}") or "").strip() for copy in (first, second)]
    if not all(told):
        return NOT_SAID
    return SAME if told[0].casefold() == told[1].casefold() else OTHER


def parts_of(copy: Checked, how: Gauged) -> Parts | None:
    """Return the standard uncertainties of one kind of reading in one copy."""
    if how.way in ("burette", "roughness tester"):
        guard = _number(copy, "volume_guard" if how.way == "burette" else "surface_uncertainty")
        factor = _number(copy, "guard_factor")
        return None if guard is None or not factor else Parts(own=guard / factor, calibration=0.0)
    row = how.feature
    reading = _number(copy, f"reading_uncertainty_{row}")
    calibration = _number(copy, f"calibration_uncertainty_{row}")
    if reading is None or calibration is None:
        return None
    if how.way == "dial":  # two readings of one dial: its calibration cancels
        return Parts(math.sqrt(2) * reading, 0.0)
    if how.way == "plain":
        return Parts(reading, calibration)
    told = [
        _number(copy, name)
        for name in (
            f"temperature_uncertainty_{row}", f"nominal_size_{row}", "expansion_uncertainty",
            f"part_temperature_{row}", f"gauge_temperature_{row}",
        )
    ]
    if None in told:
        return None
    warmth, nominal, expansion, part, gauge = (float(value) for value in told if value is not None)
    reference = float(copy.plan.by_name["reference_temperature"].value)
    measure = copy.plan.catalogue.measure_of("expansion_uncertainty")
    assert measure is not None
    per_kelvin = nominal * expansion * measure.to_si[0]
    return Parts(
        own=math.hypot(reading, warmth),
        calibration=calibration,
        part_expansion=per_kelvin * (part - reference),
        gauge_expansion=per_kelvin * (gauge - reference),
    )


def difference_uncertainty(first: Parts, second: Parts, *, same_gauge: bool) -> float:
    r"""Return the standard uncertainty of the difference of two readings of one part.

    .. math::
        u^2 = u_{o,1}^2 + u_{o,2}^2 + (e_{p,1} - e_{p,2})^2
        + (u_{c,1}^2 + u_{c,2}^2) + (e_{g,1}^2 + e_{g,2}^2)

    with one gauge in both hands the last two brackets become
    :math:`(u_{c,1} - u_{c,2})^2 + (e_{g,1} - e_{g,2})^2`: an error that both share is added with its sign
    before it is squared.

    Source
    ------
    JCGM 100, 5.2.2, with correlation one for what is shared and none for the rest (from memory).

    Examples
    --------
    >>> one = Parts(own=3.0, calibration=1.0)
    >>> difference_uncertainty(one, Parts(own=4.0, calibration=1.0), same_gauge=True)
    5.0
    """
    shared = [first.part_expansion - second.part_expansion]
    apart = [first.own, second.own]
    for one, other in (
        (first.calibration, second.calibration), (first.gauge_expansion, second.gauge_expansion)
    ):
        if same_gauge:
            shared.append(one - other)
        else:
            apart += [one, other]
    return math.hypot(*shared, *apart)


def guard_factor(first: Checked, second: Checked) -> float | None:
    """Return the factor k of the expanded uncertainty: the larger of both copies."""
    told = [_number(copy, "guard_factor") for copy in (first, second)]
    known = [value for value in told if value is not None]
    return max(known) if len(known) == len(told) else None


def _number(copy: Checked, name: str) -> float | None:
    """Return an entry or a result of a copy, None when it is missing or must be put right first."""
    if name in copy.spoilt:
        return None
    value = copy.values.get(name) if name in copy.entries else copy.reference.get(name)
    return float(value) if isinstance(value, int | float) else None
