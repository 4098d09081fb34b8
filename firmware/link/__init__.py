"""The bench link: frames in both directions, and the device's side of a session."""
