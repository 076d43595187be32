"""Whether the rod bolts keep the cap closed at top dead centre of the exhaust stroke."""

import numpy as np

from validators.reference.present import largest_present
from validators.reference.slider_crank import crank_radius
from validators.reference.value import Value, only_where


def reciprocating_mass_used(cylinder_reciprocating_mass: Value, reciprocating_mass: Value) -> Value:
    r"""Reciprocating mass that loads rod and bolts: the heaviest that was weighed, else the chosen one.

    .. math:: \max_i m_i

    Parameters
    ----------
    cylinder_reciprocating_mass : shape (..., cylinder), [kg]
        Reciprocating mass.
    reciprocating_mass : shape (...), [kg]
        Reciprocating mass, chosen.

    Returns
    -------
    reciprocating_mass_used : shape (...), [kg]
        Reciprocating mass used.

    Notes
    -----
    nan where nothing is weighed and none is chosen. Cylinders that are not weighed are passed over.

    Source
    ------
    A choice, no equation: what is weighed counts before what a catalogue says.

    Examples
    --------
    >>> chosen = np.array([0.628])
    >>> float(reciprocating_mass_used(np.array([0.612, np.nan, 0.618]), chosen))
    0.618
    >>> float(reciprocating_mass_used(np.array([np.nan, np.nan]), chosen))
    0.628
    """
    heaviest = largest_present(cylinder_reciprocating_mass)
    return np.where(np.isnan(heaviest), reciprocating_mass[..., 0], heaviest)


def separation_force(
    stroke_nominal: Value,
    rod_length: Value,
    engine_speed: Value,
    reciprocating_mass_used: Value,
    rod_rotating_mass: Value,
    rod_cap_mass: Value,
) -> Value:
    r"""Force that both bolts of a rod bear at top dead centre of the exhaust stroke.

    .. math:: F_s = R \omega^2 (m_{rec} (1 + \lambda) + m_{rot} - m_{cap}), \qquad
        R = \frac{S}{2}, \quad \lambda = \frac{R}{L}

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    rod_length : shape (...), [m]
        Rod length, chosen.
    engine_speed : shape (...), [rad/s]
        Highest engine speed.
    reciprocating_mass_used : shape (...), [kg]
        Reciprocating mass used.
    rod_rotating_mass : shape (...), [kg]
        Rotating mass of a rod, with shells.
    rod_cap_mass : shape (...), [kg]
        Cap, half shell and bolt ends.

    Returns
    -------
    separation_force : shape (...), [N]
        Force that opens the cap at top, exhaust stroke.

    Notes
    -----
    nan where an input is missing. No gas pressure, no offset. The bolts bear what lies on the
    piston's side of the joint; the inertia of the cap itself rests on the crankpin. Books that add
    the cap are on the safe side of this.

    Source
    ------
    Free body of the upper half of the rod.

    Examples
    --------
    >>> float(separation_force(0.081, 0.136, 733.0382858, 0.628, 0.372, 0.150))
    22568.00942
    """
    radius = crank_radius(stroke_nominal)
    crank_ratio = radius / only_where(rod_length > 0, rod_length)
    masses = reciprocating_mass_used * (1 + crank_ratio) + rod_rotating_mass - rod_cap_mass
    return radius * engine_speed**2 * masses


def bearing_load(
    stroke_nominal: Value,
    rod_length: Value,
    engine_speed: Value,
    reciprocating_mass_used: Value,
    rod_rotating_mass: Value,
) -> Value:
    r"""Load on a crankpin at top dead centre of the exhaust stroke.

    .. math:: W = m_{rec} R \omega^2 (1 + \lambda) + m_{rot} R \omega^2, \qquad
        R = \frac{S}{2}, \quad \lambda = \frac{R}{L}

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    rod_length : shape (...), [m]
        Rod length, chosen.
    engine_speed : shape (...), [rad/s]
        Highest engine speed.
    reciprocating_mass_used : shape (...), [kg]
        Reciprocating mass used.
    rod_rotating_mass : shape (...), [kg]
        Rotating mass of a rod, with shells.

    Returns
    -------
    bearing_load : shape (...), [N]
        Load on the crankpin at top, exhaust stroke.

    Notes
    -----
    nan where an input is missing. No gas pressure, no offset.

    Source
    ------
    Free body of piston and rod.

    Examples
    --------
    >>> float(bearing_load(0.081, 0.136, 733.0382858, 0.628, 0.372))
    25832.38107
    """
    radius = crank_radius(stroke_nominal)
    crank_ratio = radius / only_where(rod_length > 0, rod_length)
    reciprocating = reciprocating_mass_used * radius * engine_speed**2 * (1 + crank_ratio)
    rotating = rod_rotating_mass * radius * engine_speed**2
    return reciprocating + rotating


def rod_preload_least(
    bolt_preload: Value, rodbolt_cylinder: Value, cylinder_number: Value
) -> Value:
    r"""Smaller preload of the two bolts of a rod.

    .. math:: \min(F_a, F_b)

    Parameters
    ----------
    bolt_preload : shape (..., rodbolt), [N]
        Preload.
    rodbolt_cylinder : shape (..., rodbolt), [1]
        Cylinder.
    cylinder_number : shape (..., cylinder), [1]
        Cylinder.

    Returns
    -------
    rod_preload_least : shape (..., cylinder), [N]
        Smaller preload of the two bolts.

    Notes
    -----
    nan unless both are there.

    Source
    ------
    Common practice: an uneven pair is as good as its worse half.

    Examples
    --------
    >>> preloads, cylinders = np.array([[23e3, 22e3, 24e3, np.nan]]), np.array([[1, 1, 2, 2]])
    >>> rod_preload_least(preloads, cylinders, np.array([[1], [2]])).tolist()
    [22000.0, nan]
    """
    of_this_rod = np.equal(rodbolt_cylinder, cylinder_number)
    # The others are lifted above every preload that is there.
    lifted = largest_present(bolt_preload)[..., np.newaxis]
    return np.min(np.where(of_this_rod, bolt_preload, lifted), axis=-1)


def separation_margin(
    rod_preload_least: Value, bolt_crush_load: Value, separation_force: Value
) -> Value:
    r"""How many times the two bolts hold what opens the cap.

    .. math:: \frac{2 F - F_c}{F_s}

    Parameters
    ----------
    rod_preload_least : shape (..., cylinder), [N]
        Smaller preload of the two bolts.
    bolt_crush_load : shape (...), [N]
        Load that closes the shell crush.
    separation_force : shape (...), [N]
        Force that opens the cap at top, exhaust stroke.

    Returns
    -------
    separation_margin : shape (..., cylinder), [1]
        Separation margin.

    Notes
    -----
    nan where an input is missing, or nothing opens the cap.

    Source
    ------
    Common practice, no source: at least 1.5.

    Examples
    --------
    >>> float(separation_margin(23e3, 6e3, 20e3))
    2.0
    """
    held = 2 * rod_preload_least - bolt_crush_load
    return held / only_where(separation_force > 0, separation_force)


def separation_guard(
    form_guard_bolt: Value, bolt_compliance: Value, separation_force: Value
) -> Value:
    r"""Expanded uncertainty of the separation margin, from that of the stretch.

    .. math:: \frac{2 U_{\Delta L}}{\delta F_s}

    Parameters
    ----------
    form_guard_bolt : shape (...), [m]
        U, difference of two readings, bolt length.
    bolt_compliance : shape (...), [m/N]
        Compliance of the bolt.
    separation_force : shape (...), [N]
        Force that opens the cap at top, exhaust stroke.

    Returns
    -------
    separation_guard : shape (...), [1]
        U, separation margin.

    Notes
    -----
    nan where an input is missing, or nothing opens the cap. Of the stretch alone: compliance,
    masses and speed are taken as they are typed.

    Source
    ------
    JCGM 100, first order (from memory).

    Examples
    --------
    >>> float(separation_guard(0.003e-3, 6e-9, 20e3))
    0.05
    """
    preload_guard = form_guard_bolt / only_where(bolt_compliance > 0, bolt_compliance)
    return 2 * preload_guard / only_where(separation_force > 0, separation_force)
