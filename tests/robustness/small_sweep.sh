#!/usr/bin/env bash
# Prints a study that makes a sweep of 18 runs, and one of 16 for what matters.
#
#     small_sweep.sh SOURCE_FOLDER
cat <<STUDY
rig = "$1/scenarios/rigs/hillclimb-v6.toml"
[procedure]
tolerance = 1e-4
output_step = "100 ms"
[variant.car]
[knob.pulley]
sets = "drive.parts.pulley"
choices = ["pulley-92", "pulley-86", "pulley-80"]
[buy.pulley]
[knob.weather]
sets = "ambient.parts.weather"
choices = ["pass-cool", "coast-spring", "valley-hot"]
[meet.weather]
[knob.charge]
sets = "common.start_temperature"
from = "20 degC"
to = "50 degC"
[meet.charge]
count = 2
[choose]
sensitivity = 4
[wish.power]
figure = "crank_power"
prefer = "more"
STUDY
