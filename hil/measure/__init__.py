"""Speed and memory of the firmware: how much, on which Python."""
