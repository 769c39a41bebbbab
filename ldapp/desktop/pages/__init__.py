"""The pages of an open claim."""
