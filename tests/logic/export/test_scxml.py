"""The chart in SCXML: well-formed, row for row the tables, and run by a foreign interpreter.

The interpreter is that of `python-statemachine`, which knows nothing of saws; it and the live
controller are driven through the same random edges, commands and job events, without the job's walk,
which the chart leaves out.
"""

import re
from functools import cache
from random import Random
from xml.etree import ElementTree

import pytest
from statemachine.io.scxml.processor import SCXMLProcessor

from sim.control.actions import ACTIONS
from sim.control.controller import Controller
from sim.control.interlocks import When
from sim.control.table import TABLES
from sim.kernel.clock import Clock
from sim.logic.export import scxml
from sim.logic.proof.memory import CAN_FAIL, DEVICES, DOMAINS, possible
from sim.signals import MODE_SWITCH, Bus

IN = {"scxml": scxml.NAMESPACE}
REGIONS = (
    *(table.name for table in TABLES), *DEVICES, "latch.deviation", "latch.trip_line",
)  # fmt: skip

STOPS = ("Q0", "K0", "S1", "S9", "S2", "F1", "B41", "B42", "B51", "B54", "B53", "B61", "B62", "B63")
SELDOM = 0.05
TABLE = {table.name: table for table in TABLES}


@cache
def chart() -> ElementTree.Element:
    return ElementTree.fromstring(scxml.export())


def states() -> set[str]:
    return {state.attrib["id"] for state in chart().iterfind(".//scxml:state", IN)}


def test_the_chart_is_scxml_1_0_with_a_region_for_everything_that_has_a_state() -> None:
    assert chart().tag == f"{{{scxml.NAMESPACE}}}scxml"
    assert chart().attrib["version"] == "1.0"
    regions = [region.attrib["id"] for region in chart().iterfind("scxml:parallel/scxml:state", IN)]
    assert regions == [*REGIONS, "keys"]


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_the_rows_of_a_table_can_be_read_back_from_the_chart(table) -> None:
    rows = set()
    for state in chart().iterfind(f".//scxml:state[@id='{table.name}']/scxml:state", IN):
        for transition in state.iterfind("scxml:transition", IN):
            machine, _, event = transition.attrib["event"].partition(".")
            if machine == table.name:
                ends = (state.attrib["id"], transition.attrib["target"])
                rows.add((*(end.partition(".")[2] for end in ends), event))
    assert rows == {(row.state, row.to, row.event) for row in table.rows}


def test_nothing_in_the_chart_points_to_where_nothing_is() -> None:
    targets = {
        one.attrib["target"]
        for one in chart().iterfind(".//scxml:transition", IN)
        if one.attrib["event"] not in {f"wire.{tag}.off" for tag in scxml.LET_GO}
    }
    initial = {one.attrib["initial"] for one in chart().iter() if "initial" in one.attrib}
    looked_at = {
        name
        for one in chart().iter()
        for name in re.findall(r"In\('([^']+)'\)", one.attrib.get("cond", ""))
    }
    assert looked_at
    assert (targets | initial | looked_at) - {"saw"} <= states()
    events = {f"{table.name}.{event}" for table in TABLES for event in table.events}
    raised = {one.attrib["event"] for one in chart().iterfind(".//scxml:raise", IN)}
    assert raised <= events


class Both:
    """The chart in its interpreter and the live controller, side by side."""

    def __init__(self) -> None:
        processor = SCXMLProcessor()
        processor.parse_scxml("saw", scxml.export())
        self.chart = processor.start()
        self.controller = Controller(Clock(), Bus())

    @property
    def charted(self) -> dict[str, str]:
        here = {state.id for state in self.chart.configuration}
        return {
            region: scxml.state_id(region, value)
            for region in REGIONS
            for value in DOMAINS[region]
            if scxml.state_id(region, value) in here
        }

    @property
    def live(self) -> dict[str, str]:
        return {region: scxml.state_id(region, self.controller.image[region]) for region in REGIONS}

    def wire(self, tag: str, value: bool) -> str:
        self.controller.take(tag, value)
        return f"wire.{scxml.state_id(tag, value)}"

    def let_go(self, tag: str) -> str:
        self.controller.take(tag, False)
        return f"wire.{scxml.state_id(tag, False)}"

    def ask(self, name: str, origin: When) -> str:
        self.controller.ask(name, origin)
        action = next(action for action in ACTIONS if action.name == name)
        return scxml.asked(action, origin)

    def fire(self, machine: str, event: str) -> str:
        self.controller.fire(machine, event)
        return f"{machine}.{event}"


def something(both: Both, chance: Random) -> str:
    """Let something happen to the controller; return its event for the chart."""
    image = both.controller.image
    kind = chance.choices(["wire", "let go", "mode", "command", "job"], [6, 0.3, 4, 5, 2])[0]
    if kind == "wire":
        # What ends everything goes off seldom, and comes on again soon.
        weights = [
            0.03 if tag in MODE_SWITCH else SELDOM if tag in STOPS and image[tag]
            else 0.5 if tag in CAN_FAIL and image[tag] else 1.0
            for tag in DEVICES
        ]  # fmt: skip
        (tag,) = chance.choices(DEVICES, weights)
        known = {other: image[other] for other in DEVICES if other != tag}
        fits = possible(known, tag, not image[tag])
        return both.wire(tag, not image[tag]) if fits else "nothing"
    if kind == "let go":
        return both.let_go(chance.choice(scxml.LET_GO))
    if kind == "mode":
        if image["mode"] == "NONE":
            return both.fire(
                "mode",
                chance.choice([row.event for row in TABLE["mode"].rows if row.state == "NONE"]),
            )
        return "nothing"
    if kind == "command":
        if image["supply"] != "ON" and chance.random() < 0.5:
            tripped = image["supply"] == "TRIPPED"
            return both.ask("supply.reset" if tripped else "supply.control_on", When.KEY)
        action = chance.choice([one for one in scxml.COMMANDS if one.name != "band.stop"])
        return both.ask(action.name, chance.choice(scxml.askers(action)))
    table = chance.choice([table for table in TABLES if table.name in ("job", "cycle", "first")])
    rows = [row.event for row in table.rows if row.state == image[table.name]]
    weights = [
        SELDOM if event in ("ABORT", "PARK", "STOP", "HOLD", "WITHDRAW", "SECURE") else 1.0
        for event in rows
    ]
    (event,) = chance.choices(rows, weights)
    return both.fire(table.name, event)


def test_a_foreign_interpreter_of_the_chart_goes_with_the_live_controller() -> None:
    both, chance = Both(), Random(24)
    met: set[str] = set()
    for number in range(2_500):
        event = something(both, chance)
        both.chart.send(event)
        assert both.charted == both.live, (number, event)
        met.update(both.live.values())
    machines = {scxml.state_id(table.name, state) for table in TABLES for state in table.states}
    assert machines - met == set()
