"""Walls of the rod bearing shells."""

import numpy as np

from validators.reference.bearings import wall_used
from validators.reference.measuring import size_at_reference
from validators.reference.value import Value, only_where


def rod_wall_upper_size(
    rod_wall_upper: Value,
    entry_form_shell_wall: Value,
    setting_size_shell_wall: Value,
    setting_error_shell_wall: Value,
    dial_sense_shell_wall: Value,
    reference_factor_shell_wall: Value,
    part_factor_shell_wall: Value,
    size_lowest: Value,
    size_highest: Value,
    dial_travel: Value,
) -> Value:
    r"""Wall of the upper shell at the reference temperature, where it was measured.

    .. math:: D = I \frac{f_g}{f_p} \qquad D = \frac{(S + e_s) f_g + s_n d}{f_p}

    Parameters
    ----------
    rod_wall_upper : shape (..., cylinder), [m]
        Upper wall, measured.
    entry_form_shell_wall : shape (...), [1]
        Typed as, shell wall.
    setting_size_shell_wall : shape (...), [m]
        Setting size, shell wall.
    setting_error_shell_wall : shape (...), [m]
        Master's certificate error, shell wall.
    dial_sense_shell_wall : shape (...), [1]
        Dial sense, shell wall.
    reference_factor_shell_wall : shape (...), [1]
        Gauge or master, growth factor, shell wall.
    part_factor_shell_wall : shape (...), [1]
        Part, growth factor, shell wall.
    size_lowest : shape (...), [m]
        Smallest size believed.
    size_highest : shape (...), [m]
        Largest size believed.
    dial_travel : shape (...), [m]
        Dial travel believed.

    Returns
    -------
    rod_wall_upper_size : shape (..., cylinder), [m]
        Upper wall at 20 °C.

    Notes
    -----
    nan where there is no reading, the reading cannot be right, or a growth factor is missing.

    Source
    ------
    ISO 1, reference temperature (from memory).

    Examples
    --------
    >>> typed_whole, believed = (0, np.nan, 0.0, 0), (0.0005, 0.4, 0.0015)
    >>> float(rod_wall_upper_size(0.001985, *typed_whole, 1.0, 1.0, *believed)) * 1e3
    1.985
    """
    return size_at_reference(
        reading=rod_wall_upper,
        entry_form=entry_form_shell_wall,
        setting_size=setting_size_shell_wall,
        setting_error=setting_error_shell_wall,
        dial_sense=dial_sense_shell_wall,
        reference_factor=reference_factor_shell_wall,
        part_factor=part_factor_shell_wall,
        size_lowest=size_lowest,
        size_highest=size_highest,
        dial_travel=dial_travel,
    )


def rod_wall_lower_size(
    rod_wall_lower: Value,
    entry_form_shell_wall: Value,
    setting_size_shell_wall: Value,
    setting_error_shell_wall: Value,
    dial_sense_shell_wall: Value,
    reference_factor_shell_wall: Value,
    part_factor_shell_wall: Value,
    size_lowest: Value,
    size_highest: Value,
    dial_travel: Value,
) -> Value:
    r"""Wall of the lower shell at the reference temperature, where it was measured.

    .. math:: D = I \frac{f_g}{f_p} \qquad D = \frac{(S + e_s) f_g + s_n d}{f_p}

    Parameters
    ----------
    rod_wall_lower : shape (..., cylinder), [m]
        Lower wall, measured.
    entry_form_shell_wall : shape (...), [1]
        Typed as, shell wall.
    setting_size_shell_wall : shape (...), [m]
        Setting size, shell wall.
    setting_error_shell_wall : shape (...), [m]
        Master's certificate error, shell wall.
    dial_sense_shell_wall : shape (...), [1]
        Dial sense, shell wall.
    reference_factor_shell_wall : shape (...), [1]
        Gauge or master, growth factor, shell wall.
    part_factor_shell_wall : shape (...), [1]
        Part, growth factor, shell wall.
    size_lowest : shape (...), [m]
        Smallest size believed.
    size_highest : shape (...), [m]
        Largest size believed.
    dial_travel : shape (...), [m]
        Dial travel believed.

    Returns
    -------
    rod_wall_lower_size : shape (..., cylinder), [m]
        Lower wall at 20 °C.

    Notes
    -----
    nan where there is no reading, the reading cannot be right, or a growth factor is missing.

    Source
    ------
    ISO 1, reference temperature (from memory).

    Examples
    --------
    >>> typed_whole, believed = (0, np.nan, 0.0, 0), (0.0005, 0.4, 0.0015)
    >>> float(rod_wall_lower_size(0.001985, *typed_whole, 1.0, 1.0, *believed)) * 1e3
    1.985
    """
    return size_at_reference(
        reading=rod_wall_lower,
        entry_form=entry_form_shell_wall,
        setting_size=setting_size_shell_wall,
        setting_error=setting_error_shell_wall,
        dial_sense=dial_sense_shell_wall,
        reference_factor=reference_factor_shell_wall,
        part_factor=part_factor_shell_wall,
        size_lowest=size_lowest,
        size_highest=size_highest,
        dial_travel=dial_travel,
    )


def rod_grade_wall_used(rod_grade_name: Value, rod_grade_wall: Value) -> Value:
    r"""Wall of a grade of shells that has a name, so that it can be ordered.

    .. math:: t \text{ where named}

    Parameters
    ----------
    rod_grade_name : shape (..., grade), [1]
        Grade.
    rod_grade_wall : shape (..., grade), [m]
        Wall at the crown.

    Returns
    -------
    rod_grade_wall_used : shape (..., grade), [m]
        Wall, if named.

    Notes
    -----
    nan where the grade has no name or no wall.

    Source
    ------
    A choice, no equation; the wall from the shell maker.

    Examples
    --------
    >>> [float(rod_grade_wall_used(name, 1.985)) for name in (np.nan, 7.0)]
    [nan, 1.985]
    """
    return only_where(~np.isnan(rod_grade_name), rod_grade_wall)


def rod_wall_upper_used(
    rod_wall_upper: Value,
    rod_wall_upper_size: Value,
    rod_shell_upper: Value,
    rod_grade_name: Value,
    rod_grade_wall_used: Value,
) -> Value:
    r"""Wall of the upper shell: as measured where it was, else that of its grade.

    .. math:: t_u = t_{measured} \text{ if typed, else } t_{grade}

    Parameters
    ----------
    rod_wall_upper : shape (..., cylinder), [m]
        Upper wall, measured.
    rod_wall_upper_size : shape (..., cylinder), [m]
        Upper wall at 20 °C.
    rod_shell_upper : shape (..., cylinder), [1]
        Upper shell.
    rod_grade_name : shape (..., grade), [1]
        Grade.
    rod_grade_wall_used : shape (..., grade), [m]
        Wall, if named.

    Returns
    -------
    rod_wall_upper_used : shape (..., cylinder), [m]
        Upper wall used.

    Notes
    -----
    nan where a typed wall does not convert, or no grade has the name; of equal names the first
    counts.

    Source
    ------
    A choice, no equation; walls of the grades from the shell maker.

    Examples
    --------
    >>> names, walls, fitted = np.array([1.0, 2.0]), np.array([1.980, 1.985]), np.array([2.0])
    >>> float(rod_wall_upper_used(np.array([np.nan]), np.array([np.nan]), fitted, names, walls))
    1.985
    >>> float(rod_wall_upper_used(np.array([1.984]), np.array([1.983]), fitted, names, walls))
    1.983
    """
    return wall_used(
        rod_wall_upper, rod_wall_upper_size, rod_shell_upper, rod_grade_name, rod_grade_wall_used
    )


def rod_wall_lower_used(
    rod_wall_lower: Value,
    rod_wall_lower_size: Value,
    rod_shell_lower: Value,
    rod_grade_name: Value,
    rod_grade_wall_used: Value,
) -> Value:
    r"""Wall of the lower shell: as measured where it was, else that of its grade.

    .. math:: t_l = t_{measured} \text{ if typed, else } t_{grade}

    Parameters
    ----------
    rod_wall_lower : shape (..., cylinder), [m]
        Lower wall, measured.
    rod_wall_lower_size : shape (..., cylinder), [m]
        Lower wall at 20 °C.
    rod_shell_lower : shape (..., cylinder), [1]
        Lower shell.
    rod_grade_name : shape (..., grade), [1]
        Grade.
    rod_grade_wall_used : shape (..., grade), [m]
        Wall, if named.

    Returns
    -------
    rod_wall_lower_used : shape (..., cylinder), [m]
        Lower wall used.

    Notes
    -----
    nan where a typed wall does not convert, or no grade has the name; of equal names the first
    counts.

    Source
    ------
    A choice, no equation; walls of the grades from the shell maker.

    Examples
    --------
    >>> names, walls, fitted = np.array([1.0, 2.0]), np.array([1.980, 1.985]), np.array([1.0])
    >>> float(rod_wall_lower_used(np.array([np.nan]), np.array([np.nan]), fitted, names, walls))
    1.98
    """
    return wall_used(
        rod_wall_lower, rod_wall_lower_size, rod_shell_lower, rod_grade_name, rod_grade_wall_used
    )
