"""The rolling ball against text books. HRW: Halliday, Resnick, Walker, Fundamentals of Physics, 10th ed."""

import itertools
import math

import pytest

from simulator.ball import Ball
from simulator.scheduler import Contacts
from simulator.table import materials
from simulator.table.bob import Bob, Nudge
from simulator.table.layout import Stuff
from simulator.table.materials import GRAVITY, MASS, RADIUS
from simulator.table.meetings import falling_speed
from simulator.table.riding import Riding
from simulator.table.roller import Roller
from simulator.table.shapes import Piece
from simulator.table.spinner import Spinner
from simulator.table.way import Ride, Way

PULL = 5 / 7 * GRAVITY * math.sin(math.radians(6.5))  # HRW eq. 11-10 with I = 2/5 m r²
FLOOR = 1000.0
WOOD = Stuff(0.5, 0.0)


def floor(bounce):
    return [(Piece((-5000.0, FLOOR + RADIUS), (5000.0, FLOOR + RADIUS), 0.01), Stuff(bounce, 0.0))]


def test_a_metre_down_from_rest_takes_the_time_of_a_sphere_that_rolls(bench, monkeypatch):
    """t = √(2 d / (5/7 g sin 6.5°)) = 1.588 s, HRW eq. 2-15."""
    monkeypatch.setattr("simulator.table.roller.RESISTANCE", 0.0)
    table = bench()
    ball = table.roll(0, 0)
    took = []
    table.run(1700, lambda now: took.append(now) if ball.place[1] >= 1000 else None)
    assert took[0] / 1000 == pytest.approx(math.sqrt(2 * 1000 / PULL), abs=0.002)
    assert took[0] == pytest.approx(1588, abs=2)


def test_rolling_resistance_makes_it_slower_by_its_share(bench):
    """The pull loses the resistance's part of the weight: μ g."""
    table = bench()
    ball = table.roll(0, 0)
    table.run(1000)
    assert ball.place[1] == pytest.approx((PULL - materials.RESISTANCE * GRAVITY) / 2, rel=0.003)


@pytest.mark.parametrize("bounce", [0.3, 0.5, 0.7, 0.9])
def test_a_bounce_rises_by_the_square_of_the_restitution(bench, monkeypatch, bounce):
    """h' = e² h: HRW ch. 9, speeds before and after; height by energy."""
    monkeypatch.setattr("simulator.table.roller.RESISTANCE", 0.0)
    table = bench(walls=floor(bounce))
    ball = table.roll(0, FLOOR - 400)
    rising = []

    def watch(now):
        if ball.velocity[1] < 0:
            rising.append(FLOOR - ball.place[1])

    fall = round(1000 * math.sqrt(800 / PULL))
    table.run(fall + round(fall * bounce) + 5, watch)
    assert max(rising) == pytest.approx(bounce**2 * 400, rel=0.02)


def test_energy_never_grows_without_a_coil(bench):
    """Six balls among walls and each other: movement and height together, HRW ch. 8."""
    box = [((0, 0), (400, 0)), ((400, 0), (400, 600)), ((400, 600), (0, 600)), ((0, 600), (0, 0))]
    posts = [((120, 300), (180, 340)), ((220, 420), (300, 400))]
    table = bench(walls=[(Piece(a, b, 3.0), Stuff(0.9, 0.3)) for a, b in box + posts])
    balls = [table.roll(60 + 50 * at, 80 + 30 * at, 900 - 300 * at, 400 * at) for at in range(6)]
    before = [math.inf]

    def watch(now):
        energy = sum(ball.energy - MASS * PULL * ball.place[1] for ball in balls)
        assert energy <= before[0] + 0.001 * MASS * PULL * 600, now
        before[0] = min(before[0], energy)

    table.run(8000, watch)


def test_two_balls_keep_their_momentum(bench, monkeypatch):
    """m v before is m v after, and speeds part by the restitution: HRW eq. 9-50 and ch. 9-7."""
    monkeypatch.setattr("simulator.table.roller.RESISTANCE", 0.0)
    table = bench(slope=0.0)
    one, other = table.roll(0, 0, 2000, 0), table.roll(200, 6, -500, 0)
    table.run(300)
    for axis, whole in ((0, 1500.0), (1, 0.0)):
        assert one.velocity[axis] + other.velocity[axis] == pytest.approx(whole, abs=0.5)
    assert other.velocity[0] > 1000 > one.velocity[0]
    assert other.velocity[1] > 50 > -50 > one.velocity[1]


@pytest.mark.parametrize("half", [0.5, 2.5])
@pytest.mark.parametrize("degrees", [5, 30, 60, 90])
def test_a_ball_at_eight_metres_a_second_does_not_pass_a_wall(bench, half, degrees):
    table = bench(walls=[(Piece((-9000.0, 0.0), (9000.0, 0.0), half), Stuff(0.5, 0.1))])
    turn = math.radians(degrees)
    balls = [
        table.roll(0, 300 + 0.37 * at, 8000 * math.cos(turn), -8000 * math.sin(turn))
        for at in range(0, 400, 45)
    ]
    table.run(1000, lambda now: [ball.place[1] > 0 or pytest.fail(f"{now} ms") for ball in balls])


def test_the_bob_swings_with_the_period_of_a_pendulum():
    """T = 2π √(L/g): HRW eq. 15-28; the damping of 0.08 lengthens it by 0.3 % (eq. 15-43)."""
    bob = Bob()
    bob.x = 1.0
    crossings = []
    for ms in range(3000):
        before = bob.x
        bob.step(0.001, (0.0, 0.0))
        if before < 0 <= bob.x:
            crossings.append(ms)
    period = (crossings[-1] - crossings[0]) / (len(crossings) - 1) / 1000
    free = 2 * math.pi * math.sqrt(0.09 / 9.80665)
    assert period == pytest.approx(free / math.sqrt(1 - 0.08**2), rel=0.005)


def test_a_nudge_brings_the_cabinet_back_to_where_it_was():
    nudge, speed, place = Nudge("left"), 0.0, [0.0]
    while (push := nudge.step(0.0001)) is not None:
        speed += push[0] * 0.0001
        place.append(place[-1] + speed * 0.0001)
    assert min(place) == pytest.approx(-9.0, rel=0.02)
    assert place[-1] == pytest.approx(0.0, abs=0.1)


def way(height):
    points = [(0.0, 500.0), (0.0, 200.0), (0.0, 100.0), (0.0, -100.0)]
    return Way("ramp", points, [0.0, height, height, 20.0], [("ramp.made", 350.0)], points, 6.5)


def climb(speed):
    ride = Ride(way(60.0), 0.0, speed)
    while 0 <= ride.s < ride.way.length and ride.farthest - ride.s < 100:
        ride.step(0.001)
    return ride


def test_a_ball_needs_the_energy_of_a_ramps_height_and_rolls_back_with_less():
    """7/10 v² = g h: HRW eq. 11-5, a sphere that rolls; the way rises along the playfield, too."""
    rise = 60 * math.cos(math.radians(6.5)) + 400 * math.sin(math.radians(6.5))
    needed = math.sqrt(10 / 7 * GRAVITY * rise)
    assert climb(needed * 1.04).s >= 600
    back = climb(needed * 0.96)
    assert back.s < back.farthest < 400
    assert back.speed < 0


def flat(monkeypatch):
    """A level way without resistance."""
    monkeypatch.setattr("simulator.table.way.RESISTANCE", 0.0)
    points = [(0.0, 5000.0), (0.0, 0.0)]
    return Way("ramp", points, [0.0, 0.0], [], points, 0.0)


def riding(*rides, alone=False):
    balls = Riding(Contacts())
    for number, ride in enumerate(rides):
        roller = Roller(Ball(number, "playfield"), (0.0, 0.0), (0.0, 0.0))
        if alone:
            roller.pass_balls()
        balls.add(roller, ride)
    return balls


@pytest.mark.parametrize("bounce", [1.0, 0.8, 0.0])
@pytest.mark.parametrize(("behind", "ahead"), [(2000.0, 0.0), (1500.0, -700.0), (900.0, 400.0)])
def test_balls_on_a_ramp_meet_as_equal_masses_on_a_line(monkeypatch, bounce, behind, ahead):
    """v₁' = ((1 − e) v₁ + (1 + e) v₂)/2 and the reverse: HRW eq. 9-50 with the restitution of ch. 9-7."""
    monkeypatch.setattr("simulator.table.way.BALL", bounce)
    way = flat(monkeypatch)
    one, other = Ride(way, 1000.0, behind), Ride(way, 1200.0, ahead)
    balls = riding(other, one)
    touch_s = (200 - 2 * RADIUS) / (behind - ahead)
    after = math.ceil(1000 * touch_s) + 5
    for _ in range(after):
        balls.step()
    slow = ((1 - bounce) * behind + (1 + bounce) * ahead) / 2
    fast = ((1 + bounce) * behind + (1 - bounce) * ahead) / 2
    assert (one.speed, other.speed) == pytest.approx((slow, fast))
    left_s = after / 1000 - touch_s
    assert one.s == pytest.approx(1000 + behind * touch_s + slow * left_s)
    assert other.s == pytest.approx(1200 + ahead * touch_s + fast * left_s)


def test_the_last_of_three_balls_on_a_ramp_goes_on_with_the_first_one_s_speed(monkeypatch):
    """Newton's cradle: equal masses exchange their speeds."""
    way = flat(monkeypatch)
    rides = [Ride(way, 1000.0, 1800.0), Ride(way, 1100.0, 0.0), Ride(way, 1200.0, 0.0)]
    balls = riding(*rides)
    for _ in range(300):
        balls.step()
    assert [ride.speed for ride in rides] == pytest.approx([0.0, 0.0, 1800.0])
    gaps = [after.s - before.s for before, after in itertools.pairwise(rides)]
    assert min(gaps) >= 2 * RADIUS


def test_a_ball_that_rolls_back_sends_the_one_behind_it_back():
    ramp = way(200.0)
    one, other = Ride(ramp, 0.0, 900.0), Ride(ramp, 30.0, -900.0)
    balls = riding(one, other)
    left = [roller.ball.number for _ in range(12) for roller, *_ in balls.step()]
    assert left == [0]
    assert one.speed < -800
    assert other.speed > 700


@pytest.mark.parametrize(("ramps", "alone"), [(2, False), (1, True)])
def test_balls_on_two_ramps_and_those_of_a_drop_test_do_not_meet(monkeypatch, ramps, alone):
    ways = [flat(monkeypatch) for _ in range(ramps)]
    one, other = Ride(ways[0], 1000.0, 2000.0), Ride(ways[-1], 1100.0, 0.0)
    balls = riding(one, other, alone=alone)
    for _ in range(200):
        balls.step()
    assert (one.speed, other.speed) == (2000.0, 0.0)


def test_a_cabinet_that_accelerates_leaves_a_ball_on_a_ramp_behind_by_five_sevenths(monkeypatch):
    """On a plane accelerated by a it gets 2/7 a (HRW ch. 11): seen from there 5/7 a the other way."""
    along, across = Ride(flat(monkeypatch), 1000.0, 0.0), Ride(flat(monkeypatch), 1000.0, 0.0)
    for _ in range(100):
        along.step(0.001, (0.0, -3000.0))  # the way leads up the page
        across.step(0.001, (3000.0, 0.0))
    assert along.speed == pytest.approx(-5 / 7 * 3000 * 0.1)
    assert across.speed == 0.0


def test_the_speed_up_to_which_a_ball_falls_into_a_hole():
    """Holmes 1991: a golf ball of 21.35 mm falls into a hole of 54 mm up to 1.31 m/s."""
    scale = (2 * 54 - 21.35) * math.sqrt(GRAVITY / (2 * 21.35))
    assert scale == pytest.approx(1313, abs=2)
    assert falling_speed(20.0) == pytest.approx((40 - 13.5) * math.sqrt(GRAVITY / 27), rel=1e-6)
    assert falling_speed(5.0) == 0.0


def test_a_spinner_turns_the_more_the_faster_the_ball_and_comes_to_rest():
    turns = []
    for speed in (500, 1000, 2000):
        spinner = Spinner("spinner", (0.0, 0.0), (40.0, 0.0))
        kept = spinner.hit((0.0, -float(speed)))
        assert -speed < kept[1] < -0.9 * speed
        turns.append(sum(spinner.step(0.001) for _ in range(10_000)))
        assert spinner.speed == 0
    assert turns[0] < turns[1] < turns[2]
