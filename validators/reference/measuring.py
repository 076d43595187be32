"""Sizes at the reference temperature: expansion of the bodies, growth factors, conversion."""

import numpy as np

from validators.reference.value import Value, first_match, only_where, picked
from validators.reference.words import DialSense, EntryForm, TemperatureState

__not_quantities__ = ("size_at_reference",)


def body_expansion(
    body_expansion_own: Value,
    body_material: Value,
    material_name: Value,
    material_expansion: Value,
    expansion_lowest: Value,
    expansion_highest: Value,
) -> Value:
    r"""Expansion coefficient of a body: its own figure if typed, else that of its material.

    .. math:: \alpha = \alpha_{own} \text{ if typed, else } \alpha_{material}

    Parameters
    ----------
    body_expansion_own : shape (..., body), [1/K]
    body_material : shape (..., body), [1]
    material_name : shape (..., material), [1]
    material_expansion : shape (..., material), [1/K]
    expansion_lowest : shape (...), [1/K]
    expansion_highest : shape (...), [1/K]

    Returns
    -------
    body_expansion : shape (..., body), [1/K]

    Notes
    -----
    nan if the own figure is outside the believed range, or if there is none and the material is
    missing or not in the table.

    Source
    ------
    The part maker's figure, or the material table (from memory).

    Examples
    --------
    >>> nan, names, figures = np.nan, np.array([1.0, 2.0]), np.array([11e-6, 11.7e-6])
    >>> one = body_expansion(np.array([nan]), np.array([2.0]), names, figures, 4e-6, 30e-6)
    >>> float(one) * 1e6
    11.7
    """
    table = picked(first_match(body_material, material_name), material_expansion)
    own = body_expansion_own[..., 0]
    believed = (body_expansion_own >= expansion_lowest) & (body_expansion_own <= expansion_highest)
    return np.where(np.isnan(own), table, only_where(believed[..., 0], own))


def rod_modulus_listed(
    body_material_rod: Value, material_name: Value, material_modulus: Value
) -> Value:
    r"""Elastic modulus of the rod's material, as the table has it.

    .. math:: E_{material}

    Parameters
    ----------
    body_material_rod : shape (...), [1]
    material_name : shape (..., material), [1]
    material_modulus : shape (..., material), [Pa]

    Returns
    -------
    rod_modulus_listed : shape (...), [Pa]

    Notes
    -----
    nan if the material is missing, not in the table, or listed there without a modulus.

    Source
    ------
    The material table (from memory).

    Examples
    --------
    >>> names, figures = np.array([1.0, 2.0]), np.array([115e9, 206e9])
    >>> float(rod_modulus_listed(np.array([2.0]), names, figures)) / 1e9
    206.0
    """
    return picked(first_match(body_material_rod, material_name), material_modulus)


def rod_modulus(rod_modulus_own: Value, rod_modulus_listed: Value) -> Value:
    r"""Elastic modulus of the rod: its own figure if typed, else that of its material.

    .. math:: E = E_{own} \text{ if typed, else } E_{material}

    Parameters
    ----------
    rod_modulus_own : shape (...), [Pa]
    rod_modulus_listed : shape (...), [Pa]

    Returns
    -------
    rod_modulus : shape (...), [Pa]

    Notes
    -----
    nan if neither is there.

    Source
    ------
    The part maker's figure, or the material table (from memory).

    Examples
    --------
    >>> float(rod_modulus(np.nan, 206e9)) / 1e9
    206.0
    """
    return np.where(np.isnan(rod_modulus_own), rod_modulus_listed, rod_modulus_own)


def temperature_state(
    part_temperature: Value,
    gauge_temperature: Value,
    temperature_lowest: Value,
    temperature_good: Value,
    temperature_highest: Value,
) -> Value:
    r"""Say what is to be thought of the temperatures at which a feature was measured.

    .. math:: T_{lowest} \le T \le T_{good} \text{ good, above it to } T_{highest} \text{ suspect}

    Parameters
    ----------
    part_temperature : shape (..., sized), [K]
    gauge_temperature : shape (..., sized), [K]
    temperature_lowest : shape (...), [K]
    temperature_good : shape (...), [K]
    temperature_highest : shape (...), [K]

    Returns
    -------
    temperature_state : shape (..., sized), [1]

    Notes
    -----
    Waiting if either temperature is missing; never nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> TemperatureState(int(temperature_state(296.15, 315.15, 278.15, 313.15, 318.15))).text
    'suspect'
    """
    part, gauge = part_temperature, gauge_temperature
    missing = np.isnan(part) | np.isnan(gauge)
    too_cold = (part < temperature_lowest) | (gauge < temperature_lowest)
    too_hot = (part > temperature_highest) | (gauge > temperature_highest)
    warm = (part > temperature_good) | (gauge > temperature_good)
    return np.select(
        [missing, too_cold | too_hot, warm],
        [TemperatureState.WAITING, TemperatureState.CHECK_ENTRY, TemperatureState.SUSPECT],
        TemperatureState.GOOD,
    )


def part_factor(
    body_expansion: Value,
    part_temperature: Value,
    reference_temperature: Value,
    temperature_lowest: Value,
    temperature_highest: Value,
) -> Value:
    r"""Growth of a part from the reference temperature to the one it was measured at.

    .. math:: f_p = 1 + \alpha_p (T_p - T_{ref})

    Parameters
    ----------
    body_expansion : shape (..., body), [1/K]
        Taken for the body that carries the feature.
    part_temperature : shape (..., sized), [K]
    reference_temperature : shape (...), [K]
    temperature_lowest : shape (...), [K]
    temperature_highest : shape (...), [K]

    Returns
    -------
    part_factor : shape (..., sized), [1]

    Notes
    -----
    nan if the temperature is outside the believed range.

    Source
    ------
    ISO 1, reference temperature (from memory).

    Examples
    --------
    >>> float(part_factor(21.5e-6, 299.15, 293.15, 278.15, 318.15))
    1.000129
    """
    believed = (part_temperature >= temperature_lowest) & (part_temperature <= temperature_highest)
    temperature = only_where(believed, part_temperature)
    return 1 + body_expansion * (temperature - reference_temperature)


def reference_factor(
    reference_expansion: Value,
    gauge_temperature: Value,
    reference_temperature: Value,
    temperature_lowest: Value,
    temperature_highest: Value,
) -> Value:
    r"""Growth of the gauge or master from the reference temperature to that of the measurement.

    .. math:: f_g = 1 + \alpha_g (T_g - T_{ref})

    Parameters
    ----------
    reference_expansion : shape (..., sized), [1/K]
    gauge_temperature : shape (..., sized), [K]
    reference_temperature : shape (...), [K]
    temperature_lowest : shape (...), [K]
    temperature_highest : shape (...), [K]

    Returns
    -------
    reference_factor : shape (..., sized), [1]

    Notes
    -----
    nan if the temperature is outside the believed range.

    Source
    ------
    ISO 1, reference temperature (from memory).

    Examples
    --------
    >>> float(reference_factor(11.5e-6, 297.15, 293.15, 278.15, 318.15))
    1.000046
    """
    believed = (gauge_temperature >= temperature_lowest) & (
        gauge_temperature <= temperature_highest
    )
    temperature = only_where(believed, gauge_temperature)
    return 1 + reference_expansion * (temperature - reference_temperature)


def dial_sign(dial_sense: Value) -> Value:
    r"""Sign of a dial: +1 where plus means bigger, -1 where it means smaller.

    .. math:: s_n = \pm 1

    Parameters
    ----------
    dial_sense : shape (..., sized), [1]

    Returns
    -------
    dial_sign : shape (..., sized), [1]

    Notes
    -----
    nan if the sense is missing.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(dial_sign(DialSense.PLUS_IS_SMALLER))
    -1.0
    """
    bigger = np.equal(dial_sense, DialSense.PLUS_IS_BIGGER)
    smaller = np.equal(dial_sense, DialSense.PLUS_IS_SMALLER)
    return np.where(bigger, 1.0, np.where(smaller, -1.0, np.nan))


def size_at_reference(
    reading: Value,
    entry_form: Value,
    setting_size: Value,
    setting_error: Value,
    dial_sense: Value,
    part_factor: Value,
    reference_factor: Value,
    size_lowest: Value,
    size_highest: Value,
    dial_travel: Value,
) -> Value:
    r"""Size at the reference temperature from a reading, whichever way it was typed.

    .. math:: D = I \frac{f_g}{f_p} \qquad D = \frac{(S + e_s) f_g + s_n d}{f_p}

    Parameters
    ----------
    reading : any shape, [m]
        A whole indicated size I, or what the dial shows from the setting size, d.
    entry_form : shape that broadcasts, [1]
        Which of the two it is.
    setting_size, setting_error : shape that broadcasts, [m]
        Nominal size of the master and the error on its certificate; read for a deviation only.
    dial_sense : shape that broadcasts, [1]
        Whether plus means bigger; read for a deviation only.
    part_factor, reference_factor : shape that broadcasts, [1]
        Growth of the part and of the gauge or master.
    size_lowest, size_highest, dial_travel : shape that broadcasts, [m]
        What is believed of a size and of a dial.

    Returns
    -------
    size_at_reference : the broadcast shape, [m]

    Notes
    -----
    nan if the form is missing, or if the reading is outside what is believed of its form.

    Source
    ------
    ISO 1, reference temperature (from memory).

    Examples
    --------
    >>> rest = (1.000129, 1.000046, 0.0005, 0.4, 0.0015)
    >>> float(size_at_reference(0.086012, EntryForm.SIZE, np.nan, np.nan, np.nan, *rest)) * 1e3
    86.00486192
    >>> float(size_at_reference(10.5e-6, EntryForm.DEVIATION, 0.086, 1.3e-6, 0, *rest)) * 1e3
    86.00466146
    """
    believed_size = (reading >= size_lowest) & (reading <= size_highest)
    from_size = only_where(believed_size, reading) * reference_factor / part_factor

    believed_deviation = np.abs(reading) <= dial_travel
    deviation = dial_sign(dial_sense) * only_where(believed_deviation, reading)
    from_deviation = ((setting_size + setting_error) * reference_factor + deviation) / part_factor

    typed_as_size = np.equal(entry_form, EntryForm.SIZE)
    typed_as_deviation = np.equal(entry_form, EntryForm.DEVIATION)
    return np.where(typed_as_size, from_size, np.where(typed_as_deviation, from_deviation, np.nan))
