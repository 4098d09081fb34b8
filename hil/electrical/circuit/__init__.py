"""The reference circuit as a netlist: parts, pins and nets stand here once; all else is made from them."""
