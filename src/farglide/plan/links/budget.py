"""Budget: one margin of the planned flight, item by item."""

from collections.abc import Sequence

from farglide.outlook.links import BudgetLine, HeardStand
from farglide.radio.link import Link, noise_floor_dbm, threshold_dbm
from farglide.radio.path.space import free_space_loss_db


def budget_line(link: Link, stands: Sequence[HeardStand], at_s: float) -> BudgetLine | None:
    """Return the budget at a moment from the stand with most in hand then; None without stands."""
    if not stands:
        return None
    stand = max(stands, key=lambda one: one.nearest(at_s).p50)
    point, receiver = stand.nearest(at_s), link.receiver
    free_space_db = free_space_loss_db(link.frequency_hz, point.range_m)
    receiving_db = receiver.gain_dbi - receiver.loss_db
    received_dbm = threshold_dbm(link) + point.p50
    return BudgetLine(
        stand=stand.name,
        after_launch_s=point.after_launch_s,
        range_m=point.range_m,
        eirp_dbm=link.sender.eirp_dbm,
        free_space_db=free_space_db,
        receiving_db=receiving_db,
        else_db=received_dbm - (link.sender.eirp_dbm - free_space_db + receiving_db),
        received_dbm=received_dbm,
        floor_dbm=noise_floor_dbm(link) if receiver.noise_figure_db is not None else None,
        threshold_dbm=threshold_dbm(link),
        margin_db=point.p50,
    )
