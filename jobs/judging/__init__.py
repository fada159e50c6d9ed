"""Judging what was entered at a checkpoint against its limits, with the instrument it was read with."""
