"""Recording work on a car: one door, one function for each kind of entry."""

from jobs.recording.door import KINDS, FloorEntry, UnknownPlaceError, record_entry

__all__ = ["KINDS", "FloorEntry", "UnknownPlaceError", "record_entry"]
