"""The closed form of the oil film in rows of eccentricity, for the length of each bearing."""

from validators.reference.film_formula import finite_sommerfeld, length_in_range, short_sommerfeld
from validators.reference.value import Value, only_where


def rod_film_length_ratio(rod_bearing_width: Value, nominal_size_crankpin: Value) -> Value:
    r"""Length of a rod bearing over the nominal size of its journal.

    .. math:: \frac{L}{D}

    Parameters
    ----------
    rod_bearing_width : shape (...), [m]
        Rod bearing width, effective.
    nominal_size_crankpin : shape (...), [m]
        Nominal size, crankpin.

    Returns
    -------
    rod_film_length_ratio : shape (...), [1]
        Rod bearing, L/D nominal.

    Notes
    -----
    nan where an input is missing or the size is not positive.

    Source
    ------
    Ratio.

    Examples
    --------
    >>> float(rod_film_length_ratio(0.02, 0.05))
    0.4
    """
    return rod_bearing_width / only_where(nominal_size_crankpin > 0, nominal_size_crankpin)


def rod_node_sommerfeld(
    node_short: Value,
    node_eccentricity: Value,
    rod_film_length_ratio: Value,
    film_ratio_lowest: Value,
    film_ratio_highest: Value,
    film_end_level: Value,
    film_end_length: Value,
    film_end_gap: Value,
    film_end_linear: Value,
    film_end_square: Value,
) -> Value:
    r"""Sommerfeld number at which a rod bearing runs with an eccentricity of the table.

    .. math:: S = \frac{S_0}{q^2}
        \left(1 + e^{a_0 + a_1 \ln q + a_2 \ln(1 - \varepsilon) + a_3 \varepsilon
        + a_4 \varepsilon^2}\right)

    Parameters
    ----------
    node_short : shape (..., node), [1]
        Sommerfeld number times (L/D)², short bearing.
    node_eccentricity : shape (..., node), [1]
        Eccentricity.
    rod_film_length_ratio : shape (...), [1]
        Rod bearing, L/D nominal.
    film_ratio_lowest : shape (...), [1]
        Length over diameter, least in the formula.
    film_ratio_highest : shape (...), [1]
        Length over diameter, most in the formula.
    film_end_level : shape (...), [1]
        Finite bearing: level.
    film_end_length : shape (...), [1]
        Finite bearing: power of length over diameter.
    film_end_gap : shape (...), [1]
        Finite bearing: power of the least gap.
    film_end_linear : shape (...), [1]
        Finite bearing: eccentricity.
    film_end_square : shape (...), [1]
        Finite bearing: eccentricity squared.

    Returns
    -------
    rod_node_sommerfeld : shape (..., node), [1]
        Sommerfeld number, rod bearing.

    Notes
    -----
    nan where the length is missing, or outside what the form was fitted to, at nine decimals.

    Source
    ------
    A form fitted to finite-difference solutions of the Reynolds equation, L/D 0.2 to 1.

    Examples
    --------
    >>> fit = (-1.238, 1.806, -0.878, 0.138, 0.8)
    >>> float(rod_node_sommerfeld(0.0329643222, 0.7, 0.4, 0.2, 1.0, *fit))
    0.25959086
    """
    return finite_sommerfeld(
        node_short,
        node_eccentricity,
        length_in_range(rod_film_length_ratio, film_ratio_lowest, film_ratio_highest),
        (film_end_level, film_end_length, film_end_gap, film_end_linear, film_end_square),
    )


def main_film_length_ratio(main_bearing_width: Value, nominal_size_main_journal: Value) -> Value:
    r"""Length of a main bearing over the nominal size of its journal.

    .. math:: \frac{L}{D}

    Parameters
    ----------
    main_bearing_width : shape (...), [m]
        Main bearing width, effective.
    nominal_size_main_journal : shape (...), [m]
        Nominal size, main journal.

    Returns
    -------
    main_film_length_ratio : shape (...), [1]
        Main bearing, L/D nominal.

    Notes
    -----
    nan where an input is missing or the size is not positive.

    Source
    ------
    Ratio.

    Examples
    --------
    >>> float(main_film_length_ratio(0.02, 0.05))
    0.4
    """
    return main_bearing_width / only_where(nominal_size_main_journal > 0, nominal_size_main_journal)


def main_node_sommerfeld(
    node_short: Value,
    node_eccentricity: Value,
    main_film_length_ratio: Value,
    film_ratio_lowest: Value,
    film_ratio_highest: Value,
    film_end_level: Value,
    film_end_length: Value,
    film_end_gap: Value,
    film_end_linear: Value,
    film_end_square: Value,
) -> Value:
    r"""Sommerfeld number at which a main bearing runs with an eccentricity of the table.

    .. math:: S = \frac{S_0}{q^2}
        \left(1 + e^{a_0 + a_1 \ln q + a_2 \ln(1 - \varepsilon) + a_3 \varepsilon
        + a_4 \varepsilon^2}\right)

    Parameters
    ----------
    node_short : shape (..., node), [1]
        Sommerfeld number times (L/D)², short bearing.
    node_eccentricity : shape (..., node), [1]
        Eccentricity.
    main_film_length_ratio : shape (...), [1]
        Main bearing, L/D nominal.
    film_ratio_lowest : shape (...), [1]
        Length over diameter, least in the formula.
    film_ratio_highest : shape (...), [1]
        Length over diameter, most in the formula.
    film_end_level : shape (...), [1]
        Finite bearing: level.
    film_end_length : shape (...), [1]
        Finite bearing: power of length over diameter.
    film_end_gap : shape (...), [1]
        Finite bearing: power of the least gap.
    film_end_linear : shape (...), [1]
        Finite bearing: eccentricity.
    film_end_square : shape (...), [1]
        Finite bearing: eccentricity squared.

    Returns
    -------
    main_node_sommerfeld : shape (..., node), [1]
        Sommerfeld number, main bearing.

    Notes
    -----
    nan where the length is missing, or outside what the form was fitted to, at nine decimals.

    Source
    ------
    A form fitted to finite-difference solutions of the Reynolds equation, L/D 0.2 to 1.

    Examples
    --------
    >>> fit = (-1.238, 1.806, -0.878, 0.138, 0.8)
    >>> float(main_node_sommerfeld(0.0329643222, 0.7, 0.4, 0.2, 1.0, *fit))
    0.25959086
    """
    return finite_sommerfeld(
        node_short,
        node_eccentricity,
        length_in_range(main_film_length_ratio, film_ratio_lowest, film_ratio_highest),
        (film_end_level, film_end_length, film_end_gap, film_end_linear, film_end_square),
    )


def node_short(node_eccentricity: Value) -> Value:
    r"""Sommerfeld number times the square of length over diameter, in a short bearing.

    .. math:: S_0 = \frac{(1 - \varepsilon^2)^2}
        {\pi \varepsilon \sqrt{\pi^2 (1 - \varepsilon^2) + 16 \varepsilon^2}}

    Parameters
    ----------
    node_eccentricity : shape (..., node), [1]
        Eccentricity.

    Returns
    -------
    node_short : shape (..., node), [1]
        Sommerfeld number times (L/D)², short bearing.

    Notes
    -----
    Never nan: the eccentricities of the table are printed.

    Source
    ------
    Ocvirk's short bearing (from memory).

    Examples
    --------
    >>> float(node_short(0.7))
    0.0329643222
    """
    return short_sommerfeld(node_eccentricity)
