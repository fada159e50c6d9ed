"""The bench: what the tape, the drill and the wrench say, worked out away from a car."""
