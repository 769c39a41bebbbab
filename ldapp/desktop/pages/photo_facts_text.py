"""What a photo's file says and what was concluded from it, as labels and values."""

from __future__ import annotations

from typing import TypeAlias

from ldapp.claim.photo_facts import CredentialsCheck, PhotoVerdict, RecordedTime, Weight
from ldapp.claim.photos import Photo
from ldapp.desktop.pages.said import device_text, moment_text, size_text, taken_text

FactRows: TypeAlias = list[tuple[str, str]]

WEIGHT_SAYS: dict[Weight, str] = {
    "excludes": "excludes",
    "undermines": "undermines",
    "weakens": "weakens",
    "supports": "supports",
    "note": "note",
}


def _credentials_text(check: CredentialsCheck | None) -> str:
    if check is None:
        return "present, not checked here"
    says = {
        "trusted": "match the picture; the signer is trusted here",
        "matching": "match the picture; the signer is not among those trusted here",
        "broken": "do not match the picture",
        "unclear": "present; the check could not be carried to its end",
    }[check.outcome]
    signer = f"; signed by {check.signer}" if check.signer else ""
    at = f" at {moment_text(check.at)}" if check.at else ""
    return f"{says}{signer}{at}"


def file_facts(photo: Photo) -> FactRows:
    """Return everything that the file itself says, as label and value."""
    facts = photo.facts
    rows: FactRows = [
        ("File", photo.name),
        ("SHA-256", facts.sha256),
        ("Size", size_text(facts.bytes)),
        ("Kind", facts.kind or "not recognised"),
        ("Device", device_text(facts)),
        ("Software", facts.software or ""),
        ("Editing programs", ", ".join(facts.editing_programs)),
        ("Taken", _time_text(facts.taken)),
        ("Digitised", _time_text(facts.digitized)),
        ("Last change", _time_text(facts.changed)),
        ("Changed on disk", moment_text(photo.file_modified)),
        ("Taken in", moment_text(photo.taken_in)),
    ]
    if facts.width and facts.height:
        rows.insert(4, ("Pixels", f"{facts.width} × {facts.height}"))
    if facts.satellite is not None:
        fix = facts.satellite
        rows.append(("Satellite time", f"{fix.date or fix.date_raw or ''} {fix.time or ''} UTC"))
        if fix.latitude is not None and fix.longitude is not None:
            rows.append(("Position", f"{fix.latitude:.5f}, {fix.longitude:.5f}"))
    if facts.xmp is not None:
        rows += [
            ("Taken (XMP)", facts.xmp.taken or ""),
            ("Changed (XMP)", facts.xmp.changed or ""),
            ("Made with", facts.xmp.creator_tool or ""),
            ("Edit history", f"{len(facts.xmp.history)} steps" if facts.xmp.history else ""),
        ]
    if facts.movie is not None:
        rows.append(("Recording began", facts.movie.creation_date or "not said"))
        if facts.movie.duration_s is not None:
            rows.append(("Length", f"{facts.movie.duration_s:.1f} s"))
    if facts.content_credentials:
        rows.append(("Content credentials", _credentials_text(facts.credentials)))
    if not facts.complete:
        rows.append(("Structure", "the file breaks off or is damaged"))
    return [(label, value) for label, value in rows if value.strip()]


def verdict_facts(verdict: PhotoVerdict) -> FactRows:
    """Return the conclusion about the time, as label and value."""
    rows: FactRows = [("Time", taken_text(verdict))]
    if verdict.offset_source != "none":
        rows.append(("Offset from", verdict.offset_source))
    if verdict.zone:
        rows.append(("Zone", verdict.zone))
    if verdict.earliest and verdict.latest and verdict.earliest != verdict.latest:
        rows.append(
            ("Between", f"{moment_text(verdict.earliest)} and {moment_text(verdict.latest)}")
        )
    if verdict.clock_error_s is not None:
        side = "fast" if verdict.clock_error_s >= 0 else "slow"
        rows.append(("Camera clock", f"{abs(verdict.clock_error_s):g} s {side}"))
    if verdict.corrected_utc is not None:
        within = f" ± {verdict.uncertainty_s:g} s" if verdict.uncertainty_s is not None else ""
        rows.append(("Corrected", f"{moment_text(verdict.corrected_utc)}{within}"))
    if verdict.satellite_utc is not None:
        rows.append(("Satellite", moment_text(verdict.satellite_utc)))
    if verdict.in_window is not None:
        says = {"yes": "inside", "partly": "partly inside", "no": "outside"}
        rows.append(("Window of the count", says.get(verdict.in_window, "cannot be said")))
    return rows


def _time_text(time: RecordedTime | None) -> str:
    if time is None:
        return ""
    digits = f".{time.digits}" if time.digits else ""
    text = f"{(time.local or time.raw).replace('T', ' ')}{digits} {time.offset or ''}".strip()
    return text if time.state == "ok" else f"{text} ({time.state})"
