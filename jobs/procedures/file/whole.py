"""Reading a procedure file and checking all of it."""

from jobs.judging.layouts import Layout
from jobs.procedures.file.cradle import check_positions
from jobs.procedures.file.data import ProcedureData
from jobs.procedures.file.fields import Faults
from jobs.procedures.file.gates import check_gates, check_hot_work, gate_remarks
from jobs.procedures.file.joints import joint_remarks
from jobs.procedures.file.layout_checks import check_marks
from jobs.procedures.file.limits import check_limits
from jobs.procedures.file.reading import read_file
from jobs.procedures.file.references import check_references
from jobs.procedures.file.remarks import Remark
from jobs.procedures.file.route import route_remarks
from jobs.procedures.file.weld_map import check_weld_map
from jobs.procedures.yaml_text import read_yaml
from shop.file_errors import FileErrors
from shop.models import ShopSettings


def read_procedure(content: bytes, *, settings: ShopSettings) -> tuple[ProcedureData, tuple[Remark, ...]]:
    """What a file says, and what its writer should know.

    Raises:
        FileErrors: with every error in the order of the lines, each with the name of what it is about.
    """
    faults = Faults()
    root = read_yaml(content)
    data = read_file(root, faults)
    check_references(data, faults)
    check_gates(data, faults)
    check_hot_work(data, faults)
    check_positions(data, faults)
    check_weld_map(data, root, faults)
    remarks = [] if faults.errors else check_marks(data, Layout.of(data.layout).views, faults)
    remarks += [*check_limits(data, settings, faults), *route_remarks(data), *gate_remarks(data)]
    if faults.errors:
        raise FileErrors(faults.in_order())
    return data, (*remarks, *joint_remarks(data, settings))
