"""The drawings of the reference circuit, made from source.

`python -m hil.electrical.drawings FOLDER` writes the circuit's sheets and the parts list there.
"""
