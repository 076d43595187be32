"""What the chosen gasket leaves between piston and head."""

from validators.reference.value import Value


def head_clearance_static(
    gasket_chosen: Value, deck_clearance_mean: Value, crown_step: Value
) -> Value:
    r"""Clearance from piston to head with the chosen gasket, engine at rest.

    .. math:: t + \delta + o

    Parameters
    ----------
    gasket_chosen : shape (..., bank), [m]
        Gasket chosen, compressed.
    deck_clearance_mean : shape (..., cylinder), [m]
        Deck clearance.
    crown_step : shape (...), [m]
        Crown or chamber step (recess +).

    Returns
    -------
    head_clearance_static : shape (..., cylinder), [m]
        Piston to head, static.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Sum of the heights.

    Examples
    --------
    >>> head_clearance_static(0.8, 0.28, 0.0)
    1.08
    """
    return gasket_chosen + deck_clearance_mean + crown_step


def head_clearance_speed(
    gasket_chosen: Value,
    deck_clearance_least: Value,
    crown_step: Value,
    rod_stretch: Value,
    take_up: Value,
    thermal_rise_counted: Value,
) -> Value:
    r"""Clearance from piston to head with the chosen gasket, at the highest speed.

    .. math:: t + \delta_{least} + o - \Delta_{stretch} - \Delta_{take-up} - \max(0, \Delta_{heat})

    Parameters
    ----------
    gasket_chosen : shape (..., bank), [m]
        Gasket chosen, compressed.
    deck_clearance_least : shape (..., cylinder), [m]
        Deck clearance, rocked.
    crown_step : shape (...), [m]
        Crown or chamber step (recess +).
    rod_stretch : shape (...), [m]
        Rod stretch at speed.
    take_up : shape (..., cylinder), [m]
        Bearing take-up.
    thermal_rise_counted : shape (...), [m]
        Crown rise by heat, counted.

    Returns
    -------
    head_clearance_speed : shape (..., cylinder), [m]
        Piston to head, at speed.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Sum of the heights; an estimate.

    Examples
    --------
    >>> head_clearance_speed(1.0, 0.235, 0.0, 0.069, 0.054, 0.0)
    1.112
    """
    at_rest = gasket_chosen + deck_clearance_least + crown_step
    return at_rest - rod_stretch - take_up - thermal_rise_counted


def head_clearance_warm(
    gasket_chosen: Value,
    deck_clearance_least: Value,
    crown_step: Value,
    rod_stretch: Value,
    take_up: Value,
    thermal_rise: Value,
) -> Value:
    r"""Clearance from piston to head at the highest speed, with the heat figure as computed.

    .. math:: t + \delta_{least} + o - \Delta_{stretch} - \Delta_{take-up} - \Delta_{heat}

    Parameters
    ----------
    gasket_chosen : shape (..., bank), [m]
        Gasket chosen, compressed.
    deck_clearance_least : shape (..., cylinder), [m]
        Deck clearance, rocked.
    crown_step : shape (...), [m]
        Crown or chamber step (recess +).
    rod_stretch : shape (...), [m]
        Rod stretch at speed.
    take_up : shape (..., cylinder), [m]
        Bearing take-up.
    thermal_rise : shape (...), [m]
        Crown rise by heat, as computed.

    Returns
    -------
    head_clearance_warm : shape (..., cylinder), [m]
        The same with the heat figure as computed.

    Notes
    -----
    nan where an input is missing. Shown beside the figure that is judged, and not judged itself.

    Source
    ------
    Sum of the heights; an estimate.

    Examples
    --------
    >>> head_clearance_warm(1.0, 0.235, 0.0, 0.069, 0.054, -0.035)
    1.147
    """
    at_rest = gasket_chosen + deck_clearance_least + crown_step
    return at_rest - rod_stretch - take_up - thermal_rise
