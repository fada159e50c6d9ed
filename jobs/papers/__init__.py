"""The papers of a job: what each says, read from its record."""
