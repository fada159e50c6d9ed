"""Data in and out of the shop: tables as CSV or YAML without loss, a job as one file with its events."""
