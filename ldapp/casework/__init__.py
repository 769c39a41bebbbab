"""The use cases: one function per thing a person does; the only way in for window and command line."""
