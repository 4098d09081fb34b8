"""The operator's pages, used with the four pad buttons while the coin door is open.

Imported when the pad is first used (see firmware.pad).
"""
