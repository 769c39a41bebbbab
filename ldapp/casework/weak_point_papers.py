"""Weak points of the papers that the policy asks for."""

from __future__ import annotations

from collections.abc import Iterator

from ldapp.casework.places import Place
from ldapp.casework.wanted_papers import paper_states
from ldapp.casework.weak_point_facts import Facts, WeakPoint
from ldapp.language import said


def check_wanted_papers(facts: Facts) -> Iterator[WeakPoint]:
    """Name the papers that the policy asks for and that are not in the claim."""
    missing = [one for one in paper_states(facts.claim) if one.state == "missing"]
    if not missing:
        return
    named = "; ".join(
        f"{one.what} ({one.concerns})" if one.concerns else one.what for one in missing[:6]
    )
    more = len(missing) - 6
    yield WeakPoint(
        "papers_missing",
        "note",
        Place("papers"),
        said(
            "The policy asks for papers that are not in the claim: {named}; and {number} more.",
            named=named,
            number=more,
        )
        if more > 0
        else said("The policy asks for papers that are not in the claim: {named}.", named=named),
        said("An insurer settles on papers; each one that must be asked for costs weeks."),
        said(
            "Take them in under Papers. What the policy asks for is chosen under "
            "Claim, Papers that the policy asks for."
        ),
    )
