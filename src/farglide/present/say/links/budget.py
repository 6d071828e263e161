"""Budget in words: what makes up a margin, item by item."""

from farglide.outlook.links import BudgetLine
from farglide.present.say.links.aim import decibel_text
from farglide.present.say.text import km_text, number_text, plus_minutes


def budget_words(line: BudgetLine, spread_db: float) -> str:
    """Return the items of one margin; `spread_db`: one standard deviation of the doubt."""
    threshold = f"{number_text(line.threshold_dbm, 1)} dBm are needed"
    if line.floor_dbm is not None:
        threshold = (
            f"{number_text(line.received_dbm - line.floor_dbm, 1)} dB over the noise of "
            f"{number_text(line.floor_dbm, 1)} dBm, where "
            f"{number_text(line.threshold_dbm - line.floor_dbm, 1)} are needed"
        )
    return (
        f"budget at {plus_minutes(line.after_launch_s)} from {line.stand}, "
        f"{km_text(line.range_m, 0)} km: {number_text(line.eirp_dbm, 1)} dBm EIRP "
        f"{_signed(-line.free_space_db)} free space {_signed(line.receiving_db)} receiving antenna "
        f"and cable {_signed(line.else_db)} else, {number_text(line.received_dbm, 1)} dBm "
        f"received; {threshold}: {decibel_text(line.margin_db)} dB in hand, give or take "
        f"{number_text(spread_db, 1)}"
    )


def _signed(value_db: float) -> str:
    """Return decibels with their sign, as an item of a sum.

    >>> _signed(-133.57), _signed(16.0), _signed(-0.01)
    ('− 133.6', '+ 16.0', '− 0.0')
    """
    return f"{'−' if value_db < 0.0 else '+'} {abs(value_db):.1f}"
