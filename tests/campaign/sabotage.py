"""Good plans spoilt in every way the trade knows, an independent judge, and whether the rules see it.

Detected is a harmful change with a fail that the good plan does not have and that names the place.
A false alarm is a harmless change after which something that passed is unknown or fails. What the
judge cannot tell is left out and counted.
"""

from __future__ import annotations

import random
import re
import time
from collections import Counter, defaultdict
from typing import Any

from tests.campaign._judge import Opinion, judge
from tests.campaign._sabotage_figures import FIGURES, HARMLESS
from tests.campaign._sabotage_plans import PAIRS, Base, base, planned
from tests.campaign._sabotage_ways import CONNECTIONS, Slip
from tests.rules.cases import dump
from wiring.files import InputError
from wiring.model.finding import Finding, Verdict
from wiring.model.plan import Plan

WAYS = {**CONNECTIONS, **FIGURES, **HARMLESS}
#: Times a plan with every single fault is slow: it gets fewer cases.
LESS = {"two-speed-crane-115": 0.25, "drive-pnp-two-channel-stop": 0.5, "drive-npn": 0.5}


def run(n: int, seed: int, only: tuple[tuple[str, str], ...] = ()) -> dict[str, Any]:
    """n changes of good plans, judged and checked; figures by kind, and everything missed. only: pairs
    of hoist and receiver."""
    pairs = only or tuple((h, r) for h, receivers in PAIRS.items() for r in receivers)
    shares = [LESS.get(h, 1.0) for h, _ in pairs]
    tally = Tally()
    began = time.process_time()
    for number, pair in enumerate(pairs):
        rng = random.Random(f"{seed} {pair}")
        count = quota(n, number, shares)
        good = base(*pair) if count else None
        if good is None:
            continue
        checked = Checked(good)
        for slip in slips(good, count, rng):
            tally.add(good, slip, judge(good.text, dump(slip.data)), checked)
    return tally.told() | {"cpu_seconds": round(time.process_time() - began, 1), "good_plans": len(pairs)}


def quota(n: int, number: int, shares: list[float]) -> int:
    """How many of n cases a plan gets, so that all together are n."""
    whole = sum(shares)
    before, after = sum(shares[:number]), sum(shares[: number + 1])
    return round(n * after / whole) - round(n * before / whole)


def slips(good: Base, count: int, rng: random.Random) -> list[Slip]:
    """Different changes of one plan, every way as often as it can."""
    lists = {}
    for kind, way in WAYS.items():
        found = [Slip(kind, told, data, places) for told, data, places in way(good.data)]
        rng.shuffle(found)
        lists[kind] = found
    drawn: list[Slip] = []
    while len(drawn) < count and any(lists.values()):
        kinds = [k for k, rest in lists.items() if rest]
        rng.shuffle(kinds)
        for kind in kinds:
            drawn.append(lists[kind].pop())
    return drawn[:count]


class Checked:
    """The engine's answers about one good plan and its changes: without faults, then with."""

    def __init__(self, good: Base) -> None:
        self.good = good
        self._plans: dict[str, Plan] = {"none": good.plan}

    def plan(self, faults: str) -> Plan:
        """The good plan."""
        if faults not in self._plans:
            self._plans[faults] = planned(self.good.data, faults)[1]
        return self._plans[faults]

    def fresh(self, slip: Slip, faults: str) -> tuple[list[Finding], list[Finding]]:
        """Findings that fail now and did not; findings that passed and do not. Raises InputError."""
        was, now = self.plan(faults), planned(slip.data, faults)[1]
        failed = {(f.rule, f.subject) for f in findings(was, Verdict.FAIL)}
        passed = {(f.rule, f.subject) for f in findings(was, Verdict.PASS)}
        new = [f for f in findings(now, Verdict.FAIL) if (f.rule, f.subject) not in failed]
        lost = [
            f for f in (*findings(now, Verdict.FAIL), *findings(now, Verdict.UNKNOWN))
            if (f.rule, f.subject) in passed or (f.verdict is Verdict.FAIL and f in new)
        ]  # fmt: skip
        return new, lost


def findings(plan: Plan, verdict: Verdict) -> list[Finding]:
    """Findings about the conversion with a verdict."""
    return [f for f in plan.report.findings if f.verdict is verdict and f.about == "after"]


def names(finding: Finding, places: tuple[str, ...]) -> bool:
    """True where a finding speaks of one of these places, by its subject or in its words."""
    text = " ".join((finding.subject, finding.found, finding.wanted, finding.path, *finding.remedies))
    words = {word for place in places for word in spellings(place)}
    return any(re.search(rf"(?<![\w.]){re.escape(word)}(?!\w)", text) for word in words)


def spellings(place: str) -> set[str]:
    """How a finding may write a place: whole, a part of the hoist by its own name, a key by its motion."""
    kind, _, bare = place.partition(":")
    if kind in ("key", "limit"):
        motion = bare.partition(".")[0]
        return {
            place,
            f"{motion} {kind}",
            *(f"{axis} {motion}" for axis in ("hoist", "winch", "trolley", "bridge")),
        }
    return {place, bare} if bare and kind in ("stop", "hoist", "receiver") else {place}


class Tally:
    """Cases by kind and outcome."""

    def __init__(self) -> None:
        self.cases: dict[str, Counter[str]] = defaultdict(Counter)
        self.misses: list[dict[str, Any]] = []
        self.alarms: list[dict[str, Any]] = []
        self.unsaid: Counter[str] = Counter()
        self.excluded: list[dict[str, Any]] = []

    def add(self, good: Base, slip: Slip, opinion: Opinion, checked: Checked) -> None:
        """One case: what the judge says, what the engine says."""
        self.cases[slip.kind]["cases"] += 1
        told = {"plan": good.name, "kind": slip.kind, "slip": slip.told, "judge": list(opinion.why)}
        if opinion.verdict == "cannot say":
            self.cases[slip.kind]["cannot say"] += 1
            self.unsaid[reason(opinion)] += 1
            self.excluded.append(told)
            return
        self.cases[slip.kind][opinion.verdict] += 1
        try:
            if opinion.verdict == "harmless":
                lost = checked.fresh(slip, "none")[1]
                if lost:
                    self.cases[slip.kind]["false alarm"] += 1
                    self.alarms.append(told | {"engine": [worded(f) for f in lost[:5]]})
                return
            self.harmful(slip, opinion, checked, told)
        except InputError as error:
            self.cases[slip.kind]["refused by the loader"] += 1
            if opinion.verdict == "harmful":
                self.cases[slip.kind]["detected"] += 1
            else:
                self.alarms.append(told | {"engine": [str(error)[:200]]})

    def harmful(self, slip: Slip, opinion: Opinion, checked: Checked, told: dict[str, Any]) -> None:
        """A harmful case: first without faults, then with every single one."""
        places = (*slip.places, *opinion.places)
        new: list[Finding] = []
        for faults in ("none", "single"):
            new = checked.fresh(slip, faults)[0]
            if any(names(f, places) for f in new):
                self.cases[slip.kind]["detected"] += 1
                self.cases[slip.kind]["by faults alone"] += faults == "single"
                return
        self.misses.append(told | {"engine": [worded(f) for f in new[:5]]})

    def told(self) -> dict[str, Any]:
        """The figures."""
        whole = sum(self.cases.values(), Counter())
        harmful, harmless = whole["harmful"], whole["harmless"]
        return {
            "cases": whole["cases"],
            "harmful": harmful,
            "detected": whole["detected"],
            "detected_share": round(whole["detected"] / harmful, 5) if harmful else None,
            "detected_by_faults_alone": whole["by faults alone"],
            "harmless": harmless,
            "false_alarms": len(self.alarms),
            "false_alarm_share": round(len(self.alarms) / harmless, 5) if harmless else None,
            "cannot_say": whole["cannot say"],
            "cannot_say_why": dict(self.unsaid.most_common()),
            "by_kind": {kind: dict(counts) for kind, counts in self.cases.items()},
            "misses": self.misses,
            "alarms": self.alarms,
            "excluded": self.excluded,
        }


REASONS = (
    ("the judge", "the judge cannot read it"),
    ("works otherwise, nothing moves", "a coil works in another state and nothing moves"),
    ("suppresses nothing", "a suppressor hangs on one leg: wear of the contact"),
    ("best stop", "a single fault does more, a stop at hand still ends it"),
    ("to pull in with", "a coil's voltage lies near its limit"),
    ("in its cable", "a motor's drop lies between advice and harm"),
    ("carries", "a current lies near what it may be"),
    ("does nothing at", "a pole or a fuse is bridged, another still does its work"),
    ("held out by", "the mechanical interlock alone holds a coil out"),
    ("times its current", "a transformer's fuse lies near what protects it"),
    ("its surge", "a fuse may not bear a transformer's surge"),
    ("of its holding current", "a long cable may hold a coil"),
    ("before", "a fuse lies near what its conductor bears"),
    ("thinner", "a conductor between two books' least sizes"),
    ("does not move", "two keys together do less"),
    ("has supply", "the receiver is fed in another state, nothing moves"),
    ("gets", "the receiver's supply lies near the end of its range"),
    ("press key:", "two keys together do otherwise, what one of them asks for"),
)


def reason(opinion: Opinion) -> str:
    """The name of what the judge could not tell."""
    first = opinion.why[0] if opinion.why else ""
    return next((name for word, name in REASONS if word in first), "figures near a limit")


def worded(finding: Finding) -> str:
    """A finding in one line."""
    return f"{finding.rule} {finding.subject} {finding.verdict}: {finding.found}"
