"""Shaking forces and rocking couples of the reciprocating parts, over a turn and over speed."""


from validators.reference.slider_crank import crank_radius
from validators.reference.value import Value


def shaking_force(
    stroke_nominal: Value,
    engine_speed: Value,
    unbalanced_mass_with: Value,
    unbalanced_mass_against: Value,
) -> Value:
    r"""Largest shaking force over a turn of the crank.

    .. math:: R \omega^2 (m_+ + m_-), \qquad R = \frac{S}{2}

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    engine_speed : shape (...), [rad/s]
        Highest engine speed.
    unbalanced_mass_with : shape (..., harmonic), [kg]
        Unbalanced mass, with the crank.
    unbalanced_mass_against : shape (..., harmonic), [kg]
        Unbalanced mass, against the crank.

    Returns
    -------
    shaking_force : shape (..., harmonic), [N]
        Shaking force, peak.

    Notes
    -----
    nan where an input is missing. Secondary forces turn at twice the speed of the crank.

    Source
    ------
    Textbooks on theory of machines (from memory): the two vectors lie in one line twice a turn.

    Examples
    --------
    >>> float(shaking_force(0.086, 680.6784083, 0.3, 0.1))
    7969.157
    """
    radius = crank_radius(stroke_nominal)
    return radius * engine_speed**2 * (unbalanced_mass_with + unbalanced_mass_against)


def shaking_force_least(
    stroke_nominal: Value,
    engine_speed: Value,
    unbalanced_mass_apart: Value,
) -> Value:
    r"""Smallest shaking force over a turn of the crank.

    .. math:: R \omega^2 |m_+ - m_-|, \qquad R = \frac{S}{2}

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    engine_speed : shape (...), [rad/s]
        Highest engine speed.
    unbalanced_mass_apart : shape (..., harmonic), [kg]
        Masses, apart.

    Returns
    -------
    shaking_force_least : shape (..., harmonic), [N]
        Shaking force, least over a turn.

    Notes
    -----
    nan where an input is missing. Secondary forces turn at twice the speed of the crank. As
    large as the peak where only one vector is there: it turns and keeps its size.

    Source
    ------
    Textbooks on theory of machines (from memory): the two vectors lie opposite twice a turn.

    Examples
    --------
    >>> float(shaking_force_least(0.086, 680.6784083, 0.2))
    3984.579
    """
    radius = crank_radius(stroke_nominal)
    return radius * engine_speed**2 * unbalanced_mass_apart


def shaking_couple(
    stroke_nominal: Value,
    engine_speed: Value,
    unbalanced_moment_with: Value,
    unbalanced_moment_against: Value,
) -> Value:
    r"""Largest rocking couple over a turn of the crank.

    .. math:: R \omega^2 (M_+ + M_-), \qquad R = \frac{S}{2}

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    engine_speed : shape (...), [rad/s]
        Highest engine speed.
    unbalanced_moment_with : shape (..., harmonic), [kg*m]
        Unbalanced mass times distance, with the crank.
    unbalanced_moment_against : shape (..., harmonic), [kg*m]
        Unbalanced mass times distance, against the crank.

    Returns
    -------
    shaking_couple : shape (..., harmonic), [N*m]
        Rocking couple, peak.

    Notes
    -----
    nan where an input is missing. About the middle of the engine. Secondary couples turn at
    twice the speed of the crank.

    Source
    ------
    Textbooks on theory of machines (from memory): the two vectors lie in one line twice a turn.

    Examples
    --------
    >>> float(shaking_couple(0.086, 680.6784083, 0.03, 0.01))
    796.9157
    """
    radius = crank_radius(stroke_nominal)
    return radius * engine_speed**2 * (unbalanced_moment_with + unbalanced_moment_against)


def shaking_couple_least(
    stroke_nominal: Value,
    engine_speed: Value,
    unbalanced_moment_apart: Value,
) -> Value:
    r"""Smallest rocking couple over a turn of the crank.

    .. math:: R \omega^2 |M_+ - M_-|, \qquad R = \frac{S}{2}

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    engine_speed : shape (...), [rad/s]
        Highest engine speed.
    unbalanced_moment_apart : shape (..., harmonic), [kg*m]
        Mass times distance, apart.

    Returns
    -------
    shaking_couple_least : shape (..., harmonic), [N*m]
        Rocking couple, least over a turn.

    Notes
    -----
    nan where an input is missing. About the middle of the engine. Secondary couples turn at
    twice the speed of the crank. As large as the peak where only one vector is there: it turns
    and keeps its size.

    Source
    ------
    Textbooks on theory of machines (from memory): the two vectors lie opposite twice a turn.

    Examples
    --------
    >>> float(shaking_couple_least(0.086, 680.6784083, 0.02))
    398.4579
    """
    radius = crank_radius(stroke_nominal)
    return radius * engine_speed**2 * unbalanced_moment_apart


def pace_speed(pace_share: Value, engine_speed: Value) -> Value:
    r"""Speed at a share of the highest speed.

    .. math:: s \, \omega

    Parameters
    ----------
    pace_share : shape (..., pace), [1]
        Share of the highest speed.
    engine_speed : shape (...), [rad/s]
        Highest engine speed.

    Returns
    -------
    pace_speed : shape (..., pace), [rad/s]
        Speed.

    Notes
    -----
    nan where the speed is missing.

    Source
    ------
    Product.

    Examples
    --------
    >>> pace_speed(0.5, 680.0)
    340.0
    """
    return pace_share * engine_speed


def pace_force(shaking_force: Value, pace_share: Value) -> Value:
    r"""Largest shaking force at a share of the highest speed.

    .. math:: F s^2

    Parameters
    ----------
    shaking_force : shape (..., harmonic), [N]
        Shaking force, peak.
    pace_share : shape (..., pace), [1]
        Share of the highest speed.

    Returns
    -------
    pace_force : shape (..., pace, harmonic), [N]
        Shaking force, peak.

    Notes
    -----
    nan where the force is missing.

    Source
    ------
    Inertia forces grow with the square of the speed.

    Examples
    --------
    >>> pace_force(8000.0, 0.5)
    2000.0
    """
    return shaking_force * pace_share**2


def pace_couple(shaking_couple: Value, pace_share: Value) -> Value:
    r"""Largest rocking couple at a share of the highest speed.

    .. math:: M s^2

    Parameters
    ----------
    shaking_couple : shape (..., harmonic), [N*m]
        Rocking couple, peak.
    pace_share : shape (..., pace), [1]
        Share of the highest speed.

    Returns
    -------
    pace_couple : shape (..., pace, harmonic), [N*m]
        Rocking couple, peak.

    Notes
    -----
    nan where the couple is missing.

    Source
    ------
    Inertia forces grow with the square of the speed.

    Examples
    --------
    >>> pace_couple(800.0, 0.5)
    200.0
    """
    return shaking_couple * pace_share**2
