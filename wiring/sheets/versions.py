"""Tool and catalog: what made this pack, and the exact entries it was made from."""

from __future__ import annotations

from importlib.metadata import PackageNotFoundError, version

from wiring.model.entry import CableType, DeviceType, HoistType, ReceiverType
from wiring.model.plan import Plan
from wiring.sheets.sheet import Material, Sheet, Table, Text, head_of


def versions(material: Material) -> Sheet:
    """Programs, the parts of the digest, and the entries used with their own digests."""
    plan = material.plan
    parts = plan.parts
    return Sheet(
        id="versions",
        title="Tool and catalog versions",
        head=head_of(plan),
        blocks=(
            Table(("Program", "Version"), material.versions, "Made with"),
            Table(
                ("Part", "Hash"),
                (
                    ("whole plan", plan.digest),
                    ("circuit", parts.circuit),
                    ("ratings", parts.ratings),
                    ("settings", parts.settings),
                    ("catalog", parts.catalog),
                ),
                "Digest of this plan",
            ),
            Table(
                ("Entry", "Title", "Source", "Basis", "Digest"),
                entry_rows(plan),
                "Catalog entries used",
                "none",
            ),
            Text(
                "The same file with the same entries gives the same digest and the same pack, byte for byte."
            ),
        ),
    )


def programs() -> tuple[tuple[str, str], ...]:
    """This program and what computes and draws for it, with versions, as installed."""
    names = ("holdrun", "numpy", "typst", "schemdraw")
    found = []
    for name in names:
        try:
            found.append((name, version(name)))
        except PackageNotFoundError:
            found.append((name, "not installed as a package"))
    return tuple(found)


def entry_rows(plan: Plan) -> tuple[tuple[str, ...], ...]:
    """Hoist, receiver, devices and cables by id."""
    job, catalog = plan.job, plan.catalog
    cables = (job.cord.type, *(c.type for c in job.cables))
    found: list[HoistType | ReceiverType | DeviceType | CableType | None] = [
        catalog.hoists.get(job.hoist.type or ""),
        catalog.receivers.get(job.receiver.type or ""),
        *(catalog.devices.get(id) for id in dict.fromkeys(d.type for d in job.devices)),
        *(catalog.cables.get(id) for id in dict.fromkeys(id for id in cables if id)),
    ]
    return tuple(
        (e.id, e.title, e.source.title, str(e.source.basis), e.digest[:12]) for e in found if e is not None
    )
