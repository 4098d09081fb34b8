"""Kite Day sounds by its chimes: what the desk plays when a chime's coil fires, as (Hz, ms). Invented."""

CHIMES = (
    ("chime.low", ((494, 150),)),
    ("chime.middle", ((622, 150),)),
    ("chime.high", ((784, 150),)),
)
TONES = ()
