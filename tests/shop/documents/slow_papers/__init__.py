"""An app with a paper that can be held in the middle: for tests with real processes alone."""
