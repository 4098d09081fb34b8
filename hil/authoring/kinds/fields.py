"""Fields that many kinds share."""

from hil.authoring.kind import EVENTS, LAMP, POINTS, SECONDS, SHOT, TEXT, Field

LIT_BY = Field("lit by", "What lights it? (a shot, a switch, another rule)", SHOT)
MADE_BY = Field("made by", "Which shot makes it?", SHOT)
FOR = Field("for", "How long does it stay lit?", SECONDS, "15 s", marked=True)
PAYS = Field("pays", "What does it pay?", POINTS, "10,000", marked=True)
LAMP_OF_ITS_OWN = Field("lamp", "Which lamp shows it?", LAMP, "{name}")
LIGHTS = Field("lights", "Which other rules does it light? (empty: none)", TEXT, "")
WINS = Field("wins", "Which pot or special does it win? (empty: none)", TEXT, "")
RAISES = Field("raises", "Which events does it raise besides? (empty: none)", EVENTS, "")
CUE = Field("cue", "Which sound does it play? (empty: none)", LAMP, "")
SHOWS = Field("shows", "What does the display show? (16 cells; empty: its name)", TEXT, "")
CARD = Field("card", "Its sentence on the rule card? (empty: made from your answers)", TEXT, "")

EFFECTS = (LIGHTS, WINS, RAISES, CUE, SHOWS, CARD)
