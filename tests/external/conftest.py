"""How a printed figure is compared."""

from decimal import Decimal

import pytest


@pytest.fixture
def printed():
    """Compare with a figure as printed: half a unit of its last digit, or 1e-9 of it."""

    def compare(figure: str):
        exponent = Decimal(figure).as_tuple().exponent
        half_a_unit = 0.5000001 * 10.0**exponent
        return pytest.approx(float(figure), abs=half_a_unit, rel=1e-9)

    return compare
