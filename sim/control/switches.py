"""What the switches on the machine mean to the controller's machines.

Never here: keys, and what a state energises.
"""

from typing import Final

from sim.control.table import TABLES

# What a sensor's edge means to which machine.
SENSOR_EVENTS: Final[dict[tuple[str, bool], tuple[str, str]]] = {
    ("B1", False): ("band", "STANDSTILL"),
    ("B2", True): ("band", "AT_SPEED"),
    ("B31", True): ("cutting_vise", "FREED"),
    ("B31", False): ("cutting_vise", "LEFT_BACK"),
    ("B33", True): ("cutting_vise", "GRIPPED"),
    ("B33", False): ("cutting_vise", "GRIP_LOST"),
    ("B32", True): ("shuttle_vise", "FREED"),
    ("B32", False): ("shuttle_vise", "LEFT_BACK"),
    ("B34", True): ("shuttle_vise", "GRIPPED"),
    ("B34", False): ("shuttle_vise", "GRIP_LOST"),
    ("B21", True): ("shuttle", "REACHED_STOP"),
    ("B21", False): ("shuttle", "LEFT_STOP"),
    ("B22", True): ("shuttle", "REACHED_BLADE"),
    ("B22", False): ("shuttle", "LEFT_BLADE"),
    ("B11", True): ("head", "REACHED_UP"),
    ("B11", False): ("head", "LEFT_UP"),
    ("B12", True): ("head", "REACHED_DOWN"),
    ("B12", False): ("head", "LEFT_DOWN"),
}

# A command may lead into a state whose end a switch shows already: then the switch's event is fired at
# once. BETWEEN is left out on both sides: there a switch only corrects what the controller believes.
ALREADY: Final[dict[tuple[str, str], tuple[str, bool, str]]] = {
    (machine, row.state): (tag, value, event)
    for (tag, value), (machine, event) in SENSOR_EVENTS.items()
    for table in TABLES
    if table.name == machine
    for row in table.rows
    if row.event == event and "BETWEEN" not in (row.state, row.to)
}
