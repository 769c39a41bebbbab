"""Weak points that the reckoning shows: defaults, contradictions, deadlines."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from ldapp.casework.places import Page, Place
from ldapp.casework.replies import is_objected
from ldapp.casework.weak_point_facts import Facts, Gravity, WeakPoint
from ldapp.language import marked, said, said_of
from ldapp.local_forms import day_in_digits
from ldapp.reckoning.result import ObservationCode

_SOON = dt.timedelta(days=7)


_OBSERVATION_PLACES: dict[str, Page] = {
    "agreement": "papers",
    "policy": "papers",
    "kit_line": "kit",
    "count": "counts",
    "finding": "findings",
    "occurrence": "findings",
    "invoice": "charges",
    "charge": "charges",
}
OBSERVATION_WHY: dict[ObservationCode, tuple[Gravity, str, str]] = {
    "finding_above_counts": (
        "weak",
        marked("It says more than the counts do."),
        marked("Correct the finding, or enter the count that shows it."),
    ),
    "custody_open": (
        "weak",
        marked("In whose custody it was lost cannot be said."),
        marked("Enter when custody began and ended, or a count in between."),
    ),
    "cannot_compute": (
        "grave",
        marked("What cannot be computed is neither claimed nor answered."),
        marked("Enter what is missing; the sentence names it."),
    ),
    "sister_line": (
        "note",
        marked("A surplus beside a shortage often means that two sizes were mixed up."),
        marked("Compare both lines before you pay for one."),
    ),
    "printed_total_differs": (
        "weak",
        marked("An invoice that does not add up is owed only as far as it does."),
        marked("Ask for a corrected invoice."),
    ),
    "fault_presumed": (
        "weak",
        marked("A loss that nobody explains is commonly presumed to be the renter's fault."),
        marked("Say on the occurrence whose fault it was, and keep what shows it."),
    ),
    "noted_at_pickup": (
        "note",
        marked("Damage that was there at pickup is not owed."),
        marked(
            "Compare the pickup photo with the one at return; if it is the same, weigh that ground."
        ),
    ),
    "clause_against": (
        "note",
        marked("The rental company will raise this clause against the ground."),
        marked("Name what answers it; a document that they signed makes the ground strong again."),
    ),
    "ground_takes_nothing": (
        "note",
        marked("A ground without an amount weakens those that have one."),
        marked("Switch it off, or state its figure and what proves it."),
    ),
    "unchecked_repair": (
        "weak",
        marked("A repair above the value is commonly not owed whole."),
        marked("Enter what the thing is worth: its price, day of purchase, or comparables."),
    ),
    "one_sided_check_in": (
        "weak",
        marked("A count that one side made alone proves less than one that both acknowledged."),
        marked("Ask for the check-in record with its time, who counted, and their photos."),
    ),
    "tax_without_charge": (
        "weak",
        marked("What is no charge is neither answered nor owed in the totals."),
        marked(
            "Enter the printed tax as a charge: the button stands below the lines of the invoice."
        ),
    ),
    "facts_differ": (
        "grave",
        marked("Two papers that tell one fact differently destroy each other."),
        marked("Make them agree before anything is sent."),
    ),
}
"""For each code but ``not_stated``: how grave, why it matters, and what cures it."""


def check_reckoning(facts: Facts) -> Iterator[WeakPoint]:
    """What the reckoning itself observed."""
    if facts.reckoning is None:
        return
    for seen in facts.reckoning.observations:
        if seen.code == "not_stated":
            continue
        gravity, why, cure = OBSERVATION_WHY[seen.code]
        page = _OBSERVATION_PLACES.get(seen.kind, "reckoning")
        says = f"{facts.name_of(seen.kind, seen.place)}{seen.says}".rstrip(".")
        says += "" if says.endswith("?") else "."
        yield WeakPoint(
            seen.code,
            gravity,
            Place(page, seen.kind, seen.place),
            says[0].upper() + says[1:],
            said(why),
            said(cure),
        )


def check_deadlines(facts: Facts) -> Iterator[WeakPoint]:
    """Our own deadlines that are near or past."""
    if facts.reckoning is None or facts.claim.stage in ("settled", "paid", "closed"):
        return
    for deadline in facts.reckoning.deadlines:
        if deadline.due is None or deadline.binds != "us" or is_objected(facts.claim, deadline):
            continue
        left = deadline.due - facts.today
        if left > _SOON:
            continue
        days = left.days
        day = day_in_digits(deadline.due)
        if days < 0:
            says = said_of(
                -days,
                "“{title}” was due {count} day ago ({day}).",
                "“{title}” was due {count} days ago ({day}).",
                title=deadline.title,
                day=day,
            )
        elif days == 0:
            says = said("“{title}” is due today ({day}).", title=deadline.title, day=day)
        else:
            says = said_of(
                days,
                "“{title}” is due in {count} day ({day}).",
                "“{title}” is due in {count} days ({day}).",
                title=deadline.title,
                day=day,
            )
        yield WeakPoint(
            "deadline",
            "grave" if days <= 2 else "weak",
            Place("reckoning", "deadline", deadline.code),
            says,
            said("A deadline that passes can cost the whole claim."),
            deadline.needs or said("Check your own paper, and act now."),
        )
