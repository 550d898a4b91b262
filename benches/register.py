"""Writes a register of so many micrometers, pairs of V and cone, and setting standards, no two alike and all fit for M10.

usage: register.py COUNT
"""

import sys

count = int(sys.argv[1])
print('unit = "mm"\nperson = "A. Quill"')
for n in range(count):
    most = 2000 + 10 * (n * 7 % count)
    minutes = 4 + (n * 11 % count) / 50
    expanded = 500 + 5 * (n * 13 % count)
    print(f"""
[[instrument]]
id = "m{n}"
range = ["0", "25"]
resolution = "0.001"
due = 2099-12-31
maximum_permissible_error = "{most / 1000:.2f}um"

[[contacts]]
id = "c{n}"
kind = "v-and-cone"
included_angle = 60
half_angle_limit = {minutes}

[[standard]]
id = "s{n}"
size = "{9 + n / 100:.2f}"
form = "v-and-cone-rod"
expanded_uncertainty = "{expanded / 1000:.3f}um"
coverage_factor = 2
due = 2099-12-31""")
