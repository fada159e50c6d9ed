"""Layout: marks laid out from datums, what other datums should read, the usual slips."""
