"""Procedure files: read whole, checked whole, written again without loss."""
