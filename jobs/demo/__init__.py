"""The demo scenario: an invented shop loaded from files by the same code that records real work."""
