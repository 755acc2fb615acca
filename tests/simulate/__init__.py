"""Tests of the simulation and its oracles. Small matrices: one thread each is fastest."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
