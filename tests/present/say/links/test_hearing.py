"""Budget in words: the items add up to what is left over."""

from dataclasses import replace

from farglide.outlook.links import BudgetLine
from farglide.present.say.links.hearing import budget_words

# 0.8 W and 2 dBi over 60 km at 2370 MHz, 16 dB at the receiver, 3 dB lost; kTB of 16 MHz and 2 dB
LINE = BudgetLine(
    stand="hill", after_launch_s=4440.0, range_m=60e3, eirp_dbm=31.03, free_space_db=135.51,
    receiving_db=16.0, else_db=-3.0, received_dbm=-91.47, floor_dbm=-99.93, threshold_dbm=-90.93,
    margin_db=-0.54,
)  # fmt: skip


def test_the_words_carry_every_item() -> None:
    words = budget_words(LINE, 2.0)
    assert words == (
        "budget at T+74 from hill, 60 km: 31.0 dBm EIRP − 135.5 free space + 16.0 receiving "
        "antenna and cable − 3.0 else, −91.5 dBm received; 8.5 dB over the noise of −99.9 dBm, "
        "where 9.0 are needed: margin −1 dB, give or take 2.0"
    )
    deaf = replace(LINE, floor_dbm=None, threshold_dbm=-107.0)
    assert "−107.0 dBm are needed" in budget_words(deaf, 2.0)
