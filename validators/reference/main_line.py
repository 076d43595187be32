"""Line of the main bearing bores: straightness along the crank."""

import numpy as np

from validators.reference.value import Value, only_where


def _apart(main_position: Value) -> Value:
    return np.max(main_position, axis=-1, keepdims=True) > np.min(main_position, axis=-1, keepdims=True)


def _lies_along(main_position: Value, main_height: Value) -> Value:
    """Whether all positions and heights are there and the positions are not all equal."""
    known = np.all(~np.isnan(main_height), axis=-1, keepdims=True)
    return known & _apart(main_position)


def main_line_slope(main_position: Value, main_height: Value) -> Value:
    r"""Slope of the straight line that fits the bore heights best.

    .. math:: \frac{n \sum x y - \sum x \sum y}{n \sum x^2 - (\sum x)^2}

    Parameters
    ----------
    main_position : shape (..., main), [m]
        Position along the crank.
    main_height : shape (..., main), [m]
        Height of the bore line.

    Returns
    -------
    main_line_slope : shape (...), [1]
        Slope of the bore line.

    Notes
    -----
    nan unless all positions and heights are there and the positions are not all equal.

    Source
    ------
    Least squares; any textbook of statistics (from memory).

    Examples
    --------
    >>> along = np.array([0.0, 100.0, 200.0, 300.0, 400.0])
    >>> float(main_line_slope(along, np.array([0.0, 0.012, 0.018, 0.011, 0.004]))) * 1e6
    7.0
    """
    x = only_where(_apart(main_position), main_position)
    y = main_height
    n = x.shape[-1]
    sum_x, sum_y = np.sum(x, axis=-1), np.sum(y, axis=-1)
    sum_xy, sum_xx = np.sum(x * y, axis=-1), np.sum(x * x, axis=-1)
    spread = n * sum_xx - sum_x**2
    return (n * sum_xy - sum_x * sum_y) / spread


def main_line_mean(main_position: Value, main_height: Value) -> Value:
    r"""Mean height of the bore line.

    .. math:: \bar y = \frac{1}{n} \sum y

    Parameters
    ----------
    main_position : shape (..., main), [m]
        Position along the crank.
    main_height : shape (..., main), [m]
        Height of the bore line.

    Returns
    -------
    main_line_mean : shape (...), [m]
        Mean height of the bore line.

    Notes
    -----
    nan unless all positions and heights are there and the positions are not all equal.

    Source
    ------
    Definition.

    Examples
    --------
    >>> along = np.array([0.0, 100.0, 200.0, 300.0, 400.0])
    >>> float(main_line_mean(along, np.array([0.0, 0.012, 0.018, 0.011, 0.004])))
    0.009
    """
    return np.mean(only_where(_apart(main_position), main_height), axis=-1)


def main_line_residual(
    main_position: Value, main_height: Value, main_line_slope: Value, main_line_mean: Value
) -> Value:
    r"""Height of a main bearing bore over the line that fits best.

    .. math:: y - (\bar y + m (x - \bar x))

    Parameters
    ----------
    main_position : shape (..., main), [m]
        Position along the crank.
    main_height : shape (..., main), [m]
        Height of the bore line.
    main_line_slope : shape (...), [1]
        Slope of the bore line.
    main_line_mean : shape (...), [m]
        Mean height of the bore line.

    Returns
    -------
    main_line_residual : shape (..., main), [m]
        From the best line.

    Notes
    -----
    nan unless all positions and heights are there and the positions are not all equal.

    Source
    ------
    Least squares; any textbook of statistics (from memory).

    Examples
    --------
    >>> along = np.array([0.0, 100.0, 200.0, 300.0, 400.0])
    >>> heights = np.array([0.0, 0.012, 0.018, 0.011, 0.004])
    >>> main_line_residual(along, heights, 7e-6, 0.009).tolist()
    [-0.0076, 0.0037, 0.0090, 0.0013, -0.0064]
    """
    mean_position = np.mean(main_position, axis=-1, keepdims=True)
    return main_height - (main_line_mean + main_line_slope * (main_position - mean_position))


def main_line_end_deviation(main_position: Value, main_height: Value) -> Value:
    r"""Height of a main bearing bore over the line through the first and the last bore.

    .. math:: y_i - \left(y_1 + \frac{y_n - y_1}{x_n - x_1} (x_i - x_1)\right)

    Parameters
    ----------
    main_position : shape (..., main), [m]
        Position along the crank.
    main_height : shape (..., main), [m]
        Height of the bore line.

    Returns
    -------
    main_line_end_deviation : shape (..., main), [m]
        From the line through the ends.

    Notes
    -----
    nan unless all positions and heights are there, or where first and last bore have one position.

    Source
    ------
    Straight line through two points.

    Examples
    --------
    >>> along = np.array([0.0, 100.0, 200.0, 300.0, 400.0])
    >>> main_line_end_deviation(along, np.array([0.0, 0.012, 0.018, 0.011, 0.004])).tolist()
    [0.0, 0.011, 0.016, 0.008, 0.0]
    """
    x = only_where(_lies_along(main_position, main_height), main_position)
    y = main_height
    first_x, first_y, last_y = x[..., :1], y[..., :1], y[..., -1:]
    run = x[..., -1:] - first_x
    slope = (last_y - first_y) / only_where(np.abs(run) > 0, run)
    return y - (first_y + slope * (x - first_x))


def main_line_step(main_position: Value, main_height: Value) -> Value:
    r"""Step of the bore line from the bearing before.

    .. math:: |y_i - y_{i-1}|

    Parameters
    ----------
    main_position : shape (..., main), [m]
        Position along the crank.
    main_height : shape (..., main), [m]
        Height of the bore line.

    Returns
    -------
    main_line_step : shape (..., main), [m]
        Step from the one before.

    Notes
    -----
    nan for the first bearing, and unless all positions and heights are there and the positions are
    not all equal.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> along = np.array([0.0, 100.0, 200.0, 300.0, 400.0])
    >>> main_line_step(along, np.array([0.0, 0.012, 0.018, 0.011, 0.004])).tolist()
    [nan, 0.012, 0.006, 0.007, 0.007]
    """
    y = only_where(_lies_along(main_position, main_height), main_height)
    before = np.roll(y, 1, axis=-1)
    has_one_before = np.arange(y.shape[-1]) > 0
    return only_where(has_one_before, np.abs(y - before))
