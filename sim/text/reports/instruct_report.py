"""`drycycle instruct`: gives an order to a running session, or lists what was ordered in it."""

from pathlib import Path
from typing import Any

from sim.errors import RecordError
from sim.records.chain import read_chain
from sim.records.folder import home
from sim.records.hold import is_held
from sim.session.orders import TAKES, give, order_from
from sim.text.page import clock
from sim.text.reports.run_report import print_json
from sim.text.tables import console

LAST = "last"


def instruct(record: str, words: list[str], *, as_json: bool) -> int:
    """Give the order that words say, or without words list the instructor's acts; return 0.

    Args:
        record: A record's file, or `last` for the newest one in the record folder.
        words: The order.
        as_json: Print JSON.

    Raises:
        CommandError: There is no such order, it would do nothing, or the session does not run.
        RecordError: There is no such record.
    """
    path = newest() if record == LAST else Path(record)
    out = console()
    if words:
        order = order_from(words)
        give(path, order)
        if as_json:
            print_json({"record": str(path), "order": order.order})
        else:
            out.print(
                f"Ordered: {order.order}. The session takes it at its next frame or line.",
                markup=False, soft_wrap=True,
            )  # fmt: skip
        return 0
    lines = read_chain(path, allow_cut=True)
    acts = [line for line in lines if line.get("by") == "instructor"]
    running = "cut" in lines[-1] and is_held(path)
    state = "running" if running else "broken off" if "cut" in lines[-1] else "closed"
    if as_json:
        print_json({"record": str(path), "running": running, "state": state, "acts": acts})
        return 0
    out.print(f"{path.name}: {state}.", markup=False, soft_wrap=True)
    for act in acts:
        out.print(f"{clock(int(act['at_us']))} {_told(act)}", markup=False, soft_wrap=True)
    if not acts:
        out.print(f"No order was taken yet. Orders: {', '.join(TAKES)}.", markup=False)
    return 0


def newest() -> Path:
    """Return the newest record of the record folder.

    Raises:
        RecordError: There is none.
    """
    folder = home() / "records"
    found = [p for p in folder.glob("*.jsonl") if not p.name.endswith(".orders.jsonl")]
    if not found:
        raise RecordError("there is no record in the folder", str(folder), "name a record's file")
    return max(found, key=lambda path: path.stat().st_mtime)


def _told(act: dict[str, Any]) -> str:
    """Return an act of an instructor; the names of faults are sealed until the close."""
    name = str(act["act"]).replace("_", "-")
    if name == "freeze":
        return "freeze" if act["on"] else "go"
    says = act.get("text", act.get("factor", "a sealed fault" if "seal" in act else ""))
    return f"{name} {says}".strip()
