"""Draws the demo claims: photos, spreadsheets, documents and claim files, from a fixed seed."""
