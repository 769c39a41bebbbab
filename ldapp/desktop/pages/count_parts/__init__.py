"""The parts of the Counts page: the sheet, the details of a count, movements, signatures."""
