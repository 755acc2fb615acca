"""Long runs: one module each, with `run(n, seed) -> dict`; `python -m tests.campaign NAME --n N --seed S`."""
