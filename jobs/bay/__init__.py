"""What the tablet in a bay shows: an operation, its checkpoints one by one, what is next."""
