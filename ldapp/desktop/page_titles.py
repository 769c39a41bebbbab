"""What the pages of a claim are called, for those who do not load the pages themselves."""

from __future__ import annotations

from ldapp.casework.places import Page
from ldapp.language import marked, said

PAGE_TITLES: dict[Page, str] = {
    "papers": marked("Papers"),
    "kit": marked("Kit"),
    "counts": marked("Counts"),
    "photos": marked("Photos"),
    "findings": marked("Findings"),
    "charges": marked("Charges"),
    "reckoning": marked("Reckoning"),
    "dossier": marked("Dossier"),
}


def page_title(name: Page) -> str:
    """Return a page's title in the language spoken now."""
    return said(PAGE_TITLES[name])
