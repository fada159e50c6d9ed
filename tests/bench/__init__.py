"""How long the pages take beside bare pages with the same rows: `bin/bench` prints it."""
