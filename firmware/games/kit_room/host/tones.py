"""The kit room's cues as short tones: (Hz, ms) one after another, 0 Hz is a pause. Invented for this game."""

TONES = (
    ("hurry", ((740, 60), (0, 60), (740, 60))),
    ("bonus", ((349, 50),)),
    ("ball_saved", ((392, 70), (523, 70), (392, 70), (523, 120))),
    ("warning", ((147, 180), (0, 60), (147, 180))),
    ("tilt", ((131, 250), (117, 250), (98, 400))),
    ("start", ((262, 80), (392, 80), (523, 200))),
    ("game_over", ((392, 140), (330, 140), (262, 320))),
)
