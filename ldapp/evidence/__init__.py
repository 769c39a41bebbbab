"""Photo files: what they say about themselves, and how far it can be trusted."""
