"""One file for each step, in their order; none of them imports the live models."""
