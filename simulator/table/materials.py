"""What the physics takes for given. Lengths are mm, times s, speeds mm/s, masses kg, unless a name says more.

Where no source is named, the value is common practice without a source: chosen so that a game looks right.
"""

from simulator.drawing.machine import BALL_MM

GRAVITY = 9806.65  # mm/s², standard gravity, CGPM 1901
ROLLING = 5 / 7  # of g·sin(slope): a solid sphere that rolls (Halliday, Resnick, Walker, ch. 11)
SLOPE = 6.5  # degrees of the playfield
LEAST_SLOPE, MOST_SLOPE = 1.0, 15.0
RESISTANCE = 0.002  # rolling resistance, of the weight: steel on varnished wood
RADIUS = BALL_MM / 2
MASS = 0.08  # steel, 7.8 g/cm³, gives 0.0804 for 27 mm
MOMENT = 0.4 * MASS * RADIUS**2  # a solid sphere
SUBSTEP = 0.0005  # of the physics; 4 mm at 8 m/s
SUBSTEPS = 2  # in a millisecond

# Of the speed before, what is left after hitting it squarely; and friction
WALL, WALL_FRICTION = 0.45, 0.15
RUBBER, RUBBER_FRICTION = 0.7, 0.5
TARGET, TARGET_FRICTION = 0.35, 0.3
BAT, BAT_FRICTION = 0.5, 0.4
BALL = 1.0  # two balls on a ramp, as on the playfield, where it is the product of both

TOUCH = 150.0  # speed towards a target, bumper or sling that closes its contact
TOUCH_MS = 12  # how long it is closed
BUMPER_KICK = 1500.0  # speed away from what kicked
SLING_KICK = 1700.0
REACH = 9.0  # mm of a bumper's or sling's stroke
EJECT = 1100.0  # out of a hole
PLUNGE = 3000.0  # the hand's plunger, pulled all the way
AUTO_PLUNGE = 2200.0
KICK = 1600.0  # a coil with an arrow that no device has
KICK_REACH = 40.0  # mm from its arrow
PULL_MS = 900  # for pulling the plunger all the way

FASTEST = 8000.0  # no ball is let to go faster
SCATTER = 0.02  # of a kick's speed and direction (radians), drawn for each kick
