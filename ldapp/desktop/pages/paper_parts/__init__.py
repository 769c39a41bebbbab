"""The parts of the Papers page: facts, parties, terms as sentences, documents."""
