"""Floating pins between their retainers, and which verdict counts for a small end."""

import numpy as np

from validators.reference.value import Value, only_where
from validators.reference.words import PinFit, RetainerSeat, RetainerState


def pin_end_clearance(retainer_span: Value, pin_length: Value, pin_fit: Value) -> Value:
    r"""Play of a floating pin between its retainers.

    .. math:: s - l

    Parameters
    ----------
    retainer_span : shape (..., cylinder), [m]
    pin_length : shape (..., cylinder), [m]
    pin_fit : shape (...), [1]

    Returns
    -------
    pin_end_clearance : shape (..., cylinder), [m]

    Notes
    -----
    nan where an input is missing, or the pin is pressed.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> float(pin_end_clearance(58.30, 58.05, PinFit.FLOATING))
    0.25
    """
    return only_where(np.equal(pin_fit, PinFit.FLOATING), retainer_span - pin_length)


def retainer_state(pin_fit: Value, retainer_count: Value, retainer_seat: Value) -> Value:
    r"""Say whether both retainers of a pin are there and seated.

    .. math:: n = 2 \text{ and both ends seated: passed}

    Parameters
    ----------
    pin_fit : shape (...), [1]
    retainer_count : shape (..., cylinder), [1]
    retainer_seat : shape (..., cylinder), [1]

    Returns
    -------
    retainer_state : shape (..., cylinder), [1]

    Notes
    -----
    Never nan. A pressed pin needs none.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> seated = RetainerSeat.BOTH_ENDS
    >>> RetainerState(int(retainer_state(PinFit.FLOATING, 1, seated))).text
    'put right'
    """
    there = np.equal(retainer_count, 2) & np.equal(retainer_seat, RetainerSeat.BOTH_ENDS)
    return np.select(
        [
            np.equal(pin_fit, PinFit.PRESSED),
            np.isnan(retainer_count) | np.isnan(retainer_seat),
            there,
        ],
        [RetainerState.NOT_NEEDED, RetainerState.NOT_NOTED, RetainerState.PASSED],
        RetainerState.PUT_RIGHT,
    )


def small_end_state(
    pin_fit: Value, pin_interference_verdict: Value, bush_pin_clearance_verdict: Value
) -> Value:
    r"""The verdict that counts for a small end: of its interference, or of its clearance.

    .. math:: \text{pressed: of } D_{pin} - D_{eye} \qquad \text{else: of } D_{eye} - D_{pin}

    Parameters
    ----------
    pin_fit : shape (...), [1]
    pin_interference_verdict : shape (..., cylinder), [1]
    bush_pin_clearance_verdict : shape (..., cylinder), [1]

    Returns
    -------
    small_end_state : shape (..., cylinder), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> int(small_end_state(PinFit.PRESSED, 5, 0))
    5
    """
    return np.where(
        np.equal(pin_fit, PinFit.PRESSED), pin_interference_verdict, bush_pin_clearance_verdict
    )
