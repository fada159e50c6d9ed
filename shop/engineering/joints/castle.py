"""Castle nuts: from their least torque forward to the next slot, never back."""

from shop.engineering.errors import QuantityError
from shop.engineering.words import Words
from shop.engineering.words import say as _


def castle_nut(to_next_slot_deg: float, *, slots: int = 6, turned_max_deg: float | None = None) -> Words:
    """What to do with a castle nut that has its least torque: forward to the next slot, never back.

    Args:
        to_next_slot_deg: from where it stands forward to the slot that meets the hole; 0 where it does.
        slots: of the nut.
        turned_max_deg: how far the instruction lets it be turned on; None where it says nothing.
    Returns: what to do.
    Raises:
        QuantityError: below nothing (that would be back), or more than from slot to slot.

    Valid for nuts with a cotter pin. Source: HOUSE (common practice, the kit maker's figure comes first)
    """
    if to_next_slot_deg < 0:
        raise QuantityError(_("A castle nut is never turned back to a slot: forward to the next one"))
    if to_next_slot_deg >= 360 / slots:
        raise QuantityError(_("From slot to slot it is %(most)d°", most=360 // slots))
    if to_next_slot_deg == 0:
        return _("The slot meets the hole: new cotter pin in, both ends bent")
    if turned_max_deg is not None and to_next_slot_deg > turned_max_deg:
        return _(
            "The next slot lies %(turn)d° forward and the instruction allows %(most)d°: take another washer "
            "or nut, begin again at the least torque; never back",
            turn=round(to_next_slot_deg), most=round(turned_max_deg),
        )  # fmt: skip
    return _("Turn forward %(turn)d° to the next slot, then a new cotter pin", turn=round(to_next_slot_deg))


def castle_nut_by_torque(figure_nm: float, went_nm: float, most_nm: float) -> Words:
    """What to do with a castle nut whose instruction ends at a torque: a slot between the least and the most.

    Args:
        figure_nm: that it had before it went on; went_nm: when the slot met the hole; most_nm: allowed, N·m.
    Returns: what to do.
    Raises:
        QuantityError: it stands below its figure (that would be back), or a torque is not above nothing.

    Valid for nuts with a cotter pin. Source: HOUSE (common practice, the kit maker's figure comes first)
    """
    if min(figure_nm, went_nm, most_nm) <= 0:
        raise QuantityError(_("Torques are above nothing"))
    if went_nm < figure_nm:
        raise QuantityError(_("A castle nut is never turned back to a slot: forward to the next one"))
    if went_nm > most_nm:
        return _(
            "The slot was met only above what the instruction allows: take another washer or nut, begin "
            "again at the least torque; never back"
        )
    return _("The slot meets the hole: new cotter pin in, both ends bent")
