"""Every table that goes in and out, in the order in which one may name another."""

from collections.abc import Mapping

from jobs.exchange.job_tables import KITS, SLIPS, Jobs
from jobs.exchange.order_tables import Orders, Procedures
from jobs.exchange.people_tables import Absences, Bays, Certificates, Closures, People
from jobs.exchange.shop_tables import Calibrations, Customers, Instruments, Vehicles
from jobs.exchange.tables import ExchangeTable
from jobs.exchange.tool_table import Tools

_ALL: tuple[ExchangeTable, ...] = (
    Customers(),
    Vehicles(),
    People(),
    Certificates(),
    Absences(),
    Bays(),
    Closures(),
    Instruments(),
    Calibrations(),
    Tools(),
    KITS,
    Procedures(),
    Orders(),
    SLIPS,
    Jobs(),
)
TABLES: Mapping[str, ExchangeTable] = {table.columns.name: table for table in _ALL}
