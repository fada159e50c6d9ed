"""Dates that hold: what the shop's own history says about a plan. Pure; numpy is imported where it runs.

`spread` learns from history, `draws` makes samples of it, `outlook` follows the plan's order of bays at
once, `simulating` plays the shop event by event, `promising` answers a new customer, `waiting` whether to
start a car whose kit is not complete, `scoring` looks at how earlier dates were kept.
"""
