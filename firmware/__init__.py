"""What runs on a machine: rules and their engine, devices, cabinet, service pages, games."""
