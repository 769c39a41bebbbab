"""The library: claims in a database, originals by their hash, and the record of every change.

Nothing is imported here, so that a window can be painted before the store is loaded.
"""
