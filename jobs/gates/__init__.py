"""Gates: what must hold before a car goes on, what would clear it, and in which words."""
