"""The files of the short invented route: its kit, its procedure with every gate in it, good readings."""

# ruff: noqa: E501 - a file is written as one writes it

KIT = """\
kit,revision,kit_name,supplier,part_number,description,quantity,side,operation,critical,substitutes,thread,grade,length,finish
KIT-9,A,Test clip,Test supplier,TC-CRADLE,Cradle,1,,W20,yes,,,,,
KIT-9,A,Test clip,Test supplier,TC-ARM,Lower arm,2,both,A10,yes,,,,,
KIT-9,A,Test clip,Test supplier,TC-BOLT,Arm bolt,4,,A10,no,,1/2-20 UNF,8,3 in,zinc
"""

PROCEDURE = """\
format: 1
procedure:
  code: P-9
  name: Short test route
  revision: A
  kit: KIT-9
  vehicle_family: Test cars
layout: {}
operations:
  - code: I10
    stage: intake
    title: Book the car in
    minutes: 30
    skill: service
    steps: [Measure the car as it came]
    checkpoints:
      - {code: I10.1, kind: dimension, title: Rail to rail, records: in, instrument: tape, proves: [baseline]}
  - code: T10
    stage: teardown
    title: Take the front suspension off
    minutes: 120
    skill: fabrication
    gates: [stops_rolling, moves_car]
    steps: [Set it on stands]
    checkpoints:
      - {code: T10.1, kind: fit, title: Shell on stands, go: Stands carry the shell}
  - code: T20
    stage: teardown
    title: Level and datums
    minutes: 60
    skill: layout
    steps: [Level the rails]
    checkpoints:
      - {code: T20.1, kind: fit, title: Datum pin set, go: Datum pin is tight, proves: [datum]}
      - {code: T20.2, kind: dimension, title: Rail level, limit: ≤ 0.5°, instrument: level, proves: [level]}
  - code: C10
    stage: cutting
    title: Mark the cut
    minutes: 60
    skill: layout
    steps: [Scribe the line]
    checkpoints:
      - {code: C10.1, kind: dimension, title: Cut line from datum, limit: 29 1/2 ±1/16 in, instrument: tape, proves: [marks]}
      - {code: C10.2, kind: witness, title: Cut line read again, of: C10.1, agree: ≤ 1/8 in, instrument: tape, proves: [marks_witness]}
  - code: C20
    stage: cutting
    title: Cut the rails
    minutes: 60
    skill: fabrication
    gates: [cuts_structure, hot_work]
    steps: [Cut on the line]
    checkpoints:
      - {code: C20.1, kind: fit, title: Permit, go: Battery out and watch named, proves: [permit]}
      - {code: C20.2, kind: dimension, title: Rail end from datum, limit: 29 1/2 ±1/8 in, instrument: tape}
  - code: W10
    stage: welding
    title: Coupon and trial fit
    minutes: 60
    skill: fabrication
    steps: [Weld a coupon and try the cradle]
    checkpoints:
      - {code: W10.1, kind: fit, title: Coupon bent, go: No crack, proves: [coupon]}
      - {code: W10.2, kind: fit, title: Cradle tried, go: Arms clear at ride height, proves: [trial_fit]}
  - code: W20
    stage: welding
    title: Tack the cradle
    minutes: 60
    skill: structural welding
    gates: [hot_work]
    steps: [Tack it]
    checkpoints:
      - {code: W20.1, kind: fit, title: Permit, go: Extinguisher here, proves: [permit]}
      - {code: W20.2, kind: pair, title: Cradle to datum, limit: 14 ±1/8 in, equal: ≤ 1/8 in, instrument: tape, proves: [tack_position]}
  - code: W30
    stage: welding
    title: Finish weld
    minutes: 120
    skill: structural welding
    gates: [finish_weld, hot_work]
    steps: [Weld it out]
    checkpoints:
      - {code: W30.1, kind: fit, title: Permit, go: Extinguisher here, proves: [permit]}
      - {code: W30.2, kind: count, title: Plug welds, count: 12}
      - {code: W30.3, kind: fit, title: Fire watch, go: Nothing smoulders, proves: [fire_watch]}
  - code: W40
    stage: welding
    title: Inspect and measure when cool
    minutes: 60
    skill: inspection
    hold_point: yes
    steps: [Look at each weld]
    checkpoints:
      - {code: W40.1, kind: weld, title: Cradle seam, made_in: W30, criteria: [No crack, No undercut], joint: structure, proves: [weld_inspection]}
      - {code: W40.2, kind: pair, title: Cradle to datum, limit: 14 ±1/8 in, equal: ≤ 1/8 in, instrument: tape, proves: [remeasure]}
  - code: W50
    stage: welding
    title: Prime
    minutes: 30
    skill: fabrication
    gates: [covers_welds]
    steps: [Prime it]
    checkpoints:
      - {code: W50.1, kind: photo, title: Primed seam, shows: The seam in primer}
  - code: A10
    stage: assembly
    title: Hang the suspension
    minutes: 120
    skill: fabrication
    gates: [on_welded_structure]
    steps: [Bolt it up]
    checkpoints:
      - {code: A10.1, kind: torque, title: Lower arm, side: left, limit: 65 ±10 % lbf·ft, instrument: torque_wrench_click, joint: suspension, lubricant: dry, hardware: single use}
      - {code: A10.2, kind: torque, title: Arm pivot, limit: 40 ±10 % lbf·ft, instrument: torque_wrench_click, joint: suspension, at_ride_height: yes}
      - {code: A10.3, kind: torque, title: Caliper bracket, limit: 35 ±10 % lbf·ft, instrument: torque_wrench_click, joint: brake}
      - {code: A10.4, kind: torque_angle, title: Rack bolt, limit: 20 ±10 % lbf·ft, angle: 180 ±10°, instrument: torque_wrench_click, angle_instrument: angle_meter, joint: steering}
  - code: A20
    stage: assembly
    title: Onto its wheels
    minutes: 30
    skill: fabrication
    gates: [onto_wheels]
    steps: [Lower it]
    checkpoints:
      - {code: A20.1, kind: torque, title: Wheel nuts, limit: 80 ±10 % lbf·ft, instrument: torque_wrench_click, joint: wheel, proves: [wheel_nuts]}
      - {code: A20.2, kind: fit, title: Pedal held, go: Pedal does not sink, proves: [brakes]}
  - code: L10
    stage: alignment
    title: Road test
    minutes: 60
    skill: alignment
    gates: [driven]
    steps: [Drive it]
    checkpoints:
      - {code: L10.1, kind: fit, title: Tracks straight, go: It does}
"""

GOOD: dict[str, dict[str, str]] = {
    "I10.1": {"value": "31", "instrument": "TP-1"},
    "T10.1": {"go": "yes"},
    "T20.1": {"go": "yes"},
    "T20.2": {"value": "0.1", "instrument": "LV-1"},
    "C10.1": {"value": "29 1/2", "instrument": "TP-1"},
    "C10.2": {"value": "29 1/2", "instrument": "TP-1"},
    "C20.1": {"go": "yes"},
    "C20.2": {"value": "29 1/2", "instrument": "TP-1"},
    "W10.1": {"go": "yes"},
    "W10.2": {"go": "yes"},
    "W20.1": {"go": "yes"},
    "W20.2": {"left": "14", "right": "14", "instrument": "TP-1"},
    "W30.1": {"go": "yes"},
    "W30.2": {"count": "12"},
    "W30.3": {"go": "yes"},
    "W40.1": {"criterion_1": "yes", "criterion_2": "yes"},
    "W40.2": {"left": "14", "right": "14", "instrument": "TP-1"},
    "W50.1": {},
    "A10.1": {
        "value": "65",
        "instrument": "TW-1",
        "clicked": "yes",
        "lubricant": "yes",
        "new_hardware": "yes",
    },
    "A10.2": {"value": "40", "instrument": "TW-1", "clicked": "yes"},
    "A10.3": {"value": "35", "instrument": "TW-1", "clicked": "yes"},
    "A10.4": {
        "value": "20",
        "angle": "180",
        "instrument": "TW-1",
        "angle_instrument": "AM-1",
        "clicked": "yes",
    },
    "A20.1": {"value": "80", "instrument": "TW-1", "clicked": "yes"},
    "A20.2": {"go": "yes"},
    "L10.1": {"go": "yes"},
}
