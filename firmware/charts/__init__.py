"""Statecharts as tables: the W3C SCXML Recommendation's algorithm, nothing allocated per event."""
