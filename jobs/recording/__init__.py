"""Recording work on a car: one door, one function for each kind of entry."""

from jobs.recording.door import APART, KINDS, FloorEntry, UnknownPlaceError, record_entry

__all__ = ["APART", "KINDS", "FloorEntry", "UnknownPlaceError", "record_entry"]
