"""Work sheets for whoever wires a machine: tables, drawings, things to measure, steps to take."""
