"""Nouns only: job, catalog entries, circuit, behaviour, finding, plan.

Frozen, slotted dataclasses with tuples. No room below this one; nothing here
reads a file, computes or prints. Import from the module that owns the name.
"""
