"""Photo files read and verified without importing them."""

from __future__ import annotations

from ldapp.evidence.report import photo_reports

__all__ = ["photo_reports"]
