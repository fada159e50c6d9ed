"""Longer proofs than the suite has time for; `bin/prove` runs them and writes their reports."""
