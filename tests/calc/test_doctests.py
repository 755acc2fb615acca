"""The worked example in the docstring of every public calculation runs, and every one has one."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil
from types import ModuleType

import pytest

import wiring.calc

MODULES = [
    importlib.import_module(f"wiring.calc.{info.name}") for info in pkgutil.iter_modules(wiring.calc.__path__)
]


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_examples_hold(module: ModuleType) -> None:
    """Every docstring example gives what it prints."""
    result = doctest.testmod(module)
    assert result.failed == 0 and result.attempted > 0


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_each_function_shows_an_example_and_a_source(module: ModuleType) -> None:
    """Every public function has a worked example and, where it is a formula of the trade, a source."""
    for name, function in inspect.getmembers(module, inspect.isfunction):
        if name.startswith("_") or function.__module__ != module.__name__:
            continue
        text = function.__doc__ or ""
        assert ">>>" in text, name
        assert "Source:" in text or module.__name__.endswith(".lookup"), name
