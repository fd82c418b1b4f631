"""The tolerances that standards and practice give, each with its source."""

from __future__ import annotations

from typing import Final

MAINS_TOLERANCE: Final = 0.10
"""IEC 60038 and EN 50160, from memory: 230 V within 10 %."""

DC_LOW, DC_HIGH = 0.85, 1.20
"""IEC 61131-2, from memory: 24 V DC within -15 and +20 %."""

PLAUSIBLE_TIMES: Final = 2.5
"""No meter shows more than this many times the rated voltage of an output: judgement; it is a slip or a wrong range."""

AT_REST_LOW: Final = 0.95
"""A power unit without load holds 5 %: common practice, no source."""

DRIVE_LOW: Final = 0.80
"""What a drive needs of its rated voltage where its plate says nothing: common practice, no source."""

END_OF_LINE_TOLERANCE: Final = 0.05
"""IEC 60062 letter J."""

SHORT_OHM, OPEN_OHM = 100.0, 200_000.0
"""On a meter, cores that touch and a line that is broken: judgement."""

HALF_LOW, HALF_HIGH = 0.45, 0.55
"""Two equal end-of-line elements in parallel read half; the borders leave 10 % for tolerance and cable."""

SOUND_JOINT_OHM, BAD_JOINT_OHM = 0.005, 0.025
"""A clean clamp joint, and one to be remade: judgement."""

EXTRA_LOW_V: Final = 50.0
"""IEC 61140, from memory: extra-low voltage of a direct-current circuit that is also safe as alternating current."""

STALL_FACTOR: Final = 1.5
"""A drive that takes this many times its running current is held back: judgement."""

TRAVEL_SLOW, TRAVEL_SHORT = 1.25, 0.75
"""A quarter off the time worked out: judgement; speed changes with load and voltage."""

RESTED_FULL_V, CELL_GROUP_V, END_V = 12.8, 12.0, 10.8
"""Volts of one 12 V lead-acid block: rested full, nominal, end of discharge: common practice, no source."""

CHARGER_LOW_V: Final = 13.2
"""A charger below this for each 12 V does not fill the battery: common practice, no source."""
