"""The bench: plays scripts on a target, judges and reports them."""
