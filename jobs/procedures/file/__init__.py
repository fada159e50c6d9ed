"""Procedure files: read whole, checked whole, written again without loss."""

from jobs.procedures.file.data import (
    CautionData,
    CheckpointData,
    ComeBackData,
    HandoverData,
    HoleData,
    OperationData,
    ProcedureData,
    WallData,
)
from jobs.procedures.file.remarks import Remark
from jobs.procedures.file.whole import read_procedure

__all__ = [
    "CautionData",
    "CheckpointData",
    "ComeBackData",
    "HandoverData",
    "HoleData",
    "OperationData",
    "ProcedureData",
    "Remark",
    "WallData",
    "read_procedure",
]
