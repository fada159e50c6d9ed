"""The plan, pure: a problem comes in, a plan goes out, a checker looks at it.

Nothing here knows Django or a database. All times are naive local times of the shop (what its clock
shows); a shift over the night of a clock change is as long as its clock times say.
"""
