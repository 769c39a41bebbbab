"""What the library's database is called, and every shape that it has had."""

from __future__ import annotations

DATABASE = "claims.sqlite"

REVISIONS: tuple[str, ...] = ("0001", "0002", "0003", "0004")
"""Every shape that this program knows, oldest first; the last one is its own."""
