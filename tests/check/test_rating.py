"""The one-off relay check: reading of the two texts, answers by category, what is missing, exit codes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from wiring.check.one_off import one_off
from wiring.check.rating_words import CONTACT_FORMS, LOAD_FORMS, RatingError, contact_of, load_of
from wiring.cli.entry import run
from wiring.files import load_catalog
from wiring.model.finding import Verdict
from wiring.model.rating import OneOff, RatingAnswer

CATALOG = load_catalog(Path("."))
CODES = {*CATALOG.tables["pilot-duty-ac"].rows, *CATALOG.tables["pilot-duty-dc"].rows}
RELAY = "10 A resistive, B300, 1/3 hp 120 V"


def ask(contact: str, load: str, region: str = "us", starts: int | None = None) -> OneOff:
    return one_off(contact, load, CATALOG, region, starts)


def answer(found: OneOff, category: str) -> RatingAnswer:
    return next(a for a in found.answers if a.category == category)


def numbers(found: OneOff, category: str) -> tuple[float | None, float | None]:
    return answer(found, category).finding.measured, answer(found, category).finding.limit


def verdicts(found: OneOff) -> dict[str, str]:
    return {a.category: str(a.verdict) for a in found.answers}


def test_motor_beyond_the_horsepower_rating() -> None:
    """A 3/4 hp motor on a contact for 1/3 hp fails in kind, make, break and steady, by the tables."""
    found = ask(RELAY, "motor 3/4 hp 120 V")
    assert found.verdict is Verdict.FAIL
    assert numbers(found, "kind of load") == (13.8, 7.2)
    assert numbers(found, "make") == (82.8, pytest.approx(43.2))
    assert answer(found, "break").verdict is Verdict.FAIL
    values = " ".join(answer(found, "make").finding.values)
    assert "nec-430-251-a/3/4/v115" in values and "ul-508-motor/1/3/v120" in values


def test_coil_on_a_pilot_code() -> None:
    """A coil of 70/8 VA at 24 V draws 2.92 A onto B300, whose make figure stays at that of 120 V."""
    found = ask(f"{RELAY}, life 1000000", "coil 70/8 VA 24 V AC", starts=60)
    make = answer(found, "make").finding
    assert make.measured == pytest.approx(70 / 24) and make.limit == 30.0
    assert answer(found, "break").finding.measured == pytest.approx(8 / 24)
    assert found.verdict is Verdict.PASS
    assert answer(found, "endurance").finding.measured == pytest.approx(1_000_000 / (60 * 500))


def test_coil_too_large_for_its_code() -> None:
    """D300 may close onto 3.6 A: a coil of 100 VA at 24 V needs 4.17 A and fails there alone."""
    found = ask("D300, 10 A resistive", "coil 100/10 VA 24 V AC")
    assert verdicts(found)["make"] == "fail" and verdicts(found)["break"] == "pass"


def test_drive_input_names_the_least_load() -> None:
    """A drive input of 6 mA on a contact without a least load is unknown and says which figure to give."""
    load = "drive input 24 V 6 mA"
    least = answer(ask(RELAY, load), "minimum load")
    assert least.verdict is Verdict.UNKNOWN and "min 10 mA" in least.missing[0]
    assert answer(ask(f"{RELAY}, min 5 mA 5 V, 30 V DC", load), "minimum load").verdict is Verdict.PASS
    assert answer(ask(f"{RELAY}, min 10 mA 5 V", load), "minimum load").verdict is Verdict.FAIL


def test_resistive_figure_is_no_motor_rating() -> None:
    """A motor on amperes alone fails, whatever their size."""
    found = ask("30 A resistive, 250 V AC", "motor 2 A 230 V", "iec")
    assert answer(found, "kind of load").verdict is Verdict.FAIL
    assert answer(found, "make").missing


def test_amperes_tell_no_horsepower() -> None:
    """Where amperes stand in for a motor rating, what relays of those amperes are printed with is shown."""
    path = answer(ask("12 A resistive", "motor 1/4 hp 120 V"), "kind of load").finding.path
    assert "1/3" in path and "1/4" in path
    assert "other relays" not in answer(ask(RELAY, "motor 1/4 hp 120 V"), "kind of load").finding.path


def test_coil_without_inrush_is_unknown_on_make() -> None:
    """A coil with one figure has a holding power and no inrush: make is unknown and says so."""
    found = ask(RELAY, "coil 8 VA 24 V AC")
    assert answer(found, "make").verdict is Verdict.UNKNOWN
    assert "inrush" in answer(found, "make").missing[0]
    assert answer(found, "break").verdict is Verdict.PASS


def test_lamp_needs_a_make_figure() -> None:
    """A lamp is judged by ten times its current against a declared make figure, else it is unknown."""
    silent = ask("10 A resistive, 250 V AC", "lamp 60 W 230 V", "iec")
    assert answer(silent, "make").verdict is Verdict.UNKNOWN
    declared = answer(ask("10 A resistive, 250 V AC, make 2.6 A", "lamp 60 W 230 V", "iec"), "make").finding
    assert (declared.verdict, declared.measured) == (Verdict.FAIL, pytest.approx(600 / 230))


@pytest.mark.parametrize(("amps", "verdict"), [("10", "pass"), ("10.01", "fail")])
def test_resistive_boundary(amps: str, verdict: str) -> None:
    """The printed pair decides: 10.00 A on 10 A stands, 10.01 A does not."""
    found = verdicts(ask("10 A resistive, 250 V AC", f"resistive {amps} A 230 V", "iec"))
    assert (found["make"], found["break"], found["steady"]) == (verdict,) * 3


def test_recalled_figure_never_clears() -> None:
    """A motor rating whose current is recalled makes a narrow pass unknown, naming the cell."""
    narrow = answer(ask("1/10 hp 120 V, 10 A resistive", "motor 2.9 A 120 V"), "kind of load")
    assert narrow.verdict is Verdict.UNKNOWN
    assert narrow.finding.rests_on == ("ul-508-motor/1/10/v120",)
    wide = answer(ask("1/10 hp 120 V, 10 A resistive", "motor 1 A 120 V"), "kind of load")
    assert wide.verdict is Verdict.PASS


def test_motor_by_power_has_no_current_outside_the_tables() -> None:
    """Elsewhere than in the United States no table gives a motor's current: the plate is asked for."""
    found = ask("9 A AC-3 400 V", "motor 1.5 kW 230 V", "iec")
    assert "plate" in answer(found, "kind of load").missing[0]
    assert answer(ask("9 A AC-3 400 V", "motor 8 A 230 V", "iec"), "kind of load").verdict is Verdict.PASS


def test_three_phase_motor_takes_its_own_tables() -> None:
    """A small three-phase motor starts with more than six times its current."""
    make = answer(ask("3/4 hp 240 V, 10 A resistive", "motor 1/2 hp 230 V three-phase"), "make").finding
    assert make.measured == 20.0


def test_the_verdict_is_the_worst() -> None:
    """One unknown category makes the whole unknown, one failing category makes it fail."""
    assert ask("B300, 10 A resistive", "coil 70/8 VA 24 V AC").verdict is Verdict.UNKNOWN
    assert ask("B150, 10 A resistive", "coil 70/8 VA 240 V AC").verdict is Verdict.FAIL


@pytest.mark.parametrize("text", CONTACT_FORMS)
def test_every_form_of_a_rating_is_read(text: str) -> None:
    """Each form that the messages offer is one that is accepted."""
    rating = contact_of(text, CODES)
    assert any(getattr(rating, name) for name in rating.__slots__ if name != "source")


@pytest.mark.parametrize("text", LOAD_FORMS)
def test_every_form_of_a_load_is_read(text: str) -> None:
    """Each form that the messages offer is one that is accepted."""
    assert load_of(text).volts > 0


@pytest.mark.parametrize(
    "text",
    ["", "10 A", "10A resistive", "ten A resistive", "B301", "10 V resistive", "1/3 hp", "1/3 hp 12 ft",
     "0 A resistive", "10 A resistive, 5 A resistive", "1/3 hp 277 V", "2 A DC-13 110 V", "life 0",
     "10 A resistive,", "3/0 hp 120 V", "10 A resistive; B300", "-10 A resistive", "1e3 A resistive"],
)  # fmt: skip
def test_bad_rating_is_refused(text: str) -> None:
    """A rating that is not of a known form is refused with what is allowed."""
    with pytest.raises(RatingError) as refused:
        contact_of(text, CODES)
    assert refused.value.option == "--contact" and refused.value.allowed


@pytest.mark.parametrize(
    "text",
    ["", "motor", "motor 3/4 hp", "motor 3/4 120 V", "motr 3/4 hp 120 V", "coil 70/8 VA 24 V",
     "coil 70/8 VA 24 V DC", "coil 12 W 24 V", "drive input 110 V 6 mA", "resistive 5 A 24 V",
     "lamp 5 A 230 V", "motor 0 A 120 V", "motor 1 hp 120 V DC three-phase", "coil 7..0/8 VA 24 V AC",
     "resistive 5 A 9999 V", "motor 3 ft 120 V"],
)  # fmt: skip
def test_bad_load_is_refused(text: str) -> None:
    """A load that is not of a known form, or is nothing, is refused with what is allowed."""
    with pytest.raises(RatingError) as refused:
        load_of(text)
    assert refused.value.option == "--load" and refused.value.allowed


@pytest.mark.parametrize(
    ("contact", "load", "code"),
    [(RELAY, "motor 3/4 hp 120 V", 1), (RELAY, "coil 70/8 VA 24 V AC", 3), (f"{RELAY}, life 1000000",
      "coil 70/8 VA 24 V AC", 0), ("10 A", "coil 70/8 VA 24 V AC", 2)],
)  # fmt: skip
def test_exit_codes(contact: str, load: str, code: int, capsys: pytest.CaptureFixture[str]) -> None:
    """The command exits with the verdict, and with 2 for a text it cannot use, which says what is allowed."""
    assert run(["rating", "--contact", contact, "--load", load, "--starts-per-hour", "60"]) == code
    out, err = capsys.readouterr()
    assert ("allowed" in err and not out) if code == 2 else ("Lock out" in out and not err)


def test_json_document(capsys: pytest.CaptureFixture[str]) -> None:
    """--json prints one document with an answer, figures and missing figures for every category."""
    assert run(["rating", "--contact", RELAY, "--load", "motor 3/4 hp 120 V", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert (told["schema"], told["verdict"], told["region"]) == ("holdrun/rating/1", "fail", "us")
    categories = {a["category"] for a in told["answers"]}
    assert {"make", "steady", "break", "endurance", "minimum load"} <= categories
    inching = next(a for a in told["answers"] if a["category"] == "inching")
    assert inching["missing"] and inching["verdict"] == "unknown"
    assert all(a["source"] for a in told["answers"] if a["verdict"] != "not-applicable")


def test_direct_current_code() -> None:
    """R300 serves 28 VA on direct current: 12 W at 24 V stands by its own voltage, 28 W is cut by 1 A."""
    found = ask("R300, 10 A resistive", "coil 12 W 24 V DC")
    assert {answer(found, c).verdict for c in ("kind of load", "voltage", "make", "break")} == {Verdict.PASS}
    assert (numbers(found, "make"), numbers(found, "voltage")) == ((0.5, 1.0), (24.0, 300.0))
    assert verdicts(ask("R300, 10 A resistive", "coil 28 W 24 V DC"))["make"] == "fail"
    assert verdicts(ask("R150, 10 A resistive", "coil 12 W 220 V DC"))["voltage"] == "fail"


def test_a_motor_rating_says_what_it_carries() -> None:
    """A contact with nothing but a motor rating runs a motor up to the current that rating stands for."""
    assert numbers(ask("1/3 hp 120 V", "motor 5 A 120 V"), "steady") == (5.0, 7.2)
    assert verdicts(ask("1/3 hp 120 V", "motor 7.3 A 120 V"))["steady"] == "fail"
