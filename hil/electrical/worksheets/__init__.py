"""Work sheets for wiring a machine: tables, drawings, measuring lists and bring-up steps."""
