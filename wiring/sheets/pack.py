"""The job pack: every sheet in the order of the work."""

from __future__ import annotations

from collections.abc import Callable

from wiring.sheets.as_converted import as_converted
from wiring.sheets.as_found import as_found
from wiring.sheets.cables import cables
from wiring.sheets.commissioning import commissioning
from wiring.sheets.connections import connections
from wiring.sheets.contact_ratings import contact_ratings
from wiring.sheets.cover import cover
from wiring.sheets.findings import findings
from wiring.sheets.lockout import lockout
from wiring.sheets.operator_card import operator_card
from wiring.sheets.parts_list import parts_list
from wiring.sheets.receiver_settings import receiver_settings
from wiring.sheets.requirements import requirements
from wiring.sheets.review import review
from wiring.sheets.revision import revision
from wiring.sheets.sheet import Material, Sheet
from wiring.sheets.stops import stops
from wiring.sheets.truth_table import truth_table
from wiring.sheets.versions import versions
from wiring.sheets.wire_labels import wire_labels
from wiring.sheets.wire_list import wire_list

Builder = Callable[[Material], Sheet]

BUILDERS: tuple[Builder, ...] = (
    cover,
    review,
    lockout,
    as_found,
    as_converted,
    connections,
    wire_list,
    wire_labels,
    parts_list,
    contact_ratings,
    cables,
    receiver_settings,
    stops,
    truth_table,
    commissioning,
    operator_card,
    requirements,
    revision,
    findings,
    versions,
)


def sheets_of(material: Material) -> tuple[Sheet, ...]:
    """All sheets of the pack."""
    return tuple(build(material) for build in BUILDERS)
