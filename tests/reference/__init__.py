"""Check values from outside, row by row as published; `NOT_USED.md` says which are not ours to compute."""
