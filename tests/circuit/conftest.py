"""The built-in catalog, loaded once."""

from __future__ import annotations

import pytest

from wiring.files import load_catalog
from wiring.model.entry import Catalog


@pytest.fixture(scope="session")
def catalog() -> Catalog:
    return load_catalog()
