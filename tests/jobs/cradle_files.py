"""The short invented route with a cradle that is measured, tacked and again when cool; with a weld map."""

# ruff: noqa: E501 - a file is written as one writes it

from tests.jobs.short_files import PROCEDURE

CRADLE = """\
layout:
  cradle:
    track: 58 in
    points:
      - {code: LF, at: "12 in, 15 in, 2 in"}
      - {code: RF, at: "12 in, -15 in, 2 in"}
      - {code: LR, at: "-11 in, 16 in, 1 in"}
      - {code: RR, at: "-11 in, -16 in, 1 in"}
    references:
      - {code: LA, at: "-55 in, 16 1/2 in, 0 in"}
      - {code: RA, at: "-55 in, -16 1/2 in, 0 in"}
    readings:
      - {code: D1, kind: distance, of: LF, from: RA}
      - {code: D2, kind: distance, of: RF, from: LA}
      - {code: S1, kind: distance, of: LF, from: LA}
      - {code: S2, kind: distance, of: RF, from: RA}
      - {code: C1, kind: across, of: LR, name: Left rear to centre line}
      - {code: H1, kind: height, of: LF}
      - {code: H2, kind: height, of: RF}
      - {code: H3, kind: height, of: LR}
      - {code: H4, kind: height, of: RR}
"""
POSITION = (
    "{code: W20.2, kind: position, title: Cradle tacked, limit: ≤ 1/8 in, instrument: tape, "
    "proves: [tack_position]}"
)


def _with_cradle() -> str:
    text = PROCEDURE.replace("layout: {}\n", CRADLE)
    tacked = next(line for line in text.splitlines() if "code: W20.2" in line)
    cooled = next(line for line in text.splitlines() if "proves: [remeasure]" in line)
    code = cooled.split("code: ")[1].split(",")[0]
    text = text.replace(tacked, f"      - {POSITION}")
    again = (
        POSITION.replace("W20.2", code).replace("tacked", "when cool").replace("tack_position", "remeasure")
    )
    return text.replace(cooled, f"      - {again}")


CRADLE_PROCEDURE = _with_cradle()
WELD_MAP = """\
  weld_map:
    thickness: 1/8 in
    welds:
      - {code: L1, kind: plug, made_in: W30, tacked_in: W20, inspected_at: W40.1, side: left, view: plate, at: "1 in, 1 in"}
      - {code: L2, kind: plug, made_in: W30, tacked_in: W20, inspected_at: W40.1, side: left, view: plate, at: "2 1/2 in, 1 in"}
      - {code: R1, kind: plug, made_in: W30, tacked_in: W20, inspected_at: W40.1, side: right, view: plate, at: "1 in, 1 in"}
      - {code: S1, kind: seam, made_in: W30, inspected_at: W40.1, side: right, view: plate, from: "0 in, 2 in", to: "3 in, 2 in", size: 3/16 in}
"""
WELD_PROCEDURE = PROCEDURE.replace("layout: {}\n", f"layout:\n{WELD_MAP}")
WITNESSED_CRADLE = CRADLE_PROCEDURE.replace(
    f"      - {POSITION}",
    f"      - {POSITION}\n"
    "      - {code: W20.3, kind: witness, title: Cradle read again, of: W20.2, instrument: tape}",
    1,
)
