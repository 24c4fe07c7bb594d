"""A whole drill, done through the window's events alone: once by mouse, once by keyboard."""

from sim.pilot.autopilot import wait_until
from sim.words.message import quoted

from .conftest import person_at


def _until(person, reached, limit_s=900):
    assert wait_until(person.session, reached, limit_s)
    person.frame()


def _state(person, machine):
    return person.session.saw.controller.machines[machine].state


def test_the_short_posts_are_found_by_mouse(at_short_posts):
    person = at_short_posts
    person.click("brief.begin")
    person.play.paused = True
    person.click("tab.inspect")
    person.click("inspect.stop-play")
    assert "0.15 mm" in str(person.session.seen.looks[-1].found)
    person.click("tab.diagnose")
    person.click("cause.stop-from-below")
    person.click("chosen.name")
    assert person.session.done.named == ["stop-from-below"]
    person.click("chosen.mend")
    assert not person.session.faults.still_wrong()
    person.click("tab.console")
    for key in ("isolator", "reset", "control_on"):
        person.click(f"key.supply.{key}")
    assert _state(person, "supply") == "ON"
    place = person.mouse_down("key.head.raise")
    _until(person, lambda: person.session.saw.bus.seen["B11"])
    person.mouse_up(place)
    _start_by_mouse(person, "band.run")
    _until(person, lambda: person.session.saw.bus.seen["B2"])
    place = person.mouse_down("key.band.faster")
    person.wait(6.5)
    person.mouse_up(place)
    person.click("key.band.stop")
    person.wait(5)
    _turn_to_production(person)
    person.click("key.job.square")
    person.click("key.job.reset")
    _start_by_mouse(person, "job.start")
    _until(person, lambda: person.session.saw.controller.job.cut >= 1)
    assert person.session.tally.proved_us is None
    person.click("key.job.hold")
    _until(person, lambda: _state(person, "job") == "HELD" and person.session.saw.clock.still)
    person.click("tab.inspect")
    person.click("inspect.caliper")
    assert person.session.tally.proved_us is not None
    assert person.see("piece.title") is not None
    person.click("bar.finish")
    person.click("ask.yes")
    debrief = person.app.stage.page.debrief
    assert debrief.passed, debrief.parts
    assert debrief.score >= 90
    person.click("debrief.home")
    assert person.app.stage.page.name == "home"


def _start_by_mouse(person, key):
    """The mouse alone: the key of the start, one palm key, and the other before half a second is over."""
    person.click(f"key.{key}")
    person.play.paused = False
    person.click("key.palm.left")
    person.wait(0.4)
    person.click("key.palm.right")
    person.play.paused = True


def _turn_to_production(person):
    person.click("key.mode.production")
    person.wait(0.6)


def _tab_to(person, name):
    stage = person.app.stage
    for _ in range(len(stage.stops()) + 1):
        if stage.focus == name:
            return
        person.strike("tab")
    raise AssertionError(f"tab does not reach {name}")


def test_the_short_posts_are_found_by_keyboard(at_short_posts):
    person = at_short_posts
    _tab_to(person, "brief.begin")
    person.strike("return")
    person.play.paused = True
    person.strike("f4")
    _tab_to(person, "inspect.stop-play")
    person.strike("return")
    assert "0.15 mm" in str(person.session.seen.looks[-1].found)
    person.strike("f5")
    person.strike("f6")
    _tab_to(person, "diagnose.search")
    person.type("wrong side")
    _tab_to(person, "cause.stop-from-below")
    person.strike("return")
    _tab_to(person, "chosen.name")
    person.strike("return")
    _tab_to(person, "chosen.mend")
    person.strike("return")
    assert not person.session.faults.still_wrong()
    person.strike("f2")
    person.power_up()
    assert _state(person, "supply") == "ON"
    person.key_down("y")
    _until(person, lambda: person.session.saw.bus.seen["B11"])
    person.key_up("y")
    person.start("q")
    _until(person, lambda: person.session.saw.bus.seen["B2"])
    person.key_down("w")
    person.wait(6.5)
    person.key_up("w")
    person.strike("a")
    person.wait(5)
    person.strike("9")
    person.wait(0.6)
    person.strike("z")
    person.strike("i")
    person.start("o")
    _until(person, lambda: person.session.saw.controller.job.cut >= 1)
    person.strike("k")
    _until(person, lambda: _state(person, "job") == "HELD" and person.session.saw.clock.still)
    person.strike("f4")
    _tab_to(person, "inspect.caliper")
    person.strike("return")
    assert person.session.tally.proved_us is not None
    _tab_to(person, "bar.finish")
    person.strike("return")
    _tab_to(person, "ask.yes")
    person.strike("return")
    assert person.app.stage.page.name == "debrief"
    assert person.app.stage.page.debrief.passed


def test_a_lockout_is_taken_step_by_step_and_in_order(at_short_posts):
    person = at_short_posts
    person.session.press("supply.isolator")
    person.session.set("band.wheel_cover", "open")
    person.session.release("supply.isolator")
    person.click("tab.lockout")
    person.click("lockout.verify")
    assert not person.session.lockout.verified
    for step in ("tell", "lock-isolator"):
        person.click(f"lockout.{step}")
    person.session.set("infeed.bar_chock", "in")
    person.session.set("supply.air_cock", "shut")
    for step in ("lock-air", "verify"):
        person.click(f"lockout.{step}")
    assert person.session.lockout.verified
    person.click("tab.inspect")
    person.click("inspect.pulley")
    assert not person.session.done.unsafe


def test_a_wrecked_run_leads_to_the_debrief(at_short_posts):
    person = at_short_posts
    person.session.saw.plant.site.tell("bar-into-band", quoted("For this test."))
    person.frame()
    assert person.session.over
    person.play.go("console")
    person.strike("y")
    person.play.put("head.feed_force_n", 300.0)
    assert "over" in person.play.coach()[1]
    person.click("bar.finish")
    assert person.app.stage.page.debrief.critical


def test_a_picked_scenario_opens_and_is_recorded(tmp_path):
    person = person_at()
    person.click("pick.rail-posts")
    assert person.session.scenario.title == "Rail posts"
    person.click("bar.home")
    assert person.app.stage.page.name == "home"
    assert list(tmp_path.glob("records/rail-posts-*.jsonl"))
