"""Small files for the tests of bringing in. Everything is invented."""

KIT_HEADER = (
    "kit,revision,kit_name,supplier,part_number,description,quantity,side,operation,critical,"
    "substitutes,thread,grade,length,finish\n"
)
KIT_ROWS = (
    "KIT-T1,A,Test clip kit,Invented Works,T1-100,Cradle,1,,W10,yes,,,,,\n",
    "KIT-T1,A,Test clip kit,Invented Works,T1-110,Sleeve ½ in,4,both,D30,yes,T1-111,,,,\n",
    'KIT-T1,A,Test clip kit,Invented Works,T1-200,"Bolt, hex, 1/2"" flanged",8,,A20,no,T1-201;T1-202,'
    "1/2-20,8,2 1/2 in,zinc\n",
)
KIT = (KIT_HEADER + "".join(KIT_ROWS)).encode()
# The same with what a piece costs, as far as it is known.
COSTED = "".join(
    f"{line},{cost}\n"
    for line, cost in zip(KIT.decode().splitlines(), ("unit_cost", "412.00", "", "1.85"), strict=True)
).encode()

SLIP_HEADER = "order,slip,carrier,dated,part_number,description,slipped,backordered,eta\n"
SLIP_ROWS = (
    "K-0001,PS-77,Invented Freight,2030-04-10,T1-100,Cradle,1,0,\n",
    "K-0001,PS-77,Invented Freight,2030-04-10,T1-110,Sleeve,2,2,2030-04-24\n",
    "K-0001,PS-77,Invented Freight,2030-04-10,T1-201,Bolt,8,0,\n",
    "K-0001,PS-77,Invented Freight,2030-04-10,X-9,Sticker,1,0,\n",
)
SLIP = (SLIP_HEADER + "".join(SLIP_ROWS)).encode()


def with_row(header: str, rows: tuple[str, ...], at: int, row: str) -> bytes:
    """The file with one of its rows replaced."""
    changed = [*rows]
    changed[at] = row if row.endswith("\n") else f"{row}\n"
    return (header + "".join(changed)).encode()
