"""The filled, faultless workbooks of the invented engines, for tests of single checks."""

from __future__ import annotations

import pytest

from tests.returned.workbooks import Engine, engine


@pytest.fixture(scope="session")
def three() -> Engine:
    """An inline-three in millimetres."""
    return engine("three")


@pytest.fixture(scope="session")
def twin() -> Engine:
    """A V-twin in inches."""
    return engine("twin")


@pytest.fixture
def save(tmp_path):
    """Save bytes as a returned file."""

    def saved(data: bytes, name: str = "returned.xlsx"):
        path = tmp_path / name
        path.write_bytes(data)
        return path

    return saved
