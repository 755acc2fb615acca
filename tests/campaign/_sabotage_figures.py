"""Ways to spoil the settings and figures of a job, and changes that ought to do no harm."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator

from tests.campaign._judge_read import Data, entry, number
from tests.campaign._sabotage_ways import Way, copied, renamed, rows_of

Change = Iterator[tuple[str, Data, tuple[str, ...]]]


def modes(data: Data) -> Change:
    """An output that carries a motion is set to something else than momentary."""
    for n, row in enumerate(data["receiver"]["output"]):
        if row.get("key") in (None, "stop", "start"):
            continue
        for mode in entry("receivers", data["receiver"]["type"])["modes"]:
            if mode != "momentary":
                new = copied(data)
                new["receiver"]["output"][n]["mode"] = mode
                yield f"{row['id']} is {mode}", new, (row["id"], row["key"])


def loss(data: Data) -> Change:
    """What happens when the link or the supply is lost and comes back."""
    for key, value in (("on_signal_loss", "stays"), ("on_signal_loss", "closes"), ("on_signal_loss", "5 s"),
                       ("on_supply_return", "restores"), ("neutral_check", False)):  # fmt: skip
        new = copied(data)
        new["receiver"][key] = value
        yield f"{key} = {value}", new, (key, "receiver", "link", "supply", "loss", "return")


def thin(data: Data) -> Change:
    """A cable is far too thin."""
    us = data["job"]["region"] == "us"
    for n, cable in enumerate(rows_of(data, "cable")):
        for size in ("22 AWG", "20 AWG") if us else ("0.34 mm2", "0.5 mm2"):
            new = copied(data)
            new["cable"][n]["size"] = size
            yield f"{cable['id']} is {size}", new, (cable["id"],)


def long(data: Data) -> Change:
    """A run is many times as long."""
    for n, cable in enumerate(rows_of(data, "cable")):
        for length in ("150 m", "600 m"):
            new = copied(data)
            new["cable"][n]["length"] = length
            yield f"{cable['id']} is {length} long", new, (cable["id"],)


def low_supply(data: Data) -> Change:
    """The supply is far lower than the plate, or sags far."""
    volts = number(data["supply"]["voltage"])
    for share in (0.5, 0.7):
        new = copied(data)
        new["supply"]["voltage"] = f"{volts * share:g} V"
        yield f"supply of {volts * share:g} V", new, ("supply", "volt", " V")
    new = copied(data)
    new["supply"]["tolerance"] = "35 %"
    yield "supply 35 % low", new, ("supply", "volt", " V")


def fuses(data: Data) -> Change:
    """A fuse of another size was put in."""
    for n, row in enumerate(data["value"]):
        owner, _, key = row["of"].rpartition(".")
        if key == "rating" and re.search(r"(^|:)F\d+$", owner):
            for amps in ("100 A", "0.05 A"):
                new = copied(data)
                new["value"][n]["is"] = amps
                yield f"{owner} is {amps}", new, (owner,)


def contacts(data: Data) -> Change:
    """A contact of the receiver is rated far too low."""
    for n, row in enumerate(data["receiver"]["output"]):
        if not row.get("key"):
            continue
        for change in (
            {"ac15_120": "0.01 A", "ac15_240": "0.01 A", "dc13_24": "0.01 A", "pilot": None},
            {"make": "0.02 A", "pilot": None, "ac15_120": None, "ac15_240": None, "dc13_24": None},
            {"voltage_ac": "6 V", "voltage_dc": "6 V", "pilot": None},
            {"resistive": "0.01 A", "ac15_120": None, "ac15_240": None, "dc13_24": None, "pilot": None},
            {"fuse_max": "0.05 A"},
        ):  # fmt: skip
            new = copied(data)
            rating = new["receiver"]["output"][n]["rating"]
            for key, value in change.items():
                rating.pop(key, None)
                if value:
                    rating[key] = value
            told = ", ".join(k for k, v in change.items() if v)
            yield f"{row['id']} rated low: {told}", new, (f"receiver:{row['id']}",)


def device_ratings(data: Data) -> Change:
    """A contactor or a stop is rated far too low for its motor."""
    for n, row in enumerate(rows_of(data, "device")):
        if "rating" not in row:
            continue
        for change in ({"ac3": "0.2 A", "ac4": "0.1 A", "motor_120": None, "motor_240": None},
                       {"voltage_ac": "6 V", "voltage_dc": "6 V", "pilot": None}):  # fmt: skip
            new = copied(data)
            rating = new["device"][n]["rating"]
            for key, value in change.items():
                rating.pop(key, None)
                if value:
                    rating[key] = value
            yield f"{row['id']} rated low: {', '.join(k for k, v in change.items() if v)}", new, (row["id"],)


def bench(data: Data) -> Change:
    """On the bench a contact stayed closed."""
    for n, row in enumerate(rows_of(data, "bench")):
        if row["test"] in ("release", "battery-out"):
            new = copied(data)
            new["bench"][n] = {"test": row["test"], "output": row["output"], "result": "stays"}
            yield f"bench {row['test']}: {row['output']} stays", new, (row["output"],)


def far_stop(data: Data) -> Change:
    """The stop at the operator's hand hangs somewhere else."""
    for n, row in enumerate(rows_of(data, "stop")):
        if row.get("reach") == "operator":
            new = copied(data)
            new["stop"][n] |= {"reach": "elsewhere", "distance": "60 m"}
            yield f"{row['id']} hangs 60 m away", new, (row["id"],)


FIGURES: dict[str, Way] = {
    "wrong mode": modes, "loss and return": loss, "undersized conductor": thin, "longer run": long,
    "lower supply": low_supply, "wrong fuse": fuses, "contact rated too low": contacts,
    "device rated too low": device_ratings, "bench says otherwise": bench, "stop out of reach": far_stop,
}  # fmt: skip


def words(data: Data) -> Change:
    """Titles, names and places are worded otherwise."""
    new = copied(data)
    new["job"] |= {"title": "another name", "revision": "Z", "prepared_by": "somebody"}
    yield "title", new, ()
    for n, row in enumerate(data["connection"]):
        new = copied(data)
        new["connection"][n]["number"] = f"9{n:02}"
        yield f"wire number of {row['from']}", new, ()
    for n, row in enumerate(rows_of(data, "stop")):
        new = copied(data)
        new["stop"][n]["where"] = "by the other post"
        yield f"where of {row['id']}", new, ()
    for n, row in enumerate(data["receiver"]["output"]):
        new = copied(data)
        new["receiver"]["output"][n]["print"] = "Q"
        yield f"print of {row['id']}", new, ()


def order(data: Data) -> Change:
    """Rows of the file stand in another order; a wire is written from its other end."""
    rng = random.Random(len(data["connection"]))
    for key in ("connection", "core", "value", "device", "stop", "bench"):
        for _ in range(4):
            if len(rows_of(data, key)) > 1:
                new = copied(data)
                rng.shuffle(new[key])
                yield f"{key} rows shuffled", new, ()
    for n, row in enumerate(data["connection"]):
        new = copied(data)
        new["connection"][n]["from"], new["connection"][n]["to"] = row["to"], row["from"]
        yield f"{row['from']} to {row['to']} written backward", new, ()


def device_names(data: Data) -> Change:
    """A device is called something else, wherever it stands."""
    import tomllib

    from tests.rules.cases import dump

    for device in rows_of(data, "device"):
        text = renamed(dump(data), device["id"], f"A{device['id']}")
        new = tomllib.loads(text)
        yield f"{device['id']} called A{device['id']}", new, ()


def ampler(data: Data) -> Change:
    """Thicker copper, a shorter run, a better contact, a closer supply."""
    us = data["job"]["region"] == "us"
    for n, cable in enumerate(rows_of(data, "cable")):
        for key, value in (("size", "10 AWG" if us else "6 mm2"), ("length", "4.5 m"), ("length", "3 m"),
                           ("ambient", "25 degC")):  # fmt: skip
            new = copied(data)
            new["cable"][n][key] = value
            yield f"{cable['id']} {key} {value}", new, ()
    for n, row in enumerate(data["receiver"]["output"]):
        for key, value in (("make", "40 A"), ("electrical_life", 5000000), ("voltage_ac", "400 V")):
            new = copied(data)
            new["receiver"]["output"][n]["rating"][key] = value
            yield f"{row['id']} {key} {value}", new, ()
    for key, value in (("tolerance", "4 %"), ("fault_current", "400 A")):
        new = copied(data)
        new["supply"][key] = value
        yield f"supply {key} {value}", new, ()
    new = copied(data)
    new["receiver"]["on_signal_loss"] = "0.3 s"
    yield "lost link opens sooner", new, ()


def turned(data: Data) -> Change:
    """The two wires of a contact or a coil without polarity change places."""
    for device in rows_of(data, "device"):
        kind = entry("devices", device["type"])
        units = kind.get("units", [])
        ends = [p["at"] for p in kind["parts"] if p["kind"] in ("contact", "fuse", "coil")]
        ends = [pair for pair in ends if not set(pair) & set(kind.get("junctions", []))]
        for pair in ends:
            if sum(set(pair) & set(other) != set() for other in ends) > 1:
                continue  # a terminal that two parts share
            one, other = (
                f"{device['id']}.{p}" if p.partition(":")[0] in units else f"{device['id']}:{p}" for p in pair
            )
            change = {one: other, other: one}
            new = copied(data)
            for row in new["connection"]:
                for side in ("from", "to"):
                    row[side] = change.get(row[side], row[side])
            if new != data:
                yield f"{one} and {other} turned round", new, ()


def spare(data: Data) -> Change:
    """One more conductor that nothing uses lies at the end of a cable."""
    for n, cable in enumerate(rows_of(data, "cable")):
        new = copied(data)
        new["cable"][n]["order"] = [*cable["order"], "S9"]
        yield f"a spare in {cable['id']}", new, ()


HARMLESS: dict[str, Way] = {
    "worded otherwise": words, "written in another order": order, "device renamed": device_names,
    "ampler": ampler, "turned round": turned, "spare conductor": spare,
}  # fmt: skip
