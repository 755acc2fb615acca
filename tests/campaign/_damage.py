"""Ways to damage an input: its text, its bytes, the kinds of its values; and texts of no kind at all."""

from __future__ import annotations

import random

from tests.files.test_fuzz import SPLICES, damaged, mistyped

__all__ = ["byte_damaged", "damaged", "mistyped", "nearly", "noise"]

PIECES = (
    *SPLICES, "12 m", "0.5 hp", "1/3 hp", "18 AWG", "1.5 mm²", "4/0 AWG", "-3 V", "1e9 ohm", "230 V", "OL",
    "climbs", "drops", "skip", "no button", "0.3", "12,5", "½ hp", "٣ m", "µF", "kohm", " ", "  ", "/", "%",
    "0" * 60, "9" * 60, "\u00a0", "ohm ohm", "m m", "∞", "1.2.3", "inf V", "+", "Ω", "k", "M", "m", "hp",
    "K", "°C", "<script>", "\x1b[31m", "x" * 300, "'", "\\", "{", "core:1", "hoist:X1.1", "12 m to", "\u2028",
)  # fmt: skip


def byte_damaged(data: bytes, rng: random.Random) -> bytes:
    """Bytes changed, cut out, put in or doubled, without regard for what they mean."""
    made = bytearray(data)
    for _ in range(rng.choice((1, 1, 2, 4, 16, 64))):
        at = rng.randrange(len(made) + 1)
        match rng.randrange(4):
            case 0 if at < len(made):
                made[at] ^= 1 << rng.randrange(8)
            case 1:
                del made[at : at + rng.randint(1, 40)]
            case 2:
                made[at:at] = rng.randbytes(rng.randint(1, 8))
            case _:
                made[at:at] = made[at : at + rng.randint(1, 200)]
    return bytes(made)


RIGHT = ("12 m", "0.5 hp", "1/3 hp", "18 AWG", "1.5 mm²", "230 V", "0.3 ohm", "16 uF", "50 Hz", "4/0 AWG",
         "OL", "10 A", "40 °C", "70 VA", "12.5 kohm", "climbs",
         "2/0 AWG", "250 kcmil", "0.4 s", "3.2")  # fmt: skip


def nearly(rng: random.Random) -> str:
    """A text that is right, or right but for a character or two."""
    made = rng.choice(RIGHT)
    for _ in range(rng.randrange(3)):
        at = rng.randrange(len(made) + 1)
        made = made[:at] + rng.choice(("", " ", rng.choice("0123456789./,- mVAkµ"), "é")) + made[at + 1 :]
    return made


def noise(rng: random.Random) -> str:
    """A short text: pieces that mean something somewhere, and characters that mean nothing."""
    made = "".join(rng.choice(PIECES) for _ in range(rng.randint(0, 3)))
    if rng.random() < 0.3:
        made += "".join(chr(rng.choice((rng.randrange(128), rng.randrange(0x3000)))) for _ in range(4))
    if made and rng.random() < 0.3:
        at = rng.randrange(len(made))
        made = made[:at] + made[at + 1 :]
    return made
