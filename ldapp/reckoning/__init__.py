"""From findings, terms, policy and charges to who pays what: pure, exact, with workings."""
