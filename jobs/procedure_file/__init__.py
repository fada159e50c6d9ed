"""Procedure files: read whole, checked whole, written again without loss."""

from jobs.procedure_file.data import CautionData, CheckpointData, OperationData, ProcedureData
from jobs.procedure_file.remarks import Remark
from jobs.procedure_file.whole import read_procedure

__all__ = ["CautionData", "CheckpointData", "OperationData", "ProcedureData", "Remark", "read_procedure"]
