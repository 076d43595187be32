r"""Unbalanced masses and moments of the reciprocating parts, as vectors that turn.

Throw *i* stands at :math:`\varphi_i` and its cylinder at :math:`\psi_i`, both from one zero and in
the sense of rotation. Along its own axis a cylinder gives the force
:math:`m R \omega^2 (\cos\alpha + \lambda \cos 2\alpha)` with
:math:`\alpha = \theta + \varphi - \psi`. Each cosine is half the sum of two vectors: one turns with
the crank, one against it; the secondary ones turn at twice its speed. What is counted here is the
mass that would give each vector if it went round at the throw.
"""

import numpy as np

from validators.reference.slider_crank import crank_radius
from validators.reference.value import Value, rounded_nine

# Rows: primary, secondary. Columns: with the crank, against it.
_THROWS = np.array([[1, -1], [2, -2]])
_BANKS = np.array([[0, 2], [-1, 3]])
_IS_PRIMARY = np.array([[True], [False]])


def balance_arm(cylinder_position: Value) -> Value:
    r"""Place of a cylinder along the crank, from the middle of the engine.

    .. math:: z - \frac{\min z + \max z}{2}

    Parameters
    ----------
    cylinder_position : shape (..., cylinder), [m]
        Place along the crank.

    Returns
    -------
    balance_arm : shape (..., cylinder), [m]
        From the middle of the engine.

    Notes
    -----
    nan unless the place of every cylinder is there.

    Source
    ------
    A choice: couples are told about this middle.

    Examples
    --------
    >>> balance_arm(np.array([0.0, 46.0, 112.0, 158.0])).tolist()
    [-79.0, -33.0, 33.0, 79.0]
    """
    first = np.min(cylinder_position, axis=-1, keepdims=True)
    last = np.max(cylinder_position, axis=-1, keepdims=True)
    return cylinder_position - (first + last) / 2


def balance_angle(throw_angle: Value, bank_direction: Value) -> Value:
    r"""Direction of the vectors of a cylinder, where the crank angle is 0.

    .. math::
        \varphi, \quad 2 \psi - \varphi \qquad \text{primary, with and against the crank}

        2 \varphi - \psi, \quad 3 \psi - 2 \varphi \qquad \text{secondary}

    Parameters
    ----------
    throw_angle : shape (..., crankpin), [rad]
        Throw, angle; that of each cylinder's crankpin arrives.
    bank_direction : shape (..., bank), [rad]
        Direction of the cylinders; that of each cylinder's bank arrives.

    Returns
    -------
    balance_angle : shape (..., cylinder, harmonic, turning), [rad]
        Direction of the share.

    Notes
    -----
    nan where an angle that it needs is missing: the primary vector that turns with the crank needs
    the throw only.

    Source
    ------
    Textbooks on theory of machines (from memory): a cosine as half the sum of two exponentials.

    Examples
    --------
    >>> np.degrees(balance_angle(np.radians(90.0), np.radians(45.0))).tolist()
    [[90.0, 0.0], [135.0, -45.0]]
    """
    of_throw = _THROWS * throw_angle
    of_bank = np.where(np.equal(_BANKS, 0), 0.0, _BANKS * bank_direction)
    return of_throw + of_bank


def balance_along(
    cylinder_reciprocating_mass: Value,
    balance_angle: Value,
    stroke_nominal: Value,
    rod_length: Value,
) -> Value:
    r"""Share of a cylinder in a turning vector, along the zero direction.

    .. math:: k \, m \cos\beta, \qquad k = \frac{1}{2} \text{ primary, }
        k = \frac{\lambda}{2} = \frac{R}{2 L} \text{ secondary}

    Parameters
    ----------
    cylinder_reciprocating_mass : shape (..., cylinder), [kg]
        Reciprocating mass.
    balance_angle : shape (..., cylinder, harmonic, turning), [rad]
        Direction of the share.
    stroke_nominal : shape (...), [m]
        Stroke.
    rod_length : shape (...), [m]
        Rod length, chosen.

    Returns
    -------
    balance_along : shape (..., cylinder, harmonic, turning), [kg]
        Share, along.

    Notes
    -----
    nan where an input that it needs is missing: the primary share does not need the rod.

    Source
    ------
    Textbooks on theory of machines (from memory).

    Examples
    --------
    >>> angles = np.radians([[0.0, 60.0], [90.0, 180.0]])
    >>> balance_along(0.6, angles, 0.086, 0.143).tolist()
    [[0.3, 0.15], [0.0, -0.09020979021]]
    """
    share = _vector_share(stroke_nominal, rod_length)
    return share * cylinder_reciprocating_mass * np.cos(balance_angle)


def balance_aside(
    cylinder_reciprocating_mass: Value,
    balance_angle: Value,
    stroke_nominal: Value,
    rod_length: Value,
) -> Value:
    r"""Share of a cylinder in a turning vector, square to the zero direction.

    .. math:: k \, m \sin\beta, \qquad k = \frac{1}{2} \text{ primary, }
        k = \frac{\lambda}{2} = \frac{R}{2 L} \text{ secondary}

    Parameters
    ----------
    cylinder_reciprocating_mass : shape (..., cylinder), [kg]
        Reciprocating mass.
    balance_angle : shape (..., cylinder, harmonic, turning), [rad]
        Direction of the share.
    stroke_nominal : shape (...), [m]
        Stroke.
    rod_length : shape (...), [m]
        Rod length, chosen.

    Returns
    -------
    balance_aside : shape (..., cylinder, harmonic, turning), [kg]
        Share, aside.

    Notes
    -----
    nan where an input that it needs is missing: the primary share does not need the rod.

    Source
    ------
    Textbooks on theory of machines (from memory).

    Examples
    --------
    >>> angles = np.radians([[0.0, 30.0], [90.0, -90.0]])
    >>> balance_aside(0.6, angles, 0.086, 0.143).tolist()
    [[0.0, 0.15], [0.09020979021, -0.09020979021]]
    """
    share = _vector_share(stroke_nominal, rod_length)
    return share * cylinder_reciprocating_mass * np.sin(balance_angle)


def _vector_share(stroke_nominal: Value, rod_length: Value) -> Value:
    """Part of the mass in each of the two vectors: a half, or half the crank ratio."""
    crank_ratio = crank_radius(stroke_nominal) / rod_length
    return np.where(_IS_PRIMARY, 0.5, crank_ratio / 2)


def unbalanced_mass(balance_along: Value, balance_aside: Value) -> Value:
    r"""Mass that would give the sum of the vectors of all cylinders.

    .. math:: \sqrt{\left(\sum k m \cos\beta\right)^2 + \left(\sum k m \sin\beta\right)^2}

    Parameters
    ----------
    balance_along : shape (..., cylinder, harmonic, turning), [kg]
        Share, along.
    balance_aside : shape (..., cylinder, harmonic, turning), [kg]
        Share, aside.

    Returns
    -------
    unbalanced_mass : shape (..., harmonic, turning), [kg]
        Unbalanced mass.

    Notes
    -----
    nan unless the shares of every cylinder are there.

    Source
    ------
    Length of a sum of vectors.

    Examples
    --------
    >>> float(unbalanced_mass(np.array([0.1, 0.2]), np.array([0.4, 0.0])))
    0.5
    """
    along = np.sum(balance_along, axis=-1)
    aside = np.sum(balance_aside, axis=-1)
    return np.sqrt(along**2 + aside**2)


def unbalanced_moment(balance_along: Value, balance_aside: Value, balance_arm: Value) -> Value:
    r"""Mass times distance that would give the sum of the couples of all cylinders.

    .. math:: \sqrt{\left(\sum k m z \cos\beta\right)^2 + \left(\sum k m z \sin\beta\right)^2}

    Parameters
    ----------
    balance_along : shape (..., cylinder, harmonic, turning), [kg]
        Share, along.
    balance_aside : shape (..., cylinder, harmonic, turning), [kg]
        Share, aside.
    balance_arm : shape (..., cylinder), [m]
        From the middle of the engine.

    Returns
    -------
    unbalanced_moment : shape (..., harmonic, turning), [kg*m]
        Unbalanced mass times distance.

    Notes
    -----
    nan unless the shares and the places of every cylinder are there. About the middle of the
    engine; about another place only the same if no mass is unbalanced.

    Source
    ------
    Length of a sum of vectors.

    Examples
    --------
    >>> shares = np.array([0.3, -0.3]), np.array([0.0, 0.0])
    >>> float(unbalanced_moment(*shares, np.array([-0.05, 0.05])))
    0.03
    """
    along = np.sum(balance_along * balance_arm, axis=-1)
    aside = np.sum(balance_aside * balance_arm, axis=-1)
    return np.sqrt(along**2 + aside**2)


def unbalanced_mass_apart(
    unbalanced_mass_with: Value, unbalanced_mass_against: Value, shown_mass: Value
) -> Value:
    r"""How far apart the two turning vectors are in mass.

    .. math:: |m_+ - m_-|

    Parameters
    ----------
    unbalanced_mass_with : shape (..., harmonic), [kg]
        Unbalanced mass, with the crank.
    unbalanced_mass_against : shape (..., harmonic), [kg]
        Unbalanced mass, against the crank.
    shown_mass : shape (...), [kg]
        SI size of the unit of mass that the workbook shows.

    Returns
    -------
    unbalanced_mass_apart : shape (..., harmonic), [kg]
        Masses, apart.

    Notes
    -----
    nan where an input is missing. Rounded at nine decimals of the unit that the workbook shows: of
    two equal ones nothing is left over.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> float(unbalanced_mass_apart(0.3, 0.1, 1.0))
    0.2
    """
    unit = shown_mass
    apart = np.abs(unbalanced_mass_with - unbalanced_mass_against)
    return rounded_nine(apart / unit) * unit


def unbalanced_moment_apart(
    unbalanced_moment_with: Value,
    unbalanced_moment_against: Value,
    shown_mass: Value,
    shown_length: Value,
) -> Value:
    r"""How far apart the two turning vectors are in mass times distance.

    .. math:: |M_+ - M_-|

    Parameters
    ----------
    unbalanced_moment_with : shape (..., harmonic), [kg*m]
        Unbalanced mass times distance, with the crank.
    unbalanced_moment_against : shape (..., harmonic), [kg*m]
        Unbalanced mass times distance, against the crank.
    shown_mass : shape (...), [kg]
        SI size of the unit of mass that the workbook shows.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    unbalanced_moment_apart : shape (..., harmonic), [kg*m]
        Mass times distance, apart.

    Notes
    -----
    nan where an input is missing. Rounded at nine decimals of the unit that the workbook shows: of
    two equal ones nothing is left over.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> float(unbalanced_moment_apart(0.3, 0.1, 1.0, 1.0))
    0.2
    """
    unit = shown_mass * shown_length
    apart = np.abs(unbalanced_moment_with - unbalanced_moment_against)
    return rounded_nine(apart / unit) * unit
