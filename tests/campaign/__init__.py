"""Long runs: one module each, with `run(n, seed) -> dict`; `python -m tests.campaign NAME --n N --seed S`.

Linear algebra keeps to one thread: its matrices are small, and processor time is what is counted.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
