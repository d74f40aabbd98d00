"""Panels to start from: a first stack for a part as she would call it, hers to change.

They are plausible stacks, invented here for a start; none of them is a design for anything.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Start:
    """A panel in shop words, by what it is like."""

    id: str
    like: str
    words: str
    process: str
    size: str


STARTS = (
    Start(
        "canoe-side",
        "Like a canoe side",
        "twill 160, 6 mm redcedar, twill 160",
        "hand lay-up",
        "4.6 m x 0.4 m",
    ),
    Start(
        "van-floor",
        "Like a van floor",
        "9 mm okoume plywood, twill 200, 15 mm PET foam 110 kg/m3, biax 300",
        "vacuum bag",
        "2.4 m x 1.6 m",
    ),
    Start(
        "camper-roof",
        "Like a camper roof",
        "twill 200, 20 mm PET foam 80 kg/m3, twill 200",
        "vacuum infusion",
        "3.6 m x 1.8 m",
    ),
    Start(
        "cabin-bulkhead",
        "Like a cabin bulkhead",
        "biax 300, 12 mm okoume plywood, biax 300",
        "hand lay-up",
        "1.8 m x 1.2 m",
    ),
    Start(
        "hull-bottom",
        "Like a hull bottom",
        "3 x biax 450, 15 mm balsa 150 kg/m3, 3 x biax 450",
        "vacuum infusion",
        "3 m x 1.5 m",
    ),
    Start(
        "rudder-blade",
        "Like a rudder blade",
        "carbon twill 200, biax carbon 300, 25 mm spruce, biax carbon 300, carbon twill 200",
        "vacuum bag",
        "1.1 m x 0.3 m",
    ),
    Start(
        "cabinet-door",
        "Like a cabinet door",
        "flax twill 300, 10 mm cork 150 kg/m3, flax twill 300",
        "vacuum bag",
        "0.7 m x 0.5 m",
    ),
    Start(
        "table-top",
        "Like a light table top",
        "twill 200, 20 mm aramid paper honeycomb 48 kg/m3, twill 200",
        "vacuum bag",
        "1.6 m x 0.8 m",
    ),
)
