"""Loss and damage on rented film equipment: count, photograph, reckon, answer."""

__version__ = "0.1.0"
