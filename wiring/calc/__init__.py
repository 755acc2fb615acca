"""Hand calculations: pure functions of SI numbers, each with units, validity, source and a worked example.

Owns formulas. Must not open files, know a job or a catalog entry beyond the
`Table` handed to `lookup`, nor give verdicts: table figures come in as arguments.
Call the functions from the module that owns them, e.g. `wiring.calc.coil`.
A formula may stand here before a rule uses it: tests try each against its cases.
"""
