"""How the band lies: taken off, laid on, seated, and jogged until its back runs clear of the flanges."""

import pytest

from sim.plant.seat import RIGHT_M, SEATS, TRACKS_M
from sim.words.message import NOTHING

JOG_S = 0.3


def bump(hands):
    """Set the band going and stop it at once, before it is at speed."""
    hands.palms("band.run")
    hands.wait(JOG_S)
    hands.tap("band.stop")
    hands.wait(6)


def changed(ready, *, seat=True):
    """A saw with a new band put on by hand, tensioned, and its cover closed."""
    hands = ready()
    hands.set(band__wheel_cover="open", band__tension_mpa=0, band__seat="coiled in gloves")
    hands.set(band__teeth_per_inch=6)
    if seat:
        hands.set(band__seat="seated")
    hands.set(band__tension_mpa=225, band__wheel_cover="closed")
    return hands


def run(hands):
    hands.palms("band.run")
    hands.wait(5)


def test_a_band_that_is_fitted_is_laid_on_and_neither_seated_nor_tracked(ready):
    hands = changed(ready, seat=False)

    assert hands.saw.read("band.seat") == "laid on"
    assert not hands.saw.plant.band.seat.tracks
    assert hands.harm == ["band-tight-beside-guides"]  # for it was tensioned so


def test_a_band_beside_its_guides_comes_to_harm_whenever_its_tension_rises(ready):
    hands = ready()
    hands.set(band__wheel_cover="open", band__tension_mpa=0, band__seat="coiled in gloves")
    hands.set(band__seat="laid on")
    assert hands.harm == []
    hands.set(band__tension_mpa=100)
    hands.set(band__tension_mpa=50)  # let down
    assert hands.harm == ["band-tight-beside-guides"]
    hands.set(band__tension_mpa=60)
    assert hands.harm == ["band-tight-beside-guides"] * 2


def test_a_band_laid_on_with_the_screw_turned_tight_comes_to_harm(ready):
    hands = ready()
    hands.set(band__wheel_cover="open", band__tension_mpa=0, band__seat="coiled in gloves")
    hands.set(band__tension_mpa=225)
    assert hands.harm == []
    hands.set(band__seat="laid on")
    assert hands.harm == ["band-tight-beside-guides"]


def test_no_band_pulls_nothing_and_its_switch_shows_it(ready):
    hands = ready()
    hands.set(band__wheel_cover="open", band__seat="coiled in gloves", band__tension_mpa=225)

    assert hands.saw.plant.band.tension.stress_pa == 0.0
    assert not hands.saw.bus.seen["B51"]


def test_bare_hands_come_to_harm_and_gloved_ones_do_not(ready):
    for how, harm in (("coiled in gloves", []), ("coiled bare-handed", ["band-sprang"])):
        hands = ready()
        hands.set(band__wheel_cover="open", band__tension_mpa=0, band__seat=how)
        assert hands.harm == harm


@pytest.mark.parametrize("bare", ["coiled bare-handed", "new coil opened bare-handed"])
@pytest.mark.parametrize("before", SEATS)
def test_bare_hands_at_a_band_are_refused_or_come_to_harm_however_it_lies(ready, before, bare):
    hands = ready()
    hands.set(band__wheel_cover="open", band__tension_mpa=0)
    hands.saw.plant.band.seat.put(before)
    known = len(hands.harm)
    refused = hands.saw.blocked("band.seat", bare)
    hands.set(band__seat=bare)

    takes_off = before in ("seated", "laid on")
    coiled = before.startswith("coiled")
    assert bool(refused) != (takes_off if bare.startswith("coiled") else coiled)
    assert len(hands.harm) > known  # whoever gets past the refusal is hurt


@pytest.mark.parametrize("how", ["coiled in gloves", "coiled bare-handed"])
def test_a_band_that_is_off_is_not_taken_off_again(ready, how):
    hands = ready()
    hands.set(band__wheel_cover="open", band__tension_mpa=0, band__seat="coiled in gloves")
    assert "none is taken off" in str(hands.saw.blocked("band.seat", how))
    hands.set(band__seat="new coil opened in gloves")
    assert "none is taken off" in str(hands.saw.blocked("band.seat", how))
    assert "cut already" in str(hands.saw.blocked("band.seat", "new coil opened bare-handed"))


def test_a_seated_band_that_is_jogged_tracks_and_runs_without_harm(ready):
    hands = changed(ready)
    seat, gaps = hands.saw.plant.band.seat, []
    while not seat.tracks and len(gaps) < 20:
        bump(hands)
        gaps.append(seat.off_flange_m)
    run(hands)

    assert 3 <= len(gaps) <= 8
    assert gaps == sorted(set(gaps))
    assert TRACKS_M <= seat.off_flange_m <= RIGHT_M
    assert hands.harm == []


def test_a_band_that_is_run_before_it_tracks_comes_to_harm_once(ready):
    hands = changed(ready)
    for _ in range(2):
        run(hands)
        hands.tap("band.stop")
        hands.wait(6)

    assert hands.harm == ["band-untracked"]
    assert hands.saw.plant.band.seat.rubs


def test_a_band_that_is_not_seated_walks_off_at_speed_and_no_jog_leads_it(ready):
    hands = changed(ready, seat=False)
    bump(hands)
    assert hands.saw.plant.band.seat.off_flange_m == 0.0
    assert hands.harm == ["band-tight-beside-guides"]
    run(hands)

    assert hands.harm == ["band-tight-beside-guides", "band-walked-off"]
    assert hands.saw.plant.site.wrecked


def test_what_is_out_of_turn_is_refused_with_the_cover_open(ready):
    hands = ready()
    blocked = hands.saw.blocked
    assert "cover" in str(blocked("band.seat", "coiled in gloves"))
    hands.set(band__wheel_cover="open", band__tension_mpa=0)
    assert blocked("band.seat", "laid on")
    assert blocked("band.teeth_face", "inside out")
    hands.set(band__seat="coiled in gloves")
    assert blocked("band.seat", "seated")
    assert blocked("band.seat", "laid on") == NOTHING  # the old one again
    hands.set(band__seat="laid on")
    assert blocked("band.seat", "seated") == NOTHING
    assert blocked("band.teeth_per_inch", 6.0)


@pytest.mark.parametrize(
    ("how", "harm"),
    [("new coil opened in gloves", []), ("new coil opened bare-handed", ["coil-sprang"])],
)
def test_the_ties_of_a_new_coil_are_cut_before_it_is_fitted_and_harm_bare_hands(ready, how, harm):
    hands = ready()
    blocked = hands.saw.blocked
    hands.set(band__wheel_cover="open", band__tension_mpa=0)
    assert "still on the wheels" in str(blocked("band.seat", how))
    hands.set(band__seat="coiled in gloves")
    assert "still tied" in str(blocked("band.teeth_per_inch", 6.0))
    assert hands.harm == []

    hands.set(band__seat=how)
    assert hands.harm == harm
    assert blocked("band.teeth_per_inch", 6.0) == NOTHING
    hands.set(band__teeth_per_inch=6.0)
    assert hands.saw.read("band.seat") == "laid on"
    assert hands.harm == harm
    hands.set(band__seat="coiled in gloves")
    assert "still tied" in str(blocked("band.teeth_per_inch", 4.0))  # the next one


def test_a_band_that_is_turned_while_it_is_off_is_laid_on_too(ready):
    hands = ready()
    hands.set(band__wheel_cover="open", band__tension_mpa=0, band__seat="coiled in gloves")
    hands.set(band__teeth_face="inside out")

    assert hands.saw.read("band.seat") == "laid on"


def test_another_band_that_is_fitted_by_a_remedy_lies_in_its_guides_and_has_to_be_jogged(ready):
    hands = ready()
    seat = hands.saw.plant.band.seat
    seat.refit()

    assert (seat.place, seat.off_flange_m, seat.fresh) == ("seated", 0.0, True)
    assert not seat.tracks
    run(hands)
    assert hands.harm == ["band-untracked"]


def test_a_band_that_rubs_wanders_more_than_one_that_runs_clear(ready):
    hands = ready()
    plant = hands.saw.plant
    clear = plant.cut.plan(300.0, 1e-3) is None
    assert clear  # the band stands
    run(hands)
    straight = plant.cut.plan(300.0, 1e-3).setup.guide_play
    plant.band.seat.lead(0.0)
    crooked = plant.cut.plan(300.0, 1e-3).setup.guide_play

    assert straight == 1.0  # its guides are sound: nothing but the law of the span
    assert crooked > 2 * straight


def test_a_state_tells_of_the_seat_only_where_it_is_not_as_found(ready):
    found = ready().saw.state()
    there = changed(ready).saw.state()

    assert "seat" not in found
    assert "band.seat" not in found["settings"]
    assert there["seat"] == ["seated", pytest.approx(0.0), True, pytest.approx(3.66)]
    assert changed(ready, seat=False).saw.state()["settings"]["band.seat"] == "laid on"


def slowly_round(hands, for_s):
    """Run the band at its lowest speed for some seconds and stop it; return the way by adding up its speed, m."""
    band, way_m = hands.saw.plant.band, 0.0
    hands.palms("band.run")
    for step in range(round(for_s * 100) + 600):
        if step == round(for_s * 100):
            hands.tap("band.stop")
        before_m_s = band.speed_m_s
        hands.wait(0.01)
        way_m += (before_m_s + band.speed_m_s) / 2 * 0.01
    return way_m


@pytest.mark.parametrize("for_s", [0.5, 1.0, 14.0])
def test_a_band_that_was_led_is_seen_as_far_as_it_has_turned_since(ready, for_s):
    """Against its speed added up in hundredths of a second."""
    hands = changed(ready)
    seat = hands.saw.plant.band.seat
    while not seat.tracks:
        bump(hands)
    left_m = seat.unseen_m
    way_m = slowly_round(hands, for_s)

    assert 0.9 * 3.66 < left_m <= 3.66
    assert seat.unseen_m == pytest.approx(max(left_m - way_m, 0.0), abs=0.01)
    assert (seat.unseen_m == 0.0) is (for_s == 14.0)
    assert hands.harm == []


def test_a_band_as_found_and_one_only_led_by_a_remedy_owe_no_turn(ready):
    seat = ready().saw.plant.band.seat
    seat.lead(0.0)

    assert seat.unseen_m == 0.0


def test_the_way_of_a_band_is_the_area_under_its_speed_while_its_dial_slides(ready):
    hands, way_m = ready(), 0.0
    band = hands.saw.plant.band
    hands.palms("band.run")
    hands.wait(0.5)
    begun_m = band.way_m
    hands.press("band.faster")
    for step in range(2000):
        if step == 500:
            hands.release("band.faster")
        if step == 1200:
            hands.tap("band.stop")
        before_m_s = band.speed_m_s
        hands.wait(0.01)
        way_m += (before_m_s + band.speed_m_s) / 2 * 0.01

    assert band.way_m - begun_m == pytest.approx(way_m, rel=0.02)


def fit(hands, teeth_per_inch, coil):
    """Take the band off, open a coil, fit and seat its band, and run it at speed once it tracks."""
    hands.set(band__wheel_cover="open", band__tension_mpa=0, band__seat="coiled in gloves")
    hands.set(band__seat=coil)
    hands.set(band__teeth_per_inch=teeth_per_inch)
    hands.set(band__seat="seated", band__tension_mpa=225, band__wheel_cover="closed")


def test_a_band_that_was_taken_off_comes_back_from_the_hook_as_it_was(ready):
    hands = ready()
    blade, tension = hands.saw.plant.blade, hands.saw.plant.band.tension
    blade.wear, blade.packed = 0.4, 0.1
    tension.renew(0.3)
    was = (blade.number, blade.teeth_per_inch, blade.condition, blade.sawn_m2, blade.packed)
    fit(hands, 6.0, "new coil opened in gloves")
    assert (blade.wear, blade.number, blade.fresh, tension.tired) == (0.0, 2, 1.0, 0.0)
    assert [each.teeth_per_inch for each in blade.hung] == [was[1]]
    assert "hook" in hands.saw.state()

    blade.use(0.05, 0.01)
    fit(hands, was[1], "hung coil opened in gloves")
    assert (blade.number, blade.teeth_per_inch, blade.condition, blade.sawn_m2, blade.packed) == was
    assert tension.tired == pytest.approx(0.3)
    assert [(each.number, each.wear) for each in blade.hung] == [(2, pytest.approx(0.05))]
    assert blade.bought == 2
    assert hands.harm == []
    assert not hands.saw.plant.band.seat.tracks  # it is jogged again like any other


def test_a_new_coil_of_the_pitch_that_hangs_is_a_new_band(ready):
    hands = ready()
    blade = hands.saw.plant.blade
    pitch, blade.wear = blade.teeth_per_inch, 0.4
    for _ in range(2):
        fit(hands, pitch, "new coil opened in gloves")
        assert (blade.wear, blade.fresh) == (0.0, 1.0)

    assert blade.bought == 3
    assert [each.number for each in blade.hung] == [2, 1]


@pytest.mark.parametrize("worn", ["stripped", "worn"])
def test_a_band_that_is_done_for_is_not_hung_up(ready, worn):
    hands = ready()
    hands.saw.plant.blade.set_condition(worn)
    fit(hands, 6.0, "new coil opened in gloves")

    assert hands.saw.plant.blade.hung == ()
    assert "hook" not in hands.saw.state()
    blocked = hands.saw.blocked
    hands.set(band__wheel_cover="open", band__tension_mpa=0, band__seat="coiled in gloves")
    assert "No band hangs on the hook" in str(blocked("band.seat", "hung coil opened in gloves"))


def test_what_does_not_hang_is_not_fitted_from_the_hook_and_what_hangs_is_said(ready):
    hands = ready()
    fit(hands, 6.0, "new coil opened in gloves")
    hands.set(band__wheel_cover="open", band__tension_mpa=0, band__seat="coiled in gloves")
    hands.set(band__seat="hung coil opened in gloves")
    blocked = hands.saw.blocked

    assert "No band of 8 TPI hangs on the hook, but of 4." in str(
        blocked("band.teeth_per_inch", 8.0)
    )
    assert blocked("band.teeth_per_inch", 4.0) == NOTHING
    assert blocked("band.seat", "laid on") == NOTHING  # the old one again


def test_a_hung_coil_springs_at_bare_hands_too(ready):
    hands = ready()
    fit(hands, 6.0, "new coil opened in gloves")
    hands.set(band__wheel_cover="open", band__tension_mpa=0, band__seat="coiled in gloves")
    hands.set(band__seat="hung coil opened bare-handed")

    assert hands.harm == ["coil-sprang"]
