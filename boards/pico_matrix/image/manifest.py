"""What is frozen into the image: MicroPython's start-up modules and what `inlane image` staged."""

freeze("$(PORT_DIR)/modules", ("_boot.py", "rp2.py"))  # type: ignore[name-defined]
freeze("$(STAGED)")  # type: ignore[name-defined]
freeze_mpy("$(STAGED_NATIVE)")  # type: ignore[name-defined]
