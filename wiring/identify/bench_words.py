"""Sentences of the bench test: what to do, why, what may be answered."""

from __future__ import annotations

from wiring.identify.bench_steps import Step

BARE = (
    "The receiver alone on a bench: its supply can be switched, nothing else is connected to any terminal. "
    "Mains on its supply terminals is live: a guarded plug, hands off while it is on, ohms only on contacts "
    "that carry nothing."
)
WHY = {
    "bare": "With anything on the contacts a reading means nothing, and with a hoist on them it moves.",
    "jumper": "A jumper nobody saw joins what the drawing keeps apart.",
    "closed": "The entry says that these are joined when the receiver is dead.",
    "split": "Every two terminals that must be apart lie once on different leads.",
    "which": "What is printed on a key does not say which relay it works.",
    "rest": "A contact that is closed at rest runs the hoist when the lid goes on.",
    "key": "Shows that this key works this output.",
    "release": "A contact that stays when the key is let go is not hold-to-run.",
    "battery-out": "What the outputs do when the signal is lost, and how soon.",
    "supply-return": "An output that comes back by itself moves the hoist when the power returns.",
    "supply-return-held": "A key held while the power returns must move nothing until it is pressed anew.",
    "opposite": "Up and down together short or stall something in most hoists.",
    "range": "At the edge of its range the signal is lost for good: the output must open.",
}
ANSWERS = {
    "bare": "yes",
    "jumper": "yes (fitted) or no",
    "closed": "ohms, OL",
    "split": "ohms, OL",
    "which": "the output's id, or the two terminals, or none",
    "rest": "opens (it is open) or closes (it is closed)",
    "key": "closes, opens or stays (nothing changes)",
    "release": "opens or stays",
    "battery-out": 'opens or stays, with the time: "opens 0.4 s", "opens < 1 s"',
    "supply-return": "opens (it stays open) or closes (it comes back)",
    "supply-return-held": "opens (it stays open) or closes (it comes back)",
    "opposite": "opens, closes or stays (as it was)",
    "range": 'opens or stays, with the time: "opens < 1 s"',
}


def kind_of(step: Step) -> str:
    """Key of the tables above."""
    return step.test if step.kind == "bench" else step.kind


def do_text(step: Step, needs_start: bool) -> str:
    """What to do, one or two sentences."""
    if step.kind == "bare":
        return BARE
    if step.kind == "jumper":
        name = step.name.partition(" ")[2]
        if step.a:
            ends = f"{step.a[0]} and {step.b[0]}"
            return f"Dead: jumper {name} between {ends}. Is it fitted? Near zero ohms if it is."
        return f"Dead: look for jumper {name} on the board. Is it fitted?"
    if step.kind == "closed":
        return f"Dead: ohms between {step.a[0]} and {step.b[0]}."
    if step.kind == "split":
        return f"Dead: tie {_names(step.a)} to one lead, {_names(step.b)} to the other. Ohms between them."
    start = "Switch on, give START with every key let go. " if needs_start else "Switch on. "
    if step.kind == "which":
        return f"{start}Hold {step.key.upper()}. Which output closes?"
    return f"{start}{_hand(step)} {_where(step)}"


def _hand(step: Step) -> str:
    key = step.key.upper()
    first, _, second = key.partition(" ")
    return {
        "rest": "Touch no key.",
        "key": f"Press {key} and hold it.",
        "release": f"Hold {key}, then let go.",
        "battery-out": f"Hold {key}, pull the transmitter's battery, count or film the time.",
        "supply-return": f"Hold {key}, switch the supply off, let {key} go, switch on again.",
        "supply-return-held": f"Hold {key}, switch the supply off and on, {key} held all the while.",
        "opposite": f"Hold {first}, then press {second} as well.",
        "range": f"Hold {key} and walk away until the link is lost; count the time it takes.",
    }[step.test]


def _where(step: Step) -> str:
    if step.pair is None:
        return f"What does {step.output} do?"
    if step.pair.powered:
        return (
            f"What does {step.output} do? A lamp of a few watts from {step.pair.b} to the other pole of the "
            "supply shows it: this contact carries the supply, no ohms here."
        )
    return f"Ohms between {step.pair.a} and {step.pair.b}: what does {step.output} do?"


def _names(names: tuple[str, ...]) -> str:
    return " + ".join(names)
