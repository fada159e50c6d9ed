"""Every table that goes in and out, in the order in which one may name another."""

from collections.abc import Mapping

from jobs.exchange.job_tables import KITS, SLIPS, Jobs
from jobs.exchange.shop_tables import Calibrations, Customers, Instruments, People, Vehicles
from jobs.exchange.tables import ExchangeTable
from jobs.exchange.tool_table import Tools

_ALL: tuple[ExchangeTable, ...] = (
    Customers(),
    Vehicles(),
    People(),
    Instruments(),
    Calibrations(),
    Tools(),
    KITS,
    SLIPS,
    Jobs(),
)
TABLES: Mapping[str, ExchangeTable] = {table.columns.name: table for table in _ALL}
