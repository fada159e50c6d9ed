"""Welds and hot work: heat, sizes, order, criteria, steel; the watch after the last spark."""
