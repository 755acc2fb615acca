"""Connections proposed: they stand, they are proved, and they use what is known only."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.planner.made import CATALOG, job_of
from wiring import planner
from wiring.files import edit_job, load_job, read_job
from wiring.files.catalog import catalog_root
from wiring.model.job import Job
from wiring.pipeline import plan
from wiring.planner.demand import demand_of
from wiring.planner.difference import edits_between
from wiring.planner.propose import edits_of, failing, propose_connections, search
from wiring.planner.remedy import remedies
from wiring.planner.site import NoWay, site_of

CONTACTOR = ("capacitor-motor-direct-120", "two-channel-dry")


def test_the_first_proposal_of_a_motor_hoist_has_no_failing_finding() -> None:
    """A two-channel receiver gets a contactor pair behind a wired stop, and nothing in it fails."""
    best = propose_connections(job_of(*CONTACTOR), CATALOG, lambda j, c: plan(j, c))[0]
    assert best.drive == "contactor pair" and best.stands and best.plan is not None
    assert failing(best.plan) == []
    assert {d.type for d in best.devices} == {"emergency-stop-motor", "contactor-pair-120", "fuse"}


def test_every_connection_has_a_sentence() -> None:
    """One reason for each connection, each with words that say more than the ends."""
    best = search(job_of(*CONTACTOR), CATALOG, 1).candidates[0].proposal
    assert len(best.reasons) == len(best.connections) > 10
    assert all(len(reason.split()) >= 4 for reason in best.reasons)


def test_the_neutral_comes_from_the_terminal_strip() -> None:
    """The receiver's return lies on the hoist's neutral terminal and on no core of a motion."""
    best = search(job_of(*CONTACTOR), CATALOG, 1).candidates[0].proposal
    ends = {frozenset((c.from_, c.to)) for c in best.connections}
    assert any("hoist:X1.N" in pair for pair in ends)
    assert all("core:2" not in pair for pair in ends if "receiver:N" in pair)


@pytest.mark.parametrize("role", ["up", "feed"])
def test_a_core_of_unknown_role_is_never_used(role: str) -> None:
    """With the role of a needed core unknown nothing is proposed, and the reason names the role."""
    job = job_of(*CONTACTOR)
    cores = tuple(replace(c, role=None) if c.role == role else c for c in job.cores)
    tried = search(replace(job, cores=cores), CATALOG)
    assert tried.candidates == () and role in tried.refused[0]


def test_a_spare_core_of_unknown_role_stays_free() -> None:
    """A core that no contact needs and nobody identified appears in no connection."""
    job = job_of(*CONTACTOR)
    extra = replace(job.cores[0], id="9", role=None)
    best = search(replace(job, cores=(*job.cores, extra)), CATALOG, 1).candidates[0].proposal
    assert all("core:9" not in (c.from_, c.to) for c in best.connections)


def test_stop_outputs_take_the_place_of_the_pendants_stop() -> None:
    """The stop pair lies in series behind the wired stop, before the motions and the main contactor."""
    best = search(job_of("reversing-contactors-24", "six-channel-stop-pair"), CATALOG, 1).candidates[0]
    stop = next(pole for want, pole in best.laid.assignment.chosen if want.button == "stop")
    assert stop.outputs == ("STOP1", "STOP2")
    assert "g" in {best.laid.assignment.nets[bar] for bar in (stop.a, stop.b)}
    assert any(d.type == "main-contactor-24" for d in best.proposal.devices)


def test_a_radio_stop_in_one_of_two_channels_is_named() -> None:
    """Stop outputs that share a screw cannot part two channels of a drive: the plan says which one the
    wired stop opens alone; with one channel there is nothing to say."""
    two = search(job_of("drive-pnp-two-channel-stop", "eight-channel-two-speed"), CATALOG, 1).candidates[0]
    said = [line for line in two.proposal.open if line.startswith("the radio stop opens")]
    assert len(said) == 1 and "core:7 alone, the wired stop also core:9:" in said[0]
    one = search(job_of("reversing-contactors-24", "six-channel-stop-pair"), CATALOG, 1).candidates[0]
    assert not [line for line in one.proposal.open if line.startswith("the radio stop opens")]


def test_stop_relays_never_carry_the_motor() -> None:
    """On a motor hoist the stop pair sits in the coils' feed, not in the motor line."""
    best = search(job_of("capacitor-motor-direct-120", "eight-channel-two-speed"), CATALOG, 1).candidates[0]
    want = next(want for want, _ in best.laid.assignment.chosen if want.button == "stop")
    assert want.a == "coils"


def test_a_second_step_is_never_given_up() -> None:
    """A receiver without two-step keys is refused for a two-speed crane."""
    tried = search(job_of("two-speed-crane-115", "six-channel-stop-pair"), CATALOG)
    assert tried.candidates == ()
    assert any("no second step" in line for line in tried.refused)


def test_the_crane_gets_every_key() -> None:
    """The two-speed receiver takes over nine buttons, START among them, each on an output of its own key."""
    best = search(job_of("two-speed-crane-115", "eight-channel-two-speed"), CATALOG, 1).candidates[0].proposal
    assert best.receiver is not None
    keys = {o.key for o in best.receiver.outputs if o.key}
    buttons = {b.id for b in CATALOG.hoists["two-speed-crane-115"].buttons}
    assert buttons | {"stop"} <= keys


def test_a_capacitor_of_the_handset_moves_to_the_motor() -> None:
    """Where the run capacitor leaves with the handset a new one is put across the winding ends."""
    best = search(job_of("capacitor-in-handset-230", "two-channel-dry"), CATALOG, 1).candidates[0].proposal
    id = next(d.id for d in best.devices if d.type == "capacitor-bleeder-16uf")
    ends = {frozenset((c.from_, c.to)) for c in best.connections}
    assert {frozenset(("hoist:motor.A", f"{id}:1")), frozenset(("hoist:motor.B", f"{id}:2"))} <= ends


def test_resting_contacts_become_poles_of_the_opposite_direction() -> None:
    """A handset contact that is closed at rest is replaced by a pole that closes with the other key."""
    job = job_of("main-auxiliary-direct-120", "two-channel-dry")
    best = search(job, CATALOG, 1).candidates[0].proposal
    demand = site_of(job, CATALOG).demand
    assert any(w.form == "NC" for w in demand.wants)
    assert all(not p.endswith((":NC1", ":NC2")) for c in best.connections for p in (c.from_, c.to))


def test_edits_put_the_proposal_into_the_file() -> None:
    """The demo's text with the edits in it reads back as the proposed job; its comments are still there."""
    path = catalog_root() / "demo" / "malt-first-try.toml"
    job, text = load_job(path), path.read_text("utf-8")
    best = search(job, CATALOG, 1).candidates[0].proposal
    new = edit_job(text, edits_of(best))
    assert rows(read_job(new, str(path), CATALOG)) == rows(best.job)
    assert "# EXAMPLE, not your hoist." in new and '# "red is always down"' in new


def rows(job: Job) -> tuple[object, ...]:
    """What a proposal may change, without the order of entries."""
    return (
        frozenset(job.connections), frozenset(job.devices), frozenset(job.removes), frozenset(job.stops),
        frozenset(job.receiver.outputs), job.transmitters, job.cables, frozenset(job.cores),
    )  # fmt: skip


def test_equal_jobs_need_no_edit() -> None:
    """A job differs from itself in nothing."""
    job = job_of(*CONTACTOR)
    assert edits_between(job, job) == ()


def test_an_unknown_receiver_has_no_site() -> None:
    """Without a receiver type there is nothing to connect, and the reason says so."""
    with pytest.raises(NoWay, match="receiver type is not known"):
        site_of(job_of(CONTACTOR[0], None), CATALOG)


def test_the_handsets_current_is_told_from_a_coils() -> None:
    """A capacitor motor's handset switches the motor, a contactor hoist's does not."""
    for hoist, motor in (("capacitor-motor-direct-120", True), ("reversing-contactors-24", False)):
        site = site_of(job_of(hoist, "two-channel-dry"), CATALOG)
        assert demand_of(site.job, site.hoist, site.before).motor is motor


def test_the_room_gives_its_doors_and_nothing_else() -> None:
    """Each name it exports is found in its module; any other is an error that says so."""
    assert planner.remedies is remedies and planner.edits_of is edits_of
    assert all(callable(getattr(planner, name)) for name in planner.__all__)
    with pytest.raises(AttributeError, match="has no attribute nothing"):
        planner.nothing  # noqa: B018
