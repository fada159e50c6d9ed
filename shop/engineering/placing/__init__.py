"""Placing: where a cradle stands on its body by the readings, and how to move it."""
