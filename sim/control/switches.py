"""What the switches on the machine mean to the controller's machines.

Never here: keys, and what a state energises.
"""

from typing import Final

from sim.control.table import TABLES
from sim.signals import MODE_SWITCH

# What a sensor's edge means to which machine.
SENSOR_EVENTS: Final[dict[tuple[str, bool], tuple[str, str]]] = {
    ("B1", False): ("band", "STANDSTILL"),
    ("B2", True): ("band", "AT_SPEED"),
    ("B31", True): ("cutting_vise", "IS_BACK"),
    ("B31", False): ("cutting_vise", "LEFT_BACK"),
    ("B33", True): ("cutting_vise", "HAS_CLAMPED"),
    ("B33", False): ("cutting_vise", "CLAMPING_LOST"),
    ("B32", True): ("shuttle_vise", "IS_BACK"),
    ("B32", False): ("shuttle_vise", "LEFT_BACK"),
    ("B34", True): ("shuttle_vise", "HAS_CLAMPED"),
    ("B34", False): ("shuttle_vise", "CLAMPING_LOST"),
    ("B21", True): ("shuttle", "REACHED_BACK"),
    ("B21", False): ("shuttle", "LEFT_BACK"),
    ("B22", True): ("shuttle", "REACHED_FORWARD"),
    ("B22", False): ("shuttle", "LEFT_FORWARD"),
    ("B11", True): ("head", "REACHED_UP"),
    ("B11", False): ("head", "LEFT_UP"),
    ("B12", True): ("head", "REACHED_DOWN"),
    ("B12", False): ("head", "LEFT_DOWN"),
}

# Any contact of the mode switch that opens or closes is a turn of the switch.
TURNED: Final = dict.fromkeys(MODE_SWITCH, ("mode", "TURN"))

# A command into a state whose end is already shown by a switch: fire the switch's event at once.
# Such a state is left by the event for another that is not BETWEEN; it is not BETWEEN itself, which
# a switch only corrects.
ALREADY: Final[dict[tuple[str, str], tuple[str, bool, str]]] = {
    (machine, row.state): (tag, value, event)
    for (tag, value), (machine, event) in SENSOR_EVENTS.items()
    for table in TABLES
    if table.name == machine
    for row in table.rows
    if row.event == event and "BETWEEN" not in (row.state, row.to)
}

END_OF: Final[dict[tuple[str, str], tuple[str, str]]] = {
    (table.name, row.event): (ALREADY[table.name, row.to][0], end.to)
    for table in TABLES
    for row in table.rows
    if (table.name, row.to) in ALREADY
    for end in table.rows
    if end.state == row.to and end.event == ALREADY[table.name, row.to][2]
}
"""By machine and command: the switch that shows its end, and the state that it then takes."""
