"""What each kind of record is called where a person is told of one."""

from __future__ import annotations

from ldapp.language import said_in


def record_name(kind: str) -> str:
    """Return the name of a kind of record, ``kit line``, in the language spoken now."""
    names = {
        "agreement": said_in("kind of record", "agreement"),
        "charge": said_in("kind of record", "charge"),
        "claim": said_in("kind of record", "claim"),
        "claim_summary": said_in("kind of record", "claim summary"),
        "clock_correction": said_in("kind of record", "clock correction"),
        "correspondence": said_in("kind of record", "correspondence"),
        "count": said_in("kind of record", "count"),
        "count_entry": said_in("kind of record", "count entry"),
        "document": said_in("kind of record", "document"),
        "finding": said_in("kind of record", "finding"),
        "invoice": said_in("kind of record", "invoice"),
        "issued_code": said_in("kind of record", "issued code"),
        "journal_entry": said_in("kind of record", "journal entry"),
        "kit_line": said_in("kind of record", "kit line"),
        "movement": said_in("kind of record", "movement"),
        "occurrence": said_in("kind of record", "occurrence"),
        "party": said_in("kind of record", "party"),
        "photo": said_in("kind of record", "photo"),
        "policy": said_in("kind of record", "policy"),
        "recovered_item": said_in("kind of record", "recovered item"),
        "split": said_in("kind of record", "split"),
    }
    return names.get(kind, kind.replace("_", " "))
