"""A small procedure with every kind of checkpoint, for the tests of bringing in. Everything is invented."""

PROCEDURE_TEXT = """\
format: 1
procedure:
  code: FC-T1
  name: Test clip, bolted and welded
  revision: A
  kit: KIT-T1
  vehicle_family: Invented saloon, 1960-69
  note: Invented for the tests.
layout:
  datums: [A, "B: behind the firewall"]
operations:
  - code: T10
    stage: teardown
    title: Level the shell and take the baseline
    minutes: 45
    skill: layout
    steps:
      - Set the shell on stands at the stated points.
    tools: [Tape, Angle gauge]
    cautions:
      - signal: WARNING
        text: Never work under a car that stands on a jack alone.
    checkpoints:
      - code: T10.1
        kind: dimension
        title: Rail to rail at the firewall
        limit: 29 1/2 ±1/16 in
        instrument: tape
        proves: [baseline, datum]
      - code: T10.2
        kind: pair
        title: Firewall to axle line
        limit: 41 1/4 ±1/8 in
        equal: ≤ 1/8 in
        instrument: tape
        proves: [marks]
      - code: T10.3
        kind: dimension
        title: Level across the rails
        limit: 0 ±0.5°
        instrument: angle_gauge
        proves: [level]
      - code: T10.4
        kind: witness
        title: Second person reads the marks
        of: T10.2
        agree: ≤ 1/16 in
        proves: [marks_witness]
      - code: T10.5
        kind: dimension
        title: Ride height at the left front arch
        side: left
        records: in
        instrument: tape
  - code: C20
    stage: cutting
    title: Cut the rails
    minutes: 90
    skill: fabrication
    gates: [stops_rolling, cuts_structure, hot_work]
    hold_point: yes
    steps: [Cut outside the line., Dress the edges.]
    consumables: [Cutting discs]
    checkpoints:
      - code: C20.1
        kind: photo
        title: Extinguisher and watch in place
        shows: Extinguisher within reach, name of the watch on the board
        proves: [permit]
      - code: C20.2
        kind: count
        title: Spot welds drilled out
        count: 12
      - code: C20.3
        kind: fit
        title: Fire watch kept
        go: Nothing smoulders
        proves: [fire_watch]
  - code: W30
    stage: welding
    title: Weld the cradle
    minutes: 120
    skill: structural welding
    after: [T10, C20]
    steps: [Weld in the order of the map.]
    checkpoints:
      - code: W30.1
        kind: fit
        title: Bolts pass the sleeves
        go: Sleeve passes by hand
  - code: W40
    stage: welding
    title: Inspect the welds
    minutes: 30
    skill: inspection
    steps: [Look at every weld of the map.]
    checkpoints:
      - code: W40.1
        kind: weld
        title: Welds of the cradle
        made_in: W30
        joint: structure
        criteria: [No crack, Full plugs]
        proves: [weld_inspection]
  - code: A50
    stage: assembly
    title: Tighten the arms
    minutes: 60
    skill: fabrication
    gates: [covers_welds]
    steps: [Tighten in two passes.]
    checkpoints:
      - code: A50.1
        kind: torque
        title: Lower arm, front
        side: left
        limit: 65 +5 −0 lbf·ft
        instrument: torque_wrench_click
        joint: suspension
        lubricant: Thread oil
        hardware: single use
        at_ride_height: yes
      - code: A50.2
        kind: torque_angle
        title: Cradle bolt
        limit: 40 ±4 lbf·ft
        instrument: torque_wrench_click
        angle: 90 ±10°
        angle_instrument: angle_meter
        joint: structure
"""

PROCEDURE = PROCEDURE_TEXT.encode()


def changed(old: str, new: str, *, times: int = 1) -> bytes:
    """The procedure with a piece of its text replaced, which must stand in it."""
    assert PROCEDURE_TEXT.count(old) >= 1, old
    return PROCEDURE_TEXT.replace(old, new, times).encode()


def line_of(piece: str, content: bytes = PROCEDURE) -> int:
    """The number of the first line in which a piece stands."""
    lines = content.decode().split("\n")
    return next(number for number, line in enumerate(lines, start=1) if piece in line)
