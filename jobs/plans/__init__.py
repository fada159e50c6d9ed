"""The plan in the shop: from the record to a problem, searched for in the background, stored, shown."""
