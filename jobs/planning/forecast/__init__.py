"""Dates that hold: what the shop's own history says about a plan. Pure; numpy is imported where it runs.

`spread` learns from history, `draws` makes samples of it, `outlook` follows the plan in all samples at once
(`staying` has its bays, `people` its people, `causes` what makes a car late), `simulating` plays the same
shop event by event, `promising` answers a new customer, `waiting` whether to start a car whose kit is not
complete, `scoring` looks at how earlier dates were kept.
"""
