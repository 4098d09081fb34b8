"""What kind of name a text is. For type checkers: no firmware imports it at run time.

Each is a `str` here. `inlane names` writes a stub beside a game in which each is one of the names that the
game has; an editor then completes them and underlines a wrong one. A board's image has no such module.
"""

SwitchName = str  # of the wiring table
LampName = str  # of the wiring table
CoilName = str  # of the wiring table
CueName = str  # a sound of the game's tones or chimes
SettingName = str  # of the table of settings
FeatureName = str  # a feature's `name`
RaisedEvent = str  # an event that a switch or a feature raises
HeardEvent = str  # an event that a chart waits for
AwardName = str  # FEATURE.AWARD, as in the ledger
NoName = str  # "": there is none
