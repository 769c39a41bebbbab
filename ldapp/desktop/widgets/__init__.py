"""Pieces that every page uses."""
