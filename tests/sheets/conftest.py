"""Plans of the demo jobs, made once."""

from __future__ import annotations

from pathlib import Path

import pytest

from wiring import load_job, plan
from wiring.model.plan import Plan
from wiring.pipeline import material
from wiring.sheets.pack import sheets_of
from wiring.sheets.sheet import Material, Sheet

DEMO = Path(__file__).resolve().parents[2] / "catalogs" / "demo"


def planned(name: str, faults: str = "none") -> Plan:
    return plan(load_job(str(DEMO / f"{name}.toml")), faults=faults)


@pytest.fixture(scope="session")
def malt() -> Plan:
    return planned("malt-second-plan", "single")


@pytest.fixture(scope="session")
def gantry() -> Plan:
    return planned("slipway-gantry")


@pytest.fixture(scope="session")
def malt_material(malt: Plan) -> Material:
    return material(malt)


@pytest.fixture(scope="session")
def malt_sheets(malt_material: Material) -> tuple[Sheet, ...]:
    return sheets_of(malt_material)
