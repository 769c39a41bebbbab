"""The use cases: one function per thing a person does; window and command line come in here."""
