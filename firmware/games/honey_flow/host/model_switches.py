"""Honey Flow's playfield switches by kind, as rules.md names them."""

BEES = ("bee.1", "bee.2", "bee.3")
BUMPERS = ("meadow.1", "meadow.2", "meadow.3")
SMOKERS = ("smoker.1", "smoker.2", "smoker.3")
FRAMES = ("frame.1", "frame.2", "frame.3", "frame.4")
STANDUPS = SMOKERS + FRAMES + ("spot", "keeper")
SLINGS = ("sling.left", "sling.right")
INLANES = ("inlane.left", "inlane.right")
OUTLANES = ("outlane.left", "outlane.right")
BUTTONS = ("button.left", "button.right")
RAMPS = ("ramp_left.enter", "ramp_left.made", "ramp_right.enter", "ramp_right.made")
ORBITS = ("orbit.left", "orbit.right")
PLAYFIELD = BEES + BUMPERS + STANDUPS + SLINGS + INLANES + OUTLANES + RAMPS + ORBITS + ("spinner",)
