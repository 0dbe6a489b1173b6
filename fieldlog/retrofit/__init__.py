"""From sizes to what can be changed: the hitch's geometry, and later cylinders against links. No files, no clock.

The hitch, from the inside out:

- `plane`: where two links meet, or by how much they miss (`CannotReach`, never a NaN).
- `linkage`: one hitch as numbers (`Linkage`), and every implement position that follows from it (`Pose`).
- `lift`: lift arm, lift rod and lower link; heights of the balls.
- `roll`: levelling by a lift rod; mid stroke, roll both ways, stroke for a wanted roll.
- `forces`: top link, lift rods, load reversal, lift capacity by height.
- `driveline`: joint angles, length, overlap and unevenness of the PTO shaft.
- `clearances`: room to cab, tyre and ground; `least_rooms` over all lengths and heights.
- `carried`: figures with their doubt, measured or usual, and the doubt they leave in an answer.
- `setup`, `steps`, `look`, `field_look`, `cases`: a hitch from the records, what can be tried on it, all that follows.
- `needed`: the length a link or cylinder must reach: `needed_range`, `pitch_span`, `corners`, `against`.
"""
