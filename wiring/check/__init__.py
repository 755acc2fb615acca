"""Judges a plan: runs the rules, weighs weak values, sorts findings, gives the verdict.

Owns `judge`, `digest`, `identity` and `RULES`. Never reads a file, never prints,
and never invents a number: limits come from the catalog, facts from the job.
"""

from wiring.check.digest import changed, digest
from wiring.check.registry import RULES
from wiring.check.rule import Rule
from wiring.check.runner import judge, value_line
from wiring.check.verdict import identity

__all__ = ["RULES", "Rule", "changed", "digest", "identity", "judge", "value_line"]
