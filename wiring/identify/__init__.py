"""From meter readings to the hoist type and the role of each core; and the bench test of a receiver.

Owns hypotheses, the next best reading and what stays ambiguous. Must not write
files, must not judge a conversion, never proposes a live reading to anybody whom
the gate does not name, and never calls an answer certain on one reading.
"""

from wiring.identify.bench import BenchSession, BenchWanted
from wiring.identify.session import Session, Wanted, identify

__all__ = ["BenchSession", "BenchWanted", "Session", "Wanted", "identify"]
