"""The steps in the order of the work, and which findings each of them can change."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from wiring.model.finding import Finding, Verdict
from wiring.model.job import Job
from wiring.model.plan import Plan


@dataclass(frozen=True, slots=True)
class Step:
    """key, twin: the keys that go there; short: for the one-line bar; blocks: tables of the job
    edited there; rules: beginnings of rule ids it can change."""

    key: str
    twin: str
    name: str
    short: str
    about: str
    blocks: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        return self.name.lower()


STEPS = (
    Step("1", "f2", "Scope", "Scope", "what the job is, who is near it, where it hangs",
         ("job", "place", "answer"),
         ("place.", "people.lifted", "people.beside", "people.region", "mode.stop-travel")),
    Step("2", "f3", "Isolate", "Isol", "before anything is opened or measured",
         ("gate",), ("people.lockout",)),
    Step("3", "f4", "Hoist", "Hoist", "which type it is, how that is known, what feeds it",
         ("hoist", "supply", "value", "meter"),
         ("identity.type", "identity.as-found", "supply.", "proof.upper-limit", "proof.load-held")),
    Step("4", "f5", "Cores", "Cores", "what each core of the pendant cord is for",
         ("core", "cord", "reading", "pendant", "pendant.contact"),
         ("identity.core", "identity.count", "identity.direction", "conductor.colours",
          "conductor.spares", "conductor.mixed-voltages")),
    Step("5", "f6", "Receiver", "Recv", "what replaces the pendant, how it is set, what it can carry",
         ("receiver", "receiver.output", "receiver.jumper", "transmitter", "bench"),
         ("identity.receiver", "mode.", "contact.", "supply.range")),
    Step("6", "f7", "Connections", "Conn", "what lands where, what is added, what goes, what stops it",
         ("connection", "device", "remove", "stop"),
         ("proof.", "conductor.false-neutral", "conductor.loose-end", "conductor.earth",
          "contact.shared-common", "contact.poles", "supply.tap", "supply.isolator",
          "supply.earthed-side", "mode.opposing")),
    Step("7", "f8", "Cables", "Cabl", "gauge, length, order and landing of every conductor",
         ("cable",), ("conductor.", "proof.core-short")),
    Step("8", "f9", "Proof", "Proof", "play with both circuits; what every state and fault leads to",
         (), ("proof.",)),
    Step("9", "f10", "Findings", "Find", "every answer of every rule", (), ("",)),
    Step("0", "f11", "Drawing", "Draw", "the circuit and the connections as text, exported as drawings"),
    Step("-", "f12", "Papers", "Papr", "what to print, and who has looked at it",
         ("confirm", "approval", "record"),
         ("people.approval", "people.instructions", "identity.direction")),
)  # fmt: skip

BY_NAME = {step.name: step for step in STEPS}
OBJECTIONS = (Verdict.FAIL, Verdict.UNKNOWN)


def key_at(job: Job, where: str) -> str:
    """The key path that stands at `file:line`, the most exact one; "" where there is none."""
    line = where.rpartition(":")[2]
    if not line.isdigit():
        return ""
    keys = [key for key, at in job.lines.items() if at == int(line)]
    return max(keys, key=len, default="")


def block_at(path: str) -> str:
    """The block that a key path lies in: "receiver.output.0.mode" -> "receiver.output"."""
    steps = path.split(".")
    if steps[:2] in (["receiver", "output"], ["receiver", "jumper"], ["pendant", "contact"]):
        return ".".join(steps[:2])
    return steps[0]


def step_of_key(path: str) -> Step | None:
    """The step where a key path is edited."""
    block = block_at(path)
    return next((step for step in STEPS if block in step.blocks), None)


def changes(step: Step, finding: Finding, job: Job) -> bool:
    """Whether this step is a place where the finding can be changed."""
    if finding.rule.startswith(step.rules):
        return True
    key = key_at(job, finding.where)
    return bool(key) and block_at(key) in step.blocks


_sorted: tuple[Plan, dict[str, list[Finding]]] | None = None  # of the last plan that was asked about


def findings_of(step: Step, plan: Plan) -> list[Finding]:
    """The objections that this step can change, worst first as the report sorted them."""
    global _sorted
    if _sorted is None or _sorted[0] is not plan:
        objections = [f for f in plan.report.findings if f.verdict in OBJECTIONS]
        found = {s.name: [f for f in objections if changes(s, f, plan.job)] for s in STEPS}
        _sorted = (plan, found)
    return _sorted[1][step.name]


def worst(findings: Iterable[Finding]) -> Verdict:
    """fail before unknown before pass."""
    seen = {finding.verdict for finding in findings}
    return next((v for v in OBJECTIONS if v in seen), Verdict.PASS)


def home_of(finding: Finding, job: Job) -> Step:
    """The step to go to for a finding: where its line is edited, else the first that can change it."""
    step = step_of_key(key_at(job, finding.where)) if finding.where else None
    if step is not None:
        return step
    fitting = [s for s in STEPS if s.name != "Findings" and finding.rule.startswith(s.rules or ("\0",))]
    return fitting[0] if fitting else BY_NAME["Findings"]
