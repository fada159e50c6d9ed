"""Holes: clearance, steps from pilot to size, spindle speeds, edges, what floats and what binds."""
