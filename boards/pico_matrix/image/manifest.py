"""What is frozen into the image: MicroPython's start-up modules and what `inlane image` staged."""

freeze("$(PORT_DIR)/modules", ("_boot.py", "rp2.py"))
freeze("$(STAGED)")
freeze_mpy("$(STAGED_NATIVE)")
