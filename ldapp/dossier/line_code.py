"""What the code beside a line of a count sheet says, for printing and for reading it back."""

from __future__ import annotations


def line_code(reference: str, line: str) -> str:
    """Return the text of the code: the claim's reference and the line's id."""
    return f"ldapp:{reference}:{line}"
