"""Threaded joints: threads, grades, what a torque does to a bolt, nuts, wrenches."""
