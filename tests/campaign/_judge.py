"""The independent judge: is a changed job harmful, harmless, or nothing that it can tell.

It reads job and catalogs itself, builds and solves the circuits itself and shares no code with the
engine. It never asks what the engine thinks: a case is harmful because something moves, carries or
stays that did not in the good plan, or because a figure is far off.
"""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass

from tests.campaign._judge_apart import apart_harms, idle_harms
from tests.campaign._judge_hand import hand_harms
from tests.campaign._judge_look import (
    Good,
    Harm,
    behaviour_harms,
    earth_harms,
    fault_harms,
    hanging,
    rest_harms,
)
from tests.campaign._judge_net import build
from tests.campaign._judge_read import CannotRead, Data, job
from tests.campaign._judge_run import Machine


@dataclass(frozen=True)
class Opinion:
    """harmful | harmless | cannot say, with why and the names of what is concerned.

    hidden: it takes a fault to see it.
    """

    verdict: str
    why: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    hidden: bool = False


@functools.lru_cache(maxsize=4)
def good_of(text: str) -> tuple[Good, dict[str, Harm]]:
    """A good plan, looked at once."""
    good = Good(job(text))
    return good, marked(hand_harms(good.job, good.machine) + apart_harms(good.job, good.machine))


def marked(harms: list[Harm]) -> dict[str, Harm]:
    """Harms by what they are, whatever their figures."""
    found: dict[str, Harm] = {}
    for harm in harms:
        key = re.sub(r"\d+(\.\d+)?(e[+-]?\d+)?( m?A| V|%| s)?", "#", harm.what.replace(*GAUGE)) + "|".join(
            harm.places
        )
        if key not in found or harm.sure:
            found[key] = harm
    return found


GAUGE = (" mA", " A")


def judge(good_text: str, text: str) -> Opinion:
    """What to think of a change of a good job."""
    good, figures = good_of(good_text)
    try:
        changed = named_alike(good.job, text)
        machine = Machine(build(changed, True))
        now = marked(hand_harms(changed, machine) + apart_harms(changed, machine))
        harms = behaviour_harms(good, machine) + earth_harms(good, machine)
        harms += rest_harms(good, machine) + hanging(machine)
    except CannotRead as error:
        return Opinion("cannot say", (f"the judge's reader: {error}",))
    except KeyError as error:
        return Opinion("cannot say", (f"the judge misses a figure: {error}",))
    harms += idle_harms(good.machine, machine)
    for key, harm in now.items():
        was = figures.get(key)
        if was is None or (harm.sure and not was.sure) or sinks(was, harm):
            harms.append(harm)
    if any(h.sure for h in harms):
        return opinion("harmful", [h for h in harms if h.sure])
    broken = fault_harms(good, machine.net)
    if any(h.sure for h in broken):
        return opinion("harmful", [h for h in broken if h.sure], True)
    if harms or broken:
        return opinion("cannot say", harms + broken)
    return Opinion("harmless")


def sinks(was: Harm, now: Harm) -> bool:
    """True where a coil that was short of volts in the good plan has several per cent less now."""
    shares = [re.search(r"has (\d+)% to pull in", harm.what) for harm in (was, now)]
    return bool(shares[0] and shares[1]) and int(shares[1][1]) < int(shares[0][1]) - 2


def named_alike(good: Data, text: str) -> Data:
    """A job whose devices are called as in the good plan: a name is a name."""
    known = {row["id"] for row in good.get("device", [])}
    rows = zip(good.get("device", []), job(text).get("device", []), strict=False)
    for was, now in rows:
        if now["id"] not in known and was["type"] == now["type"]:
            text = re.sub(rf"\b{re.escape(now['id'])}(?=[.:\"])", was["id"], text)
    return job(text)


def opinion(verdict: str, harms: list[Harm], hidden: bool = False) -> Opinion:
    """An opinion with its reasons, the first few."""
    places = tuple(dict.fromkeys(p for h in harms for p in h.places))
    return Opinion(verdict, tuple(h.what for h in harms[:4]), places, hidden)
