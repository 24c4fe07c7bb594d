"""The limit that sets a result is named, the same by card, coach and calc; and more feed is advised only where it helps.

Also: calc pitch has the pitch of the card, and says what of the stock lies in the charts' range.
"""

from dataclasses import replace
from random import Random

import pytest

from sim.calc import calculators as calc
from sim.calc import quantities as q
from sim.calc.figure import NOTE, WARNING
from sim.scenario.machines import first_machine
from sim.scenario.section_words import section_from
from sim.session.card.binding import Fed, Holds
from sim.session.card.card_reasons import FORCE_BY, Bound
from sim.session.card.setup_card import CHIP_M, feed_of
from sim.session.card.soundness import unsound_bar
from sim.session.opening import machine_of, materials, read, session_for
from sim.teaching.foresight import amiss
from sim.trade import choice
from sim.units import INCH, MM

SAW = first_machine()
METALS = materials()
STEEL, STAINLESS = METALS["S275JR"], METALS["X5CrNi18-10"]
BARS = (
    "round:60", "round:20", "round:90", "square:200", "square-tube:60x3", "square-tube:80x2",
    "round-tube:60x2", "square-tube:40x4",
)  # fmt: skip


def answers(metal, bar, **given):
    section = section_from(bar)
    return calc.time(metal, section, SAW, calc.setting_of(metal, section, SAW, **given))


def marked(figures):
    return {str(each.quantity) for each in figures if each.binds}


def notes(figures):
    return [str(each.value) for each in figures if each.quantity == NOTE]


# ---- which limit sets a cut


def test_a_thick_bar_is_held_by_the_force_and_the_force_by_the_face():
    found = answers(STEEL, "square:200")

    assert marked(found) == {str(q.SET_FORCE)}
    assert notes(found) == [
        "The force limit holds the feed: 550 N, where the valve would let 104 mm/min through.",
        "The card has 550 N: no more than leaves the face square; a chip of 6 um a tooth would take more.",
    ]


def test_where_the_face_bounds_the_force_it_is_told_what_a_tighter_band_would_cut():
    found = answers(METALS["42CrMo4"], "round:100")
    tighter = answers(METALS["42CrMo4"], "round:100", force_n=660.0)
    rate = next(each.value for each in tighter if each.quantity == q.RATE)

    assert notes(found)[-1] == (
        "With the band at 275 MPa instead of 225 the face stays square up to 660 N, and that cuts "
        f"{rate} cm2/min. A tighter band tires sooner."
    )
    assert "tighter" not in " ".join(notes(tighter))
    assert "tighter" not in " ".join(notes(answers(STEEL, "round:60")))  # a chip bounds it


def test_a_thin_wall_is_held_by_the_valve_and_the_valve_by_what_a_tooth_stands():
    found = answers(STAINLESS, "square-tube:60x3")

    assert marked(found) == {str(q.SET_VALVE), str(q.TOOTH)}
    assert "for 89 % of the cut" in notes(found)[0]
    assert notes(found)[1].startswith("The card has 30 mm/min: no more than teeth and gullets")


def test_a_valve_nearly_shut_is_told_as_what_holds_and_as_what_to_open():
    found = answers(STEEL, "round:60", valve_mm_min=5)

    assert marked(found) == {str(q.SET_VALVE)}
    warned = [str(each.value) for each in found if each.quantity == WARNING]
    assert warned[-1].endswith("Open the feed valve to 174 mm/min, for the force would take it.")


@pytest.mark.parametrize("bar", BARS)
@pytest.mark.parametrize("metal", [STEEL, STAINLESS], ids=lambda metal: metal.name)
def test_what_holds_is_what_a_cut_goes_faster_without(metal, bar):
    section = section_from(bar)
    setting = calc.setting_of(metal, section, SAW)
    cut = calc.table(metal, section, SAW, setting)
    fed = fed_of(metal, section, setting)
    freer = calc.table(
        metal, section, SAW, replace(setting, valve_mm_min=setting.valve_mm_min * 1.2)
    )
    harder = calc.table(metal, section, SAW, replace(setting, force_n=setting.force_n * 1.2))

    # Where all that teeth do is rub, a little more of anything changes that: such a bar is declared as such.
    rubs = bool(unsound_bar(SAW, metal, section)) and cut.duration_s > 3600
    assert rubs == ((metal, bar) == (STAINLESS, "square-tube:80x2"))
    if fed.holds is Holds.FORCE and not rubs:
        assert freer.duration_s == pytest.approx(cut.duration_s, rel=0.1)
    if fed.holds is Holds.VALVE:
        assert harder.duration_s == pytest.approx(cut.duration_s, rel=0.1)
    assert min(freer.duration_s, harder.duration_s) < cut.duration_s


def fed_of(metal, section, setting):
    return Fed(
        SAW, metal, section, calc.table(metal, section, SAW, setting), setting.force_n,
        setting.valve_mm_min * MM / 60, setting.mitre_deg,
    )  # fmt: skip


# ---- advice to feed more


def test_advice_to_feed_more_makes_the_chip_thicker_and_is_never_above_the_card():
    chance, keys = Random(16), set()
    for _ in range(60):
        metal, section = chance.choice(list(METALS.values())), section_from(chance.choice(BARS))
        card = calc.setting_of(metal, section, SAW)
        setting = replace(
            card, force_n=card.force_n * chance.choice([0.3, 0.7, 1.0]),
            valve_mm_min=max(card.valve_mm_min * chance.choice([0.05, 0.5, 1.0]), 1.0),
        )  # fmt: skip
        advice = fed_of(metal, section, setting).bite()
        keys.add(advice.key)
        if advice.key == "binding.open-valve":
            more = replace(setting, valve_mm_min=advice["valve"] / MM * 60)
            assert more.valve_mm_min <= card.valve_mm_min + 1e-6
        elif advice.key == "binding.more-force":
            more = replace(setting, force_n=advice["force"])
            assert more.force_n <= card.force_n
        else:
            assert setting.force_n == card.force_n or setting.valve_mm_min == card.valve_mm_min
            continue
        before, after = (calc.toothed(metal, section, SAW, each) for each in (setting, more))
        assert after.chip_m > before.chip_m, (metal.name, advice)

    assert {"binding.open-valve", "binding.more-force", "binding.no-band"} <= keys


def stainless_tube(teeth):
    """Return a session on a stainless tube, set up by the card but for a band of so many TPI, and its card."""
    session = session_for(read("19-change-of-order")[0])
    for line in session.card:
        if line.name in ("band.tension_mpa", "band.guide_span_mm"):
            session.saw.set(line.name, line.setting)
    machine, stock = session.machine, session.stock
    session.saw.plant.blade.pitch_m = INCH / teeth
    card = feed_of(machine, stock.material, stock.section, 0.0, INCH / teeth)
    session.saw.plant.head.set_force(card.force_n)
    session.saw.plant.head.set_valve(card.valve_m_s)
    return session, card


def test_the_coach_names_the_limit_where_feeding_more_does_nothing():
    session, card = stainless_tube(14)
    said = str(amiss(session))

    assert card.force_by is Bound.FACE
    assert "would rub" in said
    assert said.endswith(
        "feeding more is barred by the face, which would run off square, so fit a sharp band of 8 TPI"
    )
    assert not amiss(stainless_tube(8)[0])  # which is the card's


def test_the_coach_says_open_the_valve_where_it_is_the_valve_that_holds():
    session, card = stainless_tube(14)
    session.saw.plant.head.set_valve(4 * MM / 60)
    opened = f"open the feed valve to {card.valve_m_s / MM * 60:.0f} mm/min"

    assert opened in str(amiss(session))


def test_a_blunt_band_of_the_cards_pitch_is_changed_and_not_pressed_harder():
    section = section_from("round-tube:60x2")
    fed = fed_of(STAINLESS, section, calc.setting_of(STAINLESS, section, SAW))

    assert (
        str(fed.bite(sharp=False))
        == "feeding more is barred by what the vise holds, so fit a sharp band"
    )
    assert "no pitch of the stock bites better" in str(fed.bite())


@pytest.mark.parametrize("machine", ["harbour-saw", "quay-saw"])
def test_the_card_gives_as_its_reason_the_limit_that_sets_its_force(machine):
    saw = machine_of(machine)
    for bar in BARS:
        for metal in (STEEL, STAINLESS):
            fed = feed_of(saw, metal, section_from(bar))
            shown = calc.feed(metal, section_from(bar), saw, None, 6)
            why = str(FORCE_BY[fed.force_by](chip=CHIP_M * 1e6))
            assert notes(shown) == [f"The card has {fed.force_n:.0f} N: {why}."]
    stopped = {feed_of(saw, METALS[m], section_from(b)).force_by for m in METALS for b in BARS}
    assert {Bound.CHIP, Bound.VISE, Bound.FACE} <= stopped


# ---- the pitch


@pytest.mark.parametrize("bar", BARS)
def test_calc_pitch_has_the_pitch_of_the_card_whatever_the_metal(bar):
    section = section_from(bar)
    for metal in METALS.values():
        shown = {str(each.quantity): each.value for each in calc.pitch(section, metal, SAW)}
        fitted = round(INCH / feed_of(SAW, metal, section).pitch_m)
        assert shown[str(q.TEETH)] == fitted, metal.name


def test_the_range_is_told_and_what_of_the_stock_lies_in_it():
    tube = {str(f.quantity): f for f in calc.pitch(section_from("square-tube:60x3"), STEEL, SAW)}

    assert tube[str(q.CHARTS)].value == (7.2, 9.2)
    assert str(tube[str(q.STOCK_ON_CHART)].value) == "8"
    assert tube[str(q.TEETH)].value == 8
    rod = calc.pitch(section_from("round:20"), STEEL, SAW)
    assert "none; the nearest is taken" in [str(each.value) for each in rod]
    assert notes(rod)[0].endswith("8 TPI is nearest to the charts' line of 7.7.")


def test_the_stock_within_the_range_is_coarse_to_fine_and_nothing_else():
    low, high = choice.chart_teeth_per_inch(section_from("round-tube:60x2"))[1:]

    assert choice.stock_on_chart(section_from("round-tube:60x2")) == tuple(
        each for each in choice.TEETH_PER_INCH if low <= each <= high
    )
    assert choice.stock_on_chart(section_from("round-tube:60x2")) == (10,)
