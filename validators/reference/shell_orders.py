"""How many shells of each grade the nearest pairs want, and how many are still to get."""

import numpy as np

from validators.reference import bearings
from validators.reference.value import Value


def main_order_upper(main_grade_name: Value, main_pick_upper: Value) -> Value:
    r"""Upper main shells of a grade that the nearest pairs want.

    .. math:: |\{j : g_j = g\}|

    Parameters
    ----------
    main_grade_name : shape (..., grade), [1]
        Grade.
    main_pick_upper : shape (..., main), [1]
        Nearest pair: upper.

    Returns
    -------
    main_order_upper : shape (..., grade), [1]
        Uppers wanted.

    Notes
    -----
    nan for a grade without a name, and where no bearing has a nearest pair. Two grades of one name
    both count every shell of that name.

    Source
    ------
    A count.

    Examples
    --------
    >>> names = np.array([[1.0], [2.0]])
    >>> main_order_upper(names, np.array([[2.0, 2.0, np.nan]])).tolist()
    [0.0, 2.0]
    """
    return bearings.shells_of_grade(main_grade_name, main_pick_upper)


def rod_order_upper(rod_grade_name: Value, rod_pick_upper: Value) -> Value:
    r"""Upper rod shells of a grade that the nearest pairs want.

    .. math:: |\{j : g_j = g\}|

    Parameters
    ----------
    rod_grade_name : shape (..., grade), [1]
        Grade.
    rod_pick_upper : shape (..., cylinder), [1]
        Nearest pair: upper.

    Returns
    -------
    rod_order_upper : shape (..., grade), [1]
        Uppers wanted.

    Notes
    -----
    nan for a grade without a name, and where no bearing has a nearest pair. Two grades of one name
    both count every shell of that name.

    Source
    ------
    A count.

    Examples
    --------
    >>> names = np.array([[1.0], [2.0]])
    >>> rod_order_upper(names, np.array([[2.0, 2.0, np.nan]])).tolist()
    [0.0, 2.0]
    """
    return bearings.shells_of_grade(rod_grade_name, rod_pick_upper)


def main_order_lower(main_grade_name: Value, main_pick_lower: Value) -> Value:
    r"""Lower main shells of a grade that the nearest pairs want.

    .. math:: |\{j : g_j = g\}|

    Parameters
    ----------
    main_grade_name : shape (..., grade), [1]
        Grade.
    main_pick_lower : shape (..., main), [1]
        Nearest pair: lower.

    Returns
    -------
    main_order_lower : shape (..., grade), [1]
        Lowers wanted.

    Notes
    -----
    nan for a grade without a name, and where no bearing has a nearest pair. Two grades of one name
    both count every shell of that name.

    Source
    ------
    A count.

    Examples
    --------
    >>> names = np.array([[1.0], [2.0]])
    >>> main_order_lower(names, np.array([[2.0, 2.0, np.nan]])).tolist()
    [0.0, 2.0]
    """
    return bearings.shells_of_grade(main_grade_name, main_pick_lower)


def rod_order_lower(rod_grade_name: Value, rod_pick_lower: Value) -> Value:
    r"""Lower rod shells of a grade that the nearest pairs want.

    .. math:: |\{j : g_j = g\}|

    Parameters
    ----------
    rod_grade_name : shape (..., grade), [1]
        Grade.
    rod_pick_lower : shape (..., cylinder), [1]
        Nearest pair: lower.

    Returns
    -------
    rod_order_lower : shape (..., grade), [1]
        Lowers wanted.

    Notes
    -----
    nan for a grade without a name, and where no bearing has a nearest pair. Two grades of one name
    both count every shell of that name.

    Source
    ------
    A count.

    Examples
    --------
    >>> names = np.array([[1.0], [2.0]])
    >>> rod_order_lower(names, np.array([[2.0, 2.0, np.nan]])).tolist()
    [0.0, 2.0]
    """
    return bearings.shells_of_grade(rod_grade_name, rod_pick_lower)


def main_order_upper_more(
    main_order_upper: Value, main_grade_name: Value, main_shell_upper: Value
) -> Value:
    r"""Upper main shells of a grade that are wanted and not among those fitted.

    .. math:: \max(0, n_{wanted} - n_{fitted})

    Parameters
    ----------
    main_order_upper : shape (..., grade), [1]
        Uppers wanted.
    main_grade_name : shape (..., grade), [1]
        Grade.
    main_shell_upper : shape (..., main), [1]
        Upper shell.

    Returns
    -------
    main_order_upper_more : shape (..., grade), [1]
        Uppers to get.

    Notes
    -----
    A shell that is fitted in another bearing counts as there. nan where it is not known how many are
    wanted.

    Source
    ------
    A count.

    Examples
    --------
    >>> wanted, names = np.array([[0.0], [3.0]]), np.array([[1.0], [2.0]])
    >>> main_order_upper_more(wanted, names, np.array([[1.0, 2.0]])).tolist()
    [0.0, 2.0]
    """
    return bearings.shells_to_get(main_order_upper, main_grade_name, main_shell_upper)


def rod_order_upper_more(
    rod_order_upper: Value, rod_grade_name: Value, rod_shell_upper: Value
) -> Value:
    r"""Upper rod shells of a grade that are wanted and not among those fitted.

    .. math:: \max(0, n_{wanted} - n_{fitted})

    Parameters
    ----------
    rod_order_upper : shape (..., grade), [1]
        Uppers wanted.
    rod_grade_name : shape (..., grade), [1]
        Grade.
    rod_shell_upper : shape (..., cylinder), [1]
        Upper shell.

    Returns
    -------
    rod_order_upper_more : shape (..., grade), [1]
        Uppers to get.

    Notes
    -----
    A shell that is fitted in another bearing counts as there. nan where it is not known how many are
    wanted.

    Source
    ------
    A count.

    Examples
    --------
    >>> wanted, names = np.array([[0.0], [3.0]]), np.array([[1.0], [2.0]])
    >>> rod_order_upper_more(wanted, names, np.array([[1.0, 2.0]])).tolist()
    [0.0, 2.0]
    """
    return bearings.shells_to_get(rod_order_upper, rod_grade_name, rod_shell_upper)


def main_order_lower_more(
    main_order_lower: Value, main_grade_name: Value, main_shell_lower: Value
) -> Value:
    r"""Lower main shells of a grade that are wanted and not among those fitted.

    .. math:: \max(0, n_{wanted} - n_{fitted})

    Parameters
    ----------
    main_order_lower : shape (..., grade), [1]
        Lowers wanted.
    main_grade_name : shape (..., grade), [1]
        Grade.
    main_shell_lower : shape (..., main), [1]
        Lower shell.

    Returns
    -------
    main_order_lower_more : shape (..., grade), [1]
        Lowers to get.

    Notes
    -----
    A shell that is fitted in another bearing counts as there. nan where it is not known how many are
    wanted.

    Source
    ------
    A count.

    Examples
    --------
    >>> wanted, names = np.array([[0.0], [3.0]]), np.array([[1.0], [2.0]])
    >>> main_order_lower_more(wanted, names, np.array([[1.0, 2.0]])).tolist()
    [0.0, 2.0]
    """
    return bearings.shells_to_get(main_order_lower, main_grade_name, main_shell_lower)


def rod_order_lower_more(
    rod_order_lower: Value, rod_grade_name: Value, rod_shell_lower: Value
) -> Value:
    r"""Lower rod shells of a grade that are wanted and not among those fitted.

    .. math:: \max(0, n_{wanted} - n_{fitted})

    Parameters
    ----------
    rod_order_lower : shape (..., grade), [1]
        Lowers wanted.
    rod_grade_name : shape (..., grade), [1]
        Grade.
    rod_shell_lower : shape (..., cylinder), [1]
        Lower shell.

    Returns
    -------
    rod_order_lower_more : shape (..., grade), [1]
        Lowers to get.

    Notes
    -----
    A shell that is fitted in another bearing counts as there. nan where it is not known how many are
    wanted.

    Source
    ------
    A count.

    Examples
    --------
    >>> wanted, names = np.array([[0.0], [3.0]]), np.array([[1.0], [2.0]])
    >>> rod_order_lower_more(wanted, names, np.array([[1.0, 2.0]])).tolist()
    [0.0, 2.0]
    """
    return bearings.shells_to_get(rod_order_lower, rod_grade_name, rod_shell_lower)


def main_order_open(main_pick_pair: Value) -> Value:
    r"""Main bearings that the order does not count, because no pair is named for them.

    .. math:: |\{j : \text{no pair}\}|

    Parameters
    ----------
    main_pick_pair : shape (..., main), [1]
        Nearest pair, number.

    Returns
    -------
    main_order_open : shape (...), [1]
        Main bearings not counted: no pair named yet.

    Source
    ------
    A count.

    Examples
    --------
    >>> float(main_order_open(np.array([1.0, np.nan, 3.0])))
    1.0
    """
    return np.sum(np.isnan(main_pick_pair), axis=-1)


def rod_order_open(rod_pick_pair: Value) -> Value:
    r"""Rod bearings that the order does not count, because no pair is named for them.

    .. math:: |\{j : \text{no pair}\}|

    Parameters
    ----------
    rod_pick_pair : shape (..., cylinder), [1]
        Nearest pair, number.

    Returns
    -------
    rod_order_open : shape (...), [1]
        Rod bearings not counted: no pair named yet.

    Source
    ------
    A count.

    Examples
    --------
    >>> float(rod_order_open(np.array([1.0, np.nan, 3.0])))
    1.0
    """
    return np.sum(np.isnan(rod_pick_pair), axis=-1)
