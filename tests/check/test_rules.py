"""The rules as a whole: texts, regions, discovery, the mutation of what they say."""

from __future__ import annotations

import re
import sys
import types

import pytest

from tests.check.made import made
from wiring.check import RULES
from wiring.check.registry import load
from wiring.check.rule import Rule

US = re.compile(r"\b(NEC|CFR|NFPA|ASME|OSHA|NEMA|UL \d|MIL-)")
IEC = re.compile(r"\b(IEC 60204|IEC 60364|IEC 62745|EN \d|DGUV|Directive|ZH 1|ISO 1|Regulation \(EU)")


@pytest.mark.parametrize("rule", RULES.values(), ids=list(RULES))
def test_five_texts(rule: Rule) -> None:
    """Each of the five headings says something of its own, and no text is another rule's."""
    texts = (rule.checks, rule.hazard, rule.needs, rule.does_not_cover, rule.source)
    assert all(len(t) > 10 for t in texts)
    for other in RULES.values():
        if other is not rule:
            assert rule.checks != other.checks
            assert rule.hazard != other.hazard


@pytest.mark.parametrize("rule", RULES.values(), ids=list(RULES))
def test_clauses_of_one_region(rule: Rule) -> None:
    """What a job in one region is shown holds no clause of the other."""
    if "us" in rule.regions:
        assert rule.source_for("us") and not IEC.search(rule.source_for("us"))
    if "iec" in rule.regions:
        assert rule.source_for("iec") and not US.search(rule.source_for("iec"))


def test_words_that_are_never_used() -> None:
    """No text of a rule calls a verdict safe, proved safe or cleared."""
    for rule in RULES.values():
        said = " ".join((rule.title, rule.checks, rule.needs)).lower()
        assert not re.search(r"\b(proved safe|is safe|cleared)\b", said), rule.id


def _package(name: str, **rules: Rule) -> types.ModuleType:
    package = types.ModuleType(name)
    package.__path__ = []
    sys.modules[name] = package
    for module_name, rule in rules.items():
        module = types.ModuleType(f"{name}.{module_name}")
        module.check = rule  # type: ignore[attr-defined]
        sys.modules[module.__name__] = module
    return package


def test_an_id_used_twice_does_not_load(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two files with one rule id are refused."""
    one, two = made(lambda case: (), id="a.b", wants="job"), made(lambda case: (), id="a.b", wants="job")
    package = _package("made_rules", first=one, second=two)
    infos = [types.SimpleNamespace(name=n) for n in ("first", "second")]
    monkeypatch.setattr("wiring.check.registry.pkgutil.iter_modules", lambda _: infos)
    with pytest.raises(ValueError, match="twice"):
        load(package)


def test_a_file_without_rule_does_not_load(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file in the folder that holds no rule is refused."""
    package = _package("made_rules_2")
    sys.modules["made_rules_2.empty"] = types.ModuleType("made_rules_2.empty")
    infos = [types.SimpleNamespace(name="empty")]
    monkeypatch.setattr("wiring.check.registry.pkgutil.iter_modules", lambda _: infos)
    with pytest.raises(ValueError, match="holds 0 rules"):
        load(package)
