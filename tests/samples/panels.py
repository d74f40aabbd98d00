"""Invented panels that are measured in the tests."""

from __future__ import annotations

SOLID = """format = 1
title = "Plate"
process = "hand lay-up"
resin = "epoxy, laminating"
[[layer]]
cloth = "E-glass twill 300 g/m2"
repeat = 4
"""
CORED = """format = 1
title = "Cored"
process = "hand lay-up"
resin = "epoxy, laminating"
[[layer]]
cloth = "E-glass twill 300 g/m2"
repeat = 2
[[layer]]
core = "PET foam 110 kg/m3"
thickness = "15 mm"
[[layer]]
cloth = "E-glass twill 300 g/m2"
repeat = 2
"""
