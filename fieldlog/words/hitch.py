"""The hitch: pitch, roll, forces, rooms."""
