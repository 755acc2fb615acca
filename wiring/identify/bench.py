"""The bench test of a receiver alone: a value that asks step by step and keeps what was found.

Its results are the `[[bench]]` rows of a job, the jumpers as they are, and which
output each key works.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from wiring.files import AddEntry, Edit, SetKey
from wiring.identify.bench_net import pair_of, terminals
from wiring.identify.bench_steps import Setting, Step, setting_of, steps
from wiring.identify.bench_words import ANSWERS, WHY, do_text, kind_of
from wiring.identify.meter import CLOSED_OHM
from wiring.identify.reply import ReplyError, parse_reply
from wiring.model.entry import Catalog, ReceiverType
from wiring.model.job import BenchResult, Job
from wiring.model.value import Amount

NOTHING: Mapping[str, str] = MappingProxyType({})
_RESULTS = {"opens": "opens", "open": "opens", "closes": "closes", "closed": "closes", "stays": "stays"}
_ALLOWED = {"rest": ("opens", "closes"), "release": ("opens", "stays"), "battery-out": ("opens", "stays"),
            "range": ("opens", "stays"), "supply-return": ("opens", "closes"),
            "supply-return-held": ("opens", "closes")}  # fmt: skip
_TIMED = ("battery-out", "release", "range")
_TIME = re.compile(r"(<|under)?\s*([0-9]+(?:[.,][0-9]+)?)\s*(s|ms)")


@dataclass(frozen=True, slots=True)
class BenchWanted:
    """The next step. do: what the hand does; allowed: what may be answered."""

    step: Step
    do: str
    why: str
    allowed: str

    @property
    def test(self) -> str:
        """Name of the test, as the job file has it where it has one."""
        return kind_of(self.step)

    @property
    def output(self) -> str:
        """The output it is about, "" for steps before the outputs."""
        return self.step.output


@dataclass(frozen=True)
class BenchSession:
    """results: bench rows, those of the job first; jumpers: id to fitted; found: key to output;
    apart: terminals that are joined against the entry, in words; passed: steps answered or skipped."""

    job: Job
    receiver: ReceiverType | None
    results: tuple[BenchResult, ...] = ()
    jumpers: Mapping[str, bool] = field(default_factory=lambda: MappingProxyType({}))
    found: Mapping[str, str] = field(default_factory=lambda: NOTHING)
    apart: tuple[str, ...] = ()
    passed: frozenset[str] = frozenset()
    skipped: frozenset[str] = frozenset()

    @staticmethod
    def start(job: Job, catalog: Catalog) -> BenchSession:
        """The bench test of a job's receiver, without the steps whose results the job has already."""
        receiver = catalog.receivers[job.receiver.type] if job.receiver.type else None
        passed = {f"{row.test} {row.output}" for row in job.bench if row.output}
        if receiver is not None:
            known = {row.id for row in job.receiver.jumpers if row.fitted is not None}
            passed |= {f"jumper {part.id}" for part in receiver.net.parts if part.id in known}
        session = BenchSession(job, receiver, job.bench, passed=frozenset(passed))
        if any(row.test == "rest" for row in job.bench):  # the dead readings came before that
            dead = {step.name for step in session.steps if step.kind in ("closed", "split")}
            session = replace(session, passed=session.passed | dead)
        return session

    @property
    def setting(self) -> Setting:
        """Outputs, keys and jumpers as known now."""
        return setting_of(self.job, self.receiver, self.found, self.jumpers)

    @property
    def steps(self) -> tuple[Step, ...]:
        """Every step that there is to do, done or not."""
        return tuple(steps(self.setting))

    def wanted(self) -> BenchWanted | None:
        """The next step; None where all are done."""
        for step in self.steps:
            if step.name not in self.passed:
                do = do_text(step, self._needs_start)
                return BenchWanted(step, do, WHY[kind_of(step)], ANSWERS[kind_of(step)])
        return None

    @property
    def _needs_start(self) -> bool:
        return self.receiver is not None and any(output.needs_start for output in self.receiver.outputs)

    @property
    def complete(self) -> bool:
        """True where every step has an answer, none was skipped, and there was an output to test."""
        return self.wanted() is None and not self.skipped and bool(self.setting.outputs)

    # -- answers -------------------------------------------------------------------------------
    def answer(self, step: Step, text: str) -> BenchSession:
        """The session after one answer as typed. Raises ReplyError naming what is allowed."""
        said = " ".join(text.split())
        done = replace(self, passed=self.passed | {step.name})
        if said.lower() in ("skip", "s"):
            return replace(done, skipped=self.skipped | {step.name})
        if step.kind == "bare":
            if said.lower() not in ("yes", "y"):
                raise ReplyError(f"found {said[:40]!r}; allowed: yes, once nothing is connected")
            return done
        if step.kind == "jumper":
            return replace(done, jumpers={**self.jumpers, step.name.partition(" ")[2]: _fitted(said)})
        if step.kind in ("closed", "split"):
            return done._metered(step, said)
        if step.kind == "which":
            return done._worked(step, said)
        return replace(done, results=(*self.results, result_of(step, said)))

    def _metered(self, step: Step, said: str) -> BenchSession:
        """A reading of the dead receiver: what should be joined, what should be apart."""
        try:
            answer = parse_reply(said)
        except ReplyError:
            answer = "no button"
        if isinstance(answer, str):
            raise ReplyError(f"found {said[:40]!r}; allowed: {ANSWERS[step.kind]}")
        shut = answer.ohms is not None and answer.ohms <= CLOSED_OHM
        if shut == (step.kind == "closed") and (shut or answer.word == "OL"):
            return self
        ends = f"{' + '.join(step.a)} and {' + '.join(step.b)}"
        should = "joined" if step.kind == "closed" else "apart"
        return replace(self, apart=(*self.apart, f"{ends} should be {should} when dead, and read {said}"))

    def _worked(self, step: Step, said: str) -> BenchSession:
        """Which output a key works: by id, or by its terminals."""
        if said.lower() == "none":
            return replace(self, apart=(*self.apart, f"key {step.key} works no output"))
        if self.receiver is None:
            ends = said.replace(",", " ").replace("-", " ").split()
            if len(ends) != 2:
                raise ReplyError(f"found {said[:40]!r}; allowed: two terminals such as COM1 NO1, or none")
            return replace(self, found={**self.found, step.key: "-".join(ends)})
        by_pair = {frozenset((p.a, p.b)): o.id for o in self.receiver.outputs
                   if (p := pair_of(self.receiver, o.id, self.setting.jumpers))}  # fmt: skip
        ids = [output.id for output in self.receiver.outputs]
        named = said if said in ids else by_pair.get(frozenset(said.replace(",", " ").split()))
        if named is None:
            known = " | ".join([*ids, *terminals(self.receiver)])
            raise ReplyError(f"found {said[:40]!r}; allowed: an output or its two terminals ({known}), none")
        return replace(self, found={**self.found, step.key: named})

    # -- what it found -------------------------------------------------------------------------
    @property
    def fresh(self) -> tuple[BenchResult, ...]:
        """Results that the job does not have yet."""
        return self.results[len(self.job.bench) :]

    def objections(self) -> tuple[str, ...]:
        """What the bench showed that no hoist may hang on, and what is not as the entry says."""
        found = [*self.apart]
        stops = {id for id, key in self.setting.outputs if key == "stop"}
        for row in self.results:
            stop = row.output in stops
            if row.test == "rest" and row.result == "closes" and not stop:
                found.append(f"{row.output} is closed at rest")
            if row.test == "key" and row.result != ("opens" if stop else "closes"):
                found.append(f"{row.output} {row.result} when its key is held")
            if row.test in ("release", "battery-out", "range") and row.result != "opens":
                found.append(f"{row.output} {row.result} at {row.test}")
            if row.test in ("supply-return", "supply-return-held") and row.result == "closes":
                found.append(f"{row.output} comes back closed at {row.test}")
        return tuple(found)

    def edits(self) -> list[Edit]:
        """The results as edits of the job file."""
        found: list[Edit] = [AddEntry("bench", row_of(result)) for result in self.fresh]
        rows = {row.id: i for i, row in enumerate(self.job.receiver.jumpers)}
        for id, fitted in self.jumpers.items():
            if id in rows:
                found.append(SetKey(f"receiver.jumper.{rows[id]}.fitted", fitted))
            else:
                found.append(AddEntry("receiver.jumper", {"id": id, "fitted": fitted}))
        places = {row.id: i for i, row in enumerate(self.job.receiver.outputs)}
        for key, id in self.found.items() if self.receiver else ():
            if id in places:
                found.append(SetKey(f"receiver.output.{places[id]}.key", key))
            else:
                found.append(AddEntry("receiver.output", {"id": id, "key": key}))
        return found


def _fitted(said: str) -> bool:
    """A jumper by look or by ohms."""
    if said.lower() in ("yes", "y", "fitted"):
        return True
    if said.lower() in ("no", "n", "out"):
        return False
    answer = parse_reply(said)
    if isinstance(answer, str) or answer.word not in ("", "OL"):
        raise ReplyError(f"found {said[:40]!r}; allowed: yes, no, ohms, OL")
    return answer.ohms is not None and answer.ohms <= CLOSED_OHM


def result_of(step: Step, said: str) -> BenchResult:
    """A bench row from what was typed: `opens`, `opens 0.4 s`, `opens < 1 s`. Raises ReplyError."""
    word, _, rest = said.partition(" ")
    result = _RESULTS.get(word.lower())
    allowed = _ALLOWED.get(step.test, ("opens", "closes", "stays"))
    if result is None or result not in allowed:
        raise ReplyError(f"found {said[:40]!r}; allowed: {', '.join(allowed)}")
    if not rest:
        return BenchResult(step.test, step.output, result)
    match = _TIME.fullmatch(rest.strip().lower())
    if match is None or step.test not in _TIMED:
        timed = ", ".join(_TIMED)
        raise ReplyError(f"found {rest[:40]!r}; allowed: a time such as 0.4 s or < 1 s, at {timed}")
    text = f"{match[2].replace(',', '.')} {match[3]}"
    seconds = float(match[2].replace(",", ".")) * (0.001 if match[3] == "ms" else 1.0)
    return BenchResult(step.test, step.output, result, Amount(seconds, "time", text), bool(match[1]))


def row_of(result: BenchResult) -> dict[str, str]:
    """A bench row as the job file writes it."""
    row = {"test": result.test, "output": result.output or "", "result": result.result}
    if result.time is not None:
        row["time"] = f"< {result.time.text}" if result.at_most else result.time.text
    return row
