"""The sample's hitch and implements: one tractor measured as a person types it, the other with its category only.

The hill tractor's figures are those of the worked example that the published checks are held to; its balls go to the
830 mm that the example prints its cylinders at.
"""

HITCH: dict[str, object] = {
    "lower_pivot_behind": "60 mm behind",
    "lower_pivot_up": "400 mm",
    "lower_link": "790 mm",
    "ball_span": "718 mm",
    "ball_lowest": "200 mm",
    "ball_highest": "830 mm",
    "arm_pivot_behind": "110 mm behind",
    "arm_pivot_up": "820 mm",
    "lift_arm": "260 mm",
    "lift_rod": "475.6 mm",
    "rod_hole": "middle",
    "top_hole": "middle",
    "axle_up": "560 mm",
    "tyre_radius": "560 mm",
    "cab_behind": "300 mm behind",
    "pto_behind": "330 mm behind",
    "pto_up": "560 mm",
}
TOP_HOLES: list[dict[str, object]] = [
    {"id": "top", "name": "top hole", "behind": "190 mm behind", "up": "840 mm"},
    {"id": "middle", "name": "middle hole", "behind": "190 mm behind", "up": "780 mm"},
    {"id": "low", "name": "low hole", "behind": "190 mm behind", "up": "720 mm"},
]
ROD_HOLES: list[dict[str, object]] = [
    {"id": "front", "name": "front hole", "from_pivot": "370 mm"},
    {"id": "middle", "name": "middle hole", "from_pivot": "430 mm"},
    {"id": "rear", "name": "rear hole", "from_pivot": "490 mm"},
]
IMPLEMENTS: list[dict[str, object]] = [
    {
        "id": "power-rake",
        "name": "Power rake",
        "category": "1",
        "weight": "250 kg",
        "centre_behind": "650 mm behind",
        "centre_above": "150 mm above",
        "mast_hole": "middle",
        "work_lowest": "300 mm",
        "work_highest": "300 mm",
        "nose_down": "8 deg",
        "nose_up": "8 deg",
        "roll": "6 deg",
        "push": "6 kN",
        "push_below": "350 mm",
        "pto_behind": "330 mm behind",
        "pto_above": "200 mm above",
        "shaft_closed": "740 mm",
        "shaft_overlap": "330 mm",
        "notes": "Tall headboard.",
    },
    {
        "id": "box-blade",
        "name": "Box blade",
        "category": "1",
        "weight": "396 lb",
        "centre_behind": "14 in behind",
        "centre_above": "5 in above",
        "work_lowest": "10 in",
        "work_highest": "14 in",
        "nose_down": "6 deg",
        "nose_up": "5 deg",
        "roll": "6 deg",
        "push": "1100 lbf",
        "push_below": "12 in",
    },
]
MAST_HOLES: list[dict[str, object]] = [
    {"id": "low", "implement": "power-rake", "name": "low hole", "height": "410 mm"},
    {"id": "middle", "implement": "power-rake", "name": "middle hole", "height": "460 mm"},
    {"id": "top", "implement": "power-rake", "name": "top hole", "height": "510 mm"},
    {"id": "blade-mast", "implement": "box-blade", "name": "mast", "height": "18 in"},
]
POINTS: list[dict[str, object]] = [
    {
        "id": "frame",
        "implement": "power-rake",
        "name": "frame corner",
        "behind": "120 mm ahead",
        "above": "60 mm below",
        "in_track": "yes",
    },
    {
        "id": "mast-head",
        "implement": "power-rake",
        "name": "mast head",
        "behind": "60 mm ahead",
        "above": "500 mm above",
    },
    {
        "id": "headboard",
        "implement": "power-rake",
        "name": "headboard corner",
        "behind": "80 mm behind",
        "above": "900 mm above",
    },
    {"id": "tail", "implement": "power-rake", "name": "tail", "behind": "1300 mm behind", "above": "40 mm below"},
    {"id": "blade-mast-head", "implement": "box-blade", "name": "mast head", "behind": "1 in ahead", "above": "20 in"},
    {"id": "blade-back", "implement": "box-blade", "name": "back edge", "behind": "26 in", "above": "10 in below"},
    {"id": "blade-back-top", "implement": "box-blade", "name": "back top", "behind": "26 in", "above": "9 in above"},
    {
        "id": "blade-side",
        "implement": "box-blade",
        "name": "side plate",
        "behind": "2 in behind",
        "above": "10 in below",
        "in_track": "yes",
    },
]
