"""Seasons: results of many simulated games, added up while they are played."""
