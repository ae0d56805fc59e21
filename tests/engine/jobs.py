"""One whole job of each kind of drive, for the tests of the checks; everything invented."""

from __future__ import annotations

AUTOMATIC = """
title = "automatic"
units = "mm"
[engine]
name = "E"
rotation = "ccw"
max_speed = 4000
peak_torque = "300 N·m"
balance = "internal"
[engine.face]
material = "grey iron"
holes = [
  { id = "1", x = -150, y = 90, thread = "M10", depth = 24 },
  { id = "2", x = 150, y = 90, thread = "M10", depth = 24 },
  { id = "3", x = 150, y = -90, thread = "M10", depth = 24 },
  { id = "4", x = -150, y = -90, thread = "M10", depth = 24 },
]
dowels = [
  { id = "a", x = -170, y = 0, diameter = 12 },
  { id = "b", x = 170, y = 0, diameter = 12 },
]
flatness = 0.05
step = 0.02
[engine.drive]
standoff = "6.35 ± 0.02"
circle = { count = 6, diameter = 90, thread = "M10x1.25", depth = 22 }
register = { form = "spigot", diameter = "50.00 ± 0.01", depth = 6 }
outside = 110
ring = { teeth = 130, face = 10, standoff = 20, pitch = "module 2.5", chamfer = "front" }
[engine.starter]
mounts_on = "engine"
home = 23.85
engaged = 35
pinion_width = 12
pinion_teeth = 10
pitch = "module 2.5"
hand = "ccw"
[gearbox]
name = "G"
rotation = "ccw"
torque_limit = "400 N·m"
max_speed = 5000
lowest_gear = 2.5
reverse_gear = -2.0
mass = "70 kg"
centre_of_mass = 250
tail_length = 600
[gearbox.face]
material = "aluminium"
opening = 320
holes = [
  { id = "1", x = -110, y = 130, hole = 10.5, socket_room = 24 },
  { id = "2", x = 110, y = 130, hole = 10.5, socket_room = 24 },
  { id = "3", x = 110, y = -130, hole = 10.5, socket_room = 24 },
  { id = "4", x = -110, y = -130, hole = 10.5, socket_room = 24 },
]
dowels = [
  { id = "c", x = -165, y = 40, diameter = 12 },
  { id = "d", x = 165, y = 40, diameter = 12 },
]
flatness = 0.05
step = 0.02
[gearbox.converter]
seat_depth = "28.58 ± 0.03"
gap = [3.2, 4.8]
circle = { count = 4, diameter = 250, hole = 11 }
hub = { diameter = "40.00 ± 0.01", reach = "16 ± 0.05", land = [30, 70] }
pump_lug = { seated = 18, gear = 12 }
outside = 280
stall_ratio = 2.0
[gearbox.pump]
bush = [60, 72]
lip = 64
[flexplate]
offset = "8.00 ± 0.03"
thickness = 2.5
bolt_heads = 7
circle = { count = 6, diameter = 90, hole = 11 }
converter_circle = { count = 4, diameter = 250, hole = 11 }
outside = 300
balance = "neutral"
max_speed = 6000
[use]
temperature_rise = "80 °C"
[installation]
tail_before = 600
allowance = 30
[answers]
shield = "not called for"
access_hole = "in the plate"
galleries = "none"
shifter = "on top"
cooler_lines = "left"
mount = "own"
driveshaft = "shortened by the customer"
breather = "clear"
sump_rail = "flush"
electrics = "customer"
[choices]
plate = 20
plate_material = "A36"
"""

MANUAL = """
title = "manual"
units = "mm"
[engine]
name = "E"
rotation = "ccw"
max_speed = 4000
peak_torque = "300 N·m"
balance = "internal"
[engine.face]
material = "grey iron"
holes = [
  { id = "1", x = -150, y = 90, thread = "M10", depth = 24 },
  { id = "2", x = 150, y = 90, thread = "M10", depth = 24 },
  { id = "3", x = 150, y = -90, thread = "M10", depth = 24 },
  { id = "4", x = -150, y = -90, thread = "M10", depth = 24 },
]
dowels = [
  { id = "a", x = -170, y = 0, diameter = 12 },
  { id = "b", x = 170, y = 0, diameter = 12 },
]
[engine.drive]
standoff = "10 ± 0.02"
circle = { count = 6, diameter = 80, thread = "M10x1.25", depth = 22 }
register = { form = "spigot", diameter = "48.00 ± 0.01", depth = 3 }
outside = 104
[gearbox]
name = "G"
rotation = "ccw"
torque_limit = "400 N·m"
max_speed = 5000
[gearbox.face]
material = "aluminium"
opening = 300
holes = [
  { id = "1", x = -110, y = 130, hole = 10.5 },
  { id = "2", x = 110, y = 130, hole = 10.5 },
  { id = "3", x = 110, y = -130, hole = 10.5 },
  { id = "4", x = -110, y = -130, hole = 10.5 },
]
dowels = [
  { id = "c", x = -165, y = 40, diameter = 12 },
  { id = "d", x = 165, y = 40, diameter = 12 },
]
[gearbox.shaft]
reach = "22 ± 0.05"
tip = { diameter = 15, length = 24 }
spline = { count = 22, diameter = 28.5, from_tip = 34, length = 62 }
retainer = { diameter = 79.9, bore = 80 }
[gearbox.release]
retracted = "92 ± 0.1"
stroke = 10
travel = 20
[flywheel]
height = "28 ± 0.02"
thickness = 10
bolt_heads = 20
balance = "neutral"
max_speed = 6000
outside = 270
[clutch]
fingers = "60 ± 0.2"
release_gap = [2.5, 5.0]
disc_hub = { front = -3, rear = 19, count = 22, diameter = 28.5 }
outside = 260
wear = 1
torque_limit = "400 N·m"
max_speed = 6000
[pilot]
mouth = 0
depth = 33
bore = 15.05
bush_width = 18
[choices]
plate = 20
spacer = 10
plate_material = "A36"
"""

FLANGE = """
title = "flange"
units = "in"
[engine]
name = "E"
face = "standard:SAE J617 No. 3"
drive = "standard:SAE J620 11-1/2"
rotation = "ccw"
max_speed = 2400
peak_torque = "300 lbf·ft"
[gearbox]
name = "G"
face = "standard:SAE J617 No. 2"
driven = "standard:SAE J620 11-1/2"
rotation = "ccw"
torque_limit = "600 lbf·ft"
max_speed = 2600
[choices]
plate = "0.75"
plate_material = "A36"
"""
