"""From sizes to what can be changed: the hitch's geometry, and later cylinders against links. No files, no clock.

The hitch, from the inside out:

- `plane`: where two links meet, or by how much they miss (`CannotReach`, never a NaN).
- `linkage`: one hitch as numbers (`Linkage`), and every implement position that follows from it (`Pose`).
- `lift`: lift arm, lift rod and lower link; heights of the balls.
"""
