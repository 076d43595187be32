"""How the combustion chambers are brought to one volume."""

import numpy as np

from validators.reference.value import Value


def chamber_trim(chamber_volume: Value) -> Value:
    r"""What a chamber lacks of the largest of them.

    .. math:: \max V - V

    Parameters
    ----------
    chamber_volume : shape (..., cylinder), [m^3]
        Chamber volume.

    Returns
    -------
    chamber_trim : shape (..., cylinder), [m^3]
        Grind out of the chamber.

    Notes
    -----
    nan unless every chamber is measured.

    Source
    ------
    Common practice: metal can be taken off, not put on.

    Examples
    --------
    >>> chamber_trim(np.array([48.0, 48.3, 47.8, 48.1])).tolist()
    [0.3, 0.0, 0.5, 0.2]
    """
    return np.max(chamber_volume, axis=-1, keepdims=True) - chamber_volume
