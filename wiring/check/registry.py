"""Finds the rules by walking the folder `rules`: one rule a file, ids unique."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Mapping
from types import MappingProxyType, ModuleType

from wiring.check import rules
from wiring.check.rule import Rule


def load(package: ModuleType = rules) -> Mapping[str, Rule]:
    """Every rule of a package by id.

    Raises ValueError for a file without exactly one rule, and for an id used twice.
    """
    found: dict[str, Rule] = {}
    for module_info in sorted(pkgutil.iter_modules(package.__path__), key=lambda m: m.name):
        module = importlib.import_module(f"{package.__name__}.{module_info.name}")
        own = [v for v in vars(module).values() if isinstance(v, Rule)]
        if len(own) != 1:
            raise ValueError(f"{module.__name__} holds {len(own)} rules, wanted 1")
        one = own[0]
        if one.id in found:
            raise ValueError(f"rule id {one.id} is used twice")
        found[one.id] = one
    return MappingProxyType(dict(sorted(found.items())))


RULES = load()
