"""Procedures: read from a file and checked whole, kept, released, shown, written again."""
