"""What the tests of the rules share: places, times, and what a verdict says."""

from __future__ import annotations

from datetime import UTC, datetime

from ldapp.claim.photo_facts import PhotoVerdict

BERLIN = (52.52, 13.405)
DENVER = (39.74, -104.99)
BORDER = (32.47, -85.2)
"""A place on central time, twenty kilometres from eastern time."""

TAKEN = "2026:02:14 10:15:30"
LOCAL = "2026-02-14T10:15:30"

XMP = f"""<?xpacket begin='' id='W5M0MpCehiHzreSzNTczkc9d'?>
<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF
 xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'>
<rdf:Description xmlns:photoshop='http://ns.adobe.com/photoshop/1.0/'
 photoshop:DateCreated='{LOCAL}'/></rdf:RDF></x:xmpmeta><?xpacket end='w'?>"""
"""A packet that says when a picture was taken."""


def utc(text: str) -> datetime:
    """Return an instant from ISO 8601 without offset."""
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def weights(verdict: PhotoVerdict) -> dict[str, str]:
    """Return the findings as code to weight."""
    return {reason.code: reason.weight for reason in verdict.reasons}


def says(verdict: PhotoVerdict, code: str) -> str:
    """Return the sentence of one finding."""
    return next(reason.says for reason in verdict.reasons if reason.code == code)
