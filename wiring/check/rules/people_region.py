"""people.region: what the country asks of a radio retrofit."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.answers import answered, refused
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us

_EU_LIST = "AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MT NL PL PT RO SE SI SK"
_EU = frozenset(_EU_LIST.split(" "))

#: country: (subject, duty, source, who has to do something before use)
_DUTIES: dict[str, tuple[str, str, str]] = {
    "DE": ("expert's test", "a radio retrofit is a substantial change: an authorised expert tests the crane "
           "before use and the result goes into the crane log", "DGUV Vorschrift 52 section 25 (copy)"),
    "GB": ("thorough examination", "a major change asks for a thorough examination before return to service",
           "LOLER 1998 regulation 9 (copy)"),
    "AU": ("modification record", "an alteration of plant is a designer's duty; a competent person reviews "
                                  "and "
           "records it", "model WHS regulations (copy)"),
}  # fmt: skip


@rule(
    "people.region",
    "The country's own duties for a radio retrofit",
    danger=4,
    hazard="A duty that nobody knew of makes the hoist unlawful to use.",
    sources=(
        us("29 CFR 1910.179(a)(11): a crane worked by radio is remote-operated"),
        iec("national rules as copied; Regulation (EU) 2023/1230 from 20 January 2027: check the original"),
    ),
    checks="Which notes hold for the country in the job, and whether the test that a country asks for is "
    "answered.",
    needs='job.country; where it has a duty of its own: [[answer]] requirement = "people.region".',
    does_not_cover="State, province and site rules; countries without a row here.",
    wants="job",
)
def check(case: Case) -> Iterable[Draft]:
    country = case.job.country
    if country is None:
        yield unknown("country", "the country is not stated", "the country whose law holds",
                      "state job.country by its two letters", key="job.country")  # fmt: skip
        return
    if country == "US":
        yield passed("remote-operated", "the hoist becomes remote-operated: signal loss must stop each "
                                        "motion",
                     "known to the owner", key="job.country")  # fmt: skip
    if country in _DUTIES:
        subject, duty, source = _DUTIES[country]
        text = answered(case, "people.region")
        if refused(text):
            yield failed(subject, f"{country}: {duty}; answered: {text}", "who does it and when",
                "arrange it",
                         key="job.country", source=source)  # fmt: skip
        elif text:
            yield passed(subject, f"{duty}; answered: {text}", duty, key="job.country", source=source)
        else:
            yield unknown(subject, f"{country}: {duty}", "who does it and when",
                          'arrange it; [[answer]] requirement = "people.region"', key="job.country",
                          source=source, due="hand-over")  # fmt: skip
    if country in _EU:
        yield passed("Regulation 2023/1230", "from 20 January 2027: loss and return of the link, return to "
                                             "neutral "
                     "as a duty", "known to the owner", key="job.country")  # fmt: skip
    if country not in _EU and country not in ("US", "GB", "AU"):
        yield unknown(f"country {country}", "this catalog has no notes for that country", "the national "
            "rules",
                      "ask the labour inspectorate", key="job.country", due="hand-over")  # fmt: skip
