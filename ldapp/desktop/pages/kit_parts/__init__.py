"""The parts of the Kit page: its columns, the details of a line, the import."""
