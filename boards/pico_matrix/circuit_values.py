"""What the circuit makes of volts and amperes, as `inlane circuit` finds it in the netlist.

A drain reads high from 5,775 mV on, and low up to 2,475 mV.
"""

COIL_FULL_MV = 102300  # coil bus,
LOGIC_FULL_MV = 6600  # 5 V rail
FULL_MA = 66000  # and coil current at the converter's full scale, 4096
JUDGED_MV = 9000  # coil bus from which drains are judged
