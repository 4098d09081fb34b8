"""Honey Flow: one summer in an apiary, with every part of a whole machine."""
