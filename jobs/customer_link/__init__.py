"""The private link on the customer's phone: made at the desk, answered there, for a while."""
