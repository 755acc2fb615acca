"""holdrun: plan and verify the conversion of a hoist's pendant to a wireless receiver.

This module is the engine's door: everything a front end or a script needs is
here and nothing else is promised. Names are loaded when first used, so that
importing the package costs nothing.
"""

from __future__ import annotations

import sys

TYPE_CHECKING = False  # the name type checkers know; the typing module itself is not needed at start
if TYPE_CHECKING:
    from wiring.check import RULES as RULES
    from wiring.check.rating_words import RatingError as RatingError
    from wiring.files import InputError as InputError
    from wiring.files import atomic_write as atomic_write
    from wiring.files import edit_job as edit_job
    from wiring.files import load_catalog as load_catalog
    from wiring.files import load_job as load_job
    from wiring.files import rewrite_job as rewrite_job
    from wiring.files import save_job as save_job
    from wiring.files import schema as schema
    from wiring.model.finding import Finding as Finding
    from wiring.model.finding import Problem as Problem
    from wiring.model.finding import Verdict as Verdict
    from wiring.model.plan import Plan as Plan
    from wiring.pipeline import approve as approve
    from wiring.pipeline import bench_test as bench_test
    from wiring.pipeline import commissioning as commissioning
    from wiring.pipeline import compare as compare
    from wiring.pipeline import demos as demos
    from wiring.pipeline import diagnose as diagnose
    from wiring.pipeline import draw as draw
    from wiring.pipeline import fit as fit
    from wiring.pipeline import identify as identify
    from wiring.pipeline import lint_entry as lint_entry
    from wiring.pipeline import new_job_text as new_job_text
    from wiring.pipeline import new_type_text as new_type_text
    from wiring.pipeline import pack as pack
    from wiring.pipeline import pack_page as pack_page
    from wiring.pipeline import plan as plan
    from wiring.pipeline import propose as propose
    from wiring.pipeline import rating as rating
    from wiring.pipeline import recalled as recalled
    from wiring.pipeline import record as record
    from wiring.pipeline import refusals as refusals
    from wiring.pipeline import remedy as remedy
    from wiring.pipeline import requirements as requirements
    from wiring.pipeline import review_text as review_text
    from wiring.pipeline import specification as specification
    from wiring.pipeline import stray_answers as stray_answers
    from wiring.pipeline import type_page as type_page
    from wiring.pipeline import write_proposal as write_proposal
    from wiring.pipeline import write_record as write_record
    from wiring.pipeline import write_sheets as write_sheets
    from wiring.pipeline import written as written
    from wiring.sheets.compare_text import compare_json as compare_json
    from wiring.sheets.compare_text import compare_text as compare_text
    from wiring.sheets.findings_json import check_json as check_json
    from wiring.sheets.findings_text import check_text as check_text
    from wiring.sheets.proof_json import proof_json as proof_json
    from wiring.sheets.proof_json import proof_verdict as proof_verdict
    from wiring.sheets.proof_text import proof_text as proof_text
    from wiring.sheets.rating_text import rating_json as rating_json
    from wiring.sheets.rating_text import rating_text as rating_text
    from wiring.sheets.recalled_text import recalled_csv as recalled_csv
    from wiring.sheets.recalled_text import recalled_json as recalled_json
    from wiring.sheets.recalled_text import recalled_text as recalled_text
    from wiring.sheets.requirement_text import requirement_json as requirement_json
    from wiring.sheets.requirement_text import requirement_text as requirement_text
    from wiring.simulate import Bench as Bench

__version__ = "0.1.0"
__distribution__ = "holdrun"

_HOME = {
    "RULES": "wiring.check",
    "RatingError": "wiring.check.rating_words",
    "rating": "wiring.pipeline",
    "rating_json": "wiring.sheets.rating_text",
    "rating_text": "wiring.sheets.rating_text",
    "recalled": "wiring.pipeline",
    "recalled_csv": "wiring.sheets.recalled_text",
    "recalled_json": "wiring.sheets.recalled_text",
    "recalled_text": "wiring.sheets.recalled_text",
    "requirement_json": "wiring.sheets.requirement_text",
    "requirement_text": "wiring.sheets.requirement_text",
    "requirements": "wiring.pipeline",
    "stray_answers": "wiring.pipeline",
    "InputError": "wiring.files",
    "atomic_write": "wiring.files",
    "edit_job": "wiring.files",
    "load_catalog": "wiring.files",
    "load_job": "wiring.files",
    "rewrite_job": "wiring.files",
    "save_job": "wiring.files",
    "schema": "wiring.files",
    "Finding": "wiring.model.finding",
    "Problem": "wiring.model.finding",
    "Verdict": "wiring.model.finding",
    "Plan": "wiring.model.plan",
    "bench_test": "wiring.pipeline",
    "compare": "wiring.pipeline",
    "demos": "wiring.pipeline",
    "lint_entry": "wiring.pipeline",
    "new_job_text": "wiring.pipeline",
    "new_type_text": "wiring.pipeline",
    "write_proposal": "wiring.pipeline",
    "diagnose": "wiring.pipeline",
    "draw": "wiring.pipeline",
    "fit": "wiring.pipeline",
    "identify": "wiring.pipeline",
    "plan": "wiring.pipeline",
    "propose": "wiring.pipeline",
    "refusals": "wiring.pipeline",
    "remedy": "wiring.pipeline",
    "specification": "wiring.pipeline",
    "type_page": "wiring.pipeline",
    "write_sheets": "wiring.pipeline",
    "written": "wiring.pipeline",
    "check_json": "wiring.sheets.findings_json",
    "check_text": "wiring.sheets.findings_text",
    "proof_json": "wiring.sheets.proof_json",
    "proof_verdict": "wiring.sheets.proof_json",
    "proof_text": "wiring.sheets.proof_text",
    "approve": "wiring.pipeline",
    "commissioning": "wiring.pipeline",
    "pack": "wiring.pipeline",
    "pack_page": "wiring.pipeline",
    "record": "wiring.pipeline",
    "review_text": "wiring.pipeline",
    "write_record": "wiring.pipeline",
    "compare_json": "wiring.sheets.compare_text",
    "compare_text": "wiring.sheets.compare_text",
    "Bench": "wiring.simulate",
}

__all__ = sorted(_HOME)


class _Door(type(sys)):  # type: ignore[misc]
    """Keeps a name of the door a function where a room has the same name (`draw`, `identify`):
    loading the room must not put the module in its place."""

    def __setattr__(self, name: str, value: object) -> None:
        if not (name in _HOME and isinstance(value, type(sys))):
            super().__setattr__(name, value)


sys.modules[__name__].__class__ = _Door


def __getattr__(name: str) -> object:
    if name not in _HOME:
        raise AttributeError(f"module 'wiring' has no attribute {name!r}")
    import importlib  # only when a name is asked for: start-up stays bare

    found: object = getattr(importlib.import_module(_HOME[name]), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    return sorted([*globals(), *_HOME])
