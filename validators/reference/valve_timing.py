"""Valve events: duration, lobe centres, overlap, and the way from valve to piston."""

import numpy as np

from validators.reference.present import smallest_present
from validators.reference.value import Value

# Along the axis of the valves: intake, exhaust.
_IS_INTAKE = np.array([True, False])


def intake_to_piston(valve_drop_intake: Value) -> Value:
    r"""Smallest way from the intake valve to the piston, of those that were measured.

    .. math:: \min_\theta a

    Parameters
    ----------
    valve_drop_intake : shape (..., drop), [m]
        Valve drop to the piston, intake.

    Returns
    -------
    intake_to_piston : shape (...), [m]
        Intake valve to piston, least.

    Notes
    -----
    Drops that were not measured are passed over; nan where there is none. Between two crank angles
    the way may be a little smaller.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(intake_to_piston(np.array([3.10, 2.62, 2.35, 2.28, np.nan])))
    2.28
    """
    return smallest_present(valve_drop_intake)


def exhaust_to_piston(valve_drop_exhaust: Value) -> Value:
    r"""Smallest way from the exhaust valve to the piston, of those that were measured.

    .. math:: \min_\theta a

    Parameters
    ----------
    valve_drop_exhaust : shape (..., drop), [m]
        Valve drop to the piston, exhaust.

    Returns
    -------
    exhaust_to_piston : shape (...), [m]
        Exhaust valve to piston, least.

    Notes
    -----
    Drops that were not measured are passed over; nan where there is none. Between two crank angles
    the way may be a little smaller.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(exhaust_to_piston(np.array([3.10, 2.62, 2.35, 2.28, np.nan])))
    2.28
    """
    return smallest_present(valve_drop_exhaust)


def valve_duration(valve_opens: Value, valve_closes: Value) -> Value:
    r"""Crank angle over which a valve is off its seat, at the lift at which it was read.

    .. math:: D = o + \pi + c

    Parameters
    ----------
    valve_opens : shape (..., valve), [rad]
        Valve opens before the dead centre.
    valve_closes : shape (..., valve), [rad]
        Valve closes after the dead centre.

    Returns
    -------
    valve_duration : shape (..., valve), [rad]
        Duration.

    Notes
    -----
    nan where an input is missing. Between the two dead centres lies half a turn.

    Source
    ------
    Sum of the angles.

    Examples
    --------
    >>> float(np.degrees(valve_duration(np.radians(4.0), np.radians(36.0))))
    220.0
    """
    return valve_opens + np.pi + valve_closes


def lobe_centre(valve_duration: Value, valve_opens: Value, valve_closes: Value) -> Value:
    r"""Centre of a lobe from top dead centre: after it for the intake, before it for the exhaust.

    .. math:: \frac{D_i}{2} - o_i, \qquad \frac{D_e}{2} - c_e

    Parameters
    ----------
    valve_duration : shape (..., valve), [rad]
        Duration.
    valve_opens : shape (..., valve), [rad]
        Valve opens before the dead centre.
    valve_closes : shape (..., valve), [rad]
        Valve closes after the dead centre.

    Returns
    -------
    lobe_centre : shape (..., valve), [rad]
        Lobe centre from top.

    Notes
    -----
    nan where an input is missing. Right for a lobe that is symmetrical at the lift of the reading.

    Source
    ------
    The middle between opening and closing.

    Examples
    --------
    >>> events = np.radians([220.0, 226.0]), np.radians([4.0, 44.0]), np.radians([36.0, 2.0])
    >>> np.degrees(lobe_centre(*events)).tolist()
    [106.0, 111.0]
    """
    at_top = np.where(_IS_INTAKE, valve_opens, valve_closes)
    return valve_duration / 2 - at_top


def lobe_separation(lobe_centre_intake: Value, lobe_centre_exhaust: Value) -> Value:
    r"""Angle between the two lobes, as an angle of the cam.

    .. math:: \frac{\gamma_i + \gamma_e}{2}

    Parameters
    ----------
    lobe_centre_intake : shape (...), [rad]
        Lobe centre from top, intake.
    lobe_centre_exhaust : shape (...), [rad]
        Lobe centre from top, exhaust.

    Returns
    -------
    lobe_separation : shape (...), [rad]
        Lobe separation.

    Notes
    -----
    nan where an input is missing. The cam turns at half the speed of the crank.

    Source
    ------
    Definition; common practice, no source.

    Examples
    --------
    >>> lobe_separation(106.0, 111.0)
    108.5
    """
    return (lobe_centre_intake + lobe_centre_exhaust) / 2


def valve_overlap(valve_opens_intake: Value, valve_closes_exhaust: Value) -> Value:
    r"""Crank angle over which both valves are off their seats.

    .. math:: o_i + c_e

    Parameters
    ----------
    valve_opens_intake : shape (...), [rad]
        Valve opens before the dead centre, intake.
    valve_closes_exhaust : shape (...), [rad]
        Valve closes after the dead centre, exhaust.

    Returns
    -------
    valve_overlap : shape (...), [rad]
        Overlap.

    Notes
    -----
    nan where an input is missing. Negative where both are closed between.

    Source
    ------
    Sum of the angles.

    Examples
    --------
    >>> valve_overlap(4.0, 2.0)
    6.0
    """
    return valve_opens_intake + valve_closes_exhaust


def cam_advance(lobe_separation: Value, lobe_centre_intake: Value) -> Value:
    r"""How far the cam is turned ahead of where both lobes lie alike about top dead centre.

    .. math:: \frac{\gamma_i + \gamma_e}{2} - \gamma_i

    Parameters
    ----------
    lobe_separation : shape (...), [rad]
        Lobe separation.
    lobe_centre_intake : shape (...), [rad]
        Lobe centre from top, intake.

    Returns
    -------
    cam_advance : shape (...), [rad]
        Cam advance.

    Notes
    -----
    nan where an input is missing. Negative where the cam is behind. An angle of the crank.

    Source
    ------
    Definition; common practice, no source.

    Examples
    --------
    >>> cam_advance(108.5, 106.0)
    2.5
    """
    return lobe_separation - lobe_centre_intake
