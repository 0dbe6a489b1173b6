"""The hitch seen from the side: geometry, pitch and roll, forces, driveline, clearances."""
