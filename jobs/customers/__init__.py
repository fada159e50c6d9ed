"""Customers and their cars: known again, corrected, put together when doubled, erased on request."""
