"""Money: estimates, what was allowed and paid, what it cost so far, invoices."""
