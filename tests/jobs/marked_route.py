"""The short route with a layout: its cut line and a hole, read as marks by two persons."""

from tests.jobs.short_files import PROCEDURE

# Marks at 14 and 7 1/4 in, 7 1/4 in being the centre line; a line 29 1/2 in back; 3 in up from a flange:
# common practice, without a source.
LAYOUT = """\
layout:
  views:
    - code: RO
      name: Left rail, outer face
      side: left
      face: outer
      mirrored: yes
      datums:
        - {code: A, name: front datum, from: "0 in, 0 in", to: "0 in, 6 in"}
        - {code: B, name: rear datum, from: "-40 in, 0 in", to: "-40 in, 6 in"}
        - {code: F, name: lower flange, from: "-40 in, 0 in", to: "20 in, 0 in"}
        - {code: P, name: drain hole, at: "-12 in, 1 1/4 in"}
        - {code: Q, name: mount hole, at: "18 in, 5 in"}
      marks:
        - {code: C1, kind: cut line, name: rail, from: "29 1/2 in, 0 in", to: "29 1/2 in, 6 in", waste: back, laid_out_from: [A], tolerance: ±1/16 in}
        - {code: H1, kind: hole, name: sleeve, at: "14 in, 3 in", laid_out_from: [A, F], tolerance: ±1/16 in, size: 17/32 in, tool: twist drill}
        - {code: H2, kind: hole, name: sleeve, at: "7 1/4 in, 3 in", laid_out_from: [A, F], tolerance: ±1/16 in, size: 17/32 in, tool: twist drill}
"""  # noqa: E501 - a file is written as one writes it
CHECKPOINTS = """\
      - {code: C10.1, kind: mark, title: Cut line, side: right, mark: C1, instrument: tape, proves: [marks]}
      - {code: C10.2, kind: witness, title: Cut line read again, of: C10.1, agree: ≤ 1/8 in, instrument: tape, proves: [marks_witness]}
"""  # noqa: E501
_BEFORE, _FROM, _AFTER = PROCEDURE.partition("      - {code: C10.1")
MARKED = (_BEFORE + CHECKPOINTS + _AFTER.partition("proves: [marks_witness]}\n")[2]).replace(
    "layout: {}\n", LAYOUT
)
STANDS = {"r1": "29 1/2", "r2": "29 1/2", "r3": "69 1/2", "r4": "11 17/32", "instrument": "TP-1"}
BURNED = {"r1": "28 1/2", "r2": "28 1/2", "r3": "68 1/2", "r4": "10 17/32", "instrument": "TP-1"}
