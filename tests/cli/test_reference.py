"""Reference on the command line: rules, catalog, schema, and the words of the guides."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path

import pytest

from wiring.check import RULES
from wiring.cli import main
from wiring.cli.parser import COMMANDS
from wiring.files import load_catalog, load_job

ROOT = Path(__file__).parents[2]
CATALOG = load_catalog()
KINDS = {
    "hoist": CATALOG.hoists, "receiver": CATALOG.receivers, "device": CATALOG.devices,
    "cable": CATALOG.cables, "table": CATALOG.tables, "clause": CATALOG.clauses,
}  # fmt: skip

Said = pytest.CaptureFixture[str]


def test_rules_are_listed(capsys: Said) -> None:
    """`rules` has one line a rule with danger, stage and region."""
    assert main(["rules"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in lines] == list(RULES)
    for line, rule in zip(lines, RULES.values(), strict=True):
        assert f"danger {rule.danger}" in line and rule.stage in line


@pytest.mark.parametrize("id", sorted(RULES))
def test_each_rule_is_told_in_full(id: str, capsys: Said) -> None:
    """`rules ID` says what it checks, why, what it needs, what it does not cover, and where it comes from."""
    assert main(["rules", id]) == 0
    page = capsys.readouterr().out
    assert page.startswith(id)
    parts = re.split(r"\n\n(Checks|Danger|Needs|Does not cover|Source)\n", page)
    told = dict(zip(parts[1::2], parts[2::2], strict=True))
    assert set(told) == {"Checks", "Danger", "Needs", "Does not cover", "Source"}
    assert all(len(text.strip()) > 3 for text in told.values()), told


def test_catalog_counts_and_lists(capsys: Said) -> None:
    """`catalog` counts each kind; `catalog KIND` lists every entry, types with what to look for."""
    assert main(["catalog"]) == 0
    counts = capsys.readouterr().out
    for kind, entries in KINDS.items():
        assert re.search(rf"^{kind} +{len(entries)} entries", counts, re.M)
        assert main(["catalog", kind]) == 0
        listed = capsys.readouterr().out.splitlines()
        assert [line for line in listed if line and not line.startswith(" ")] == list(entries)
    assert main(["catalog", "hoist"]) == 0
    assert capsys.readouterr().out.count("look for:") >= 3 * len(CATALOG.hoists)


@pytest.mark.parametrize("id", sorted(CATALOG.hoists))
def test_a_hoist_page_shows_circuit_cores_and_readings(id: str, capsys: Said) -> None:
    """`catalog hoist ID` shows the circuit as text, every core, and what a meter should read."""
    assert main(["catalog", "hoist", id]) == 0
    page = capsys.readouterr().out
    hoist = CATALOG.hoists[id]
    assert id in page
    for core in hoist.cores:
        assert core.role in page and core.at in page
    for motor in hoist.motors:
        assert all(part in page for part in motor.parts)
    assert "ohm" in page and "OL" in page


@pytest.mark.parametrize("kind", ["receiver", "device", "cable", "table", "clause"])
def test_every_entry_of_a_kind_has_a_page(kind: str, capsys: Said) -> None:
    """Every other catalog entry prints, with its title and where its figures come from."""
    for id, entry in KINDS[kind].items():
        assert main(["catalog", kind, id]) == 0
        page = capsys.readouterr().out
        words = str(getattr(entry, "title", "") or getattr(entry, "text", "")).split()
        assert words[0] in page and words[-1] in page, id
        assert "basis" in page or "memory" in page or "read" in page, id


@pytest.mark.parametrize("kind", ["job", "hoist", "receiver", "device"])
def test_schemas_are_json_schemas(kind: str, capsys: Said) -> None:
    """`schema KIND` prints a JSON Schema that refuses keys it does not know."""
    assert main(["schema", kind]) == 0
    schema = json.loads(capsys.readouterr().out)
    assert schema["$schema"].startswith("https://json-schema.org/")
    assert schema["type"] == "object" and len(schema["properties"]) > 5
    assert schema["additionalProperties"] is False


def test_demo_jobs_name_the_schema() -> None:
    """Line 1 of every demo names the schema that is written beside it."""
    for file in (ROOT / "catalogs" / "demo").glob("*.toml"):
        assert file.read_text("utf-8").splitlines()[0] == "#:schema job.schema.json"


def toml_blocks() -> list[tuple[str, str]]:
    """Every block of TOML in the guides: (where, text)."""
    found = []
    for guide in ("README.md", "DEVELOPERS.md"):
        text = (ROOT / guide).read_text("utf-8")
        for match in re.finditer(r"^```toml\n(.*?)^```", text, re.M | re.S):
            found.append((f"{guide}:{text[: match.start()].count(chr(10)) + 1}", match[1]))
    return found


def test_blocks_of_the_guides_load(tmp_path: Path) -> None:
    """Every TOML block in the guides is TOML, and one that is a job loads as a job."""
    for where, text in toml_blocks():
        data = tomllib.loads(text)
        assert data, where
        if "job" in data:
            path = tmp_path / "job.toml"
            path.write_text(text, "utf-8")
            assert load_job(path).title, where


def test_the_readme_names_every_command() -> None:
    """Every command of the parser has a line in the README's table."""
    readme = (ROOT / "README.md").read_text("utf-8")
    rows = set(re.findall(r"^\| `holdrun ([a-z-]+)", readme, re.M))
    assert {name for name, _, _ in COMMANDS} <= rows


def test_python_of_the_readme_runs(monkeypatch: pytest.MonkeyPatch, capsys: Said) -> None:
    """The lines of Python in the README run beside the demo jobs and print one line a finding."""
    monkeypatch.chdir(ROOT / "catalogs" / "demo")
    code = re.search(r"^```python\n(.*?)^```", (ROOT / "README.md").read_text("utf-8"), re.M | re.S)
    assert code
    exec(compile(code[1], "README.md", "exec"), {})
    assert len(capsys.readouterr().out.splitlines()) > 100
