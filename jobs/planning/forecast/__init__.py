"""Dates that hold: what the shop's own history says about a plan. Pure; numpy is imported where it runs.

`spread` learns from history, `draws` makes samples of it, `outlook` follows the plan in all samples at once
(`staying` has its bays, `doing` who does what, `people` when they are free, `causes` what makes a car late),
`simulating` plays the same shop event by event; for both `permitted` says when an operation may be begun.
`promising` answers a new customer, `waiting` whether to start a car whose kit is not complete, `scoring`
looks at how earlier dates were kept.
"""
