"""Where in an agreement, a policy or a public rule a choice is written."""

from __future__ import annotations

from ldapp.claim.record import record


@record
class Clause:
    """A place in a paper: its number or heading, the document and page, and its words."""

    reference: str
    document: str | None = None
    page: int | None = None
    text: str = ""
