/// A small rig whose pull takes a millisecond: a brake raises the blower's speed while the valve behind it opens.
#pragma once
#include <pullcast/scenario/scenario.hpp>

namespace shipped {

inline const auto blower_bench =
    std::make_shared<const pullcast::SourceFile>(pullcast::SourceFile{"blower-bench.toml", R"toml(
title = "blower on a bench (invented)"
[component.ambient]
model = "gas.ambient"
temperature = "20 degC"
[component.blower]
model = "blower.geometric"
from = "ambient.air"
to = "box"
displacement = "1.9 L/rev"
clearance_area = "75 mm^2"
rated_speed = "14000 rpm"
speed_limit = "15000 rpm"
[component.drive]
model = "drive.rigid"
crank = "load"
rotor = "blower"
crank_pulley_diameter = "165 mm"
pulley_diameter = "82.5 mm"
[component.box]
model = "gas.volume"
volume = "5 L"
[component.valve]
model = "gas.throttle_slide"
from = "box"
to = "ambient.air"
leak_area = "4 cm^2"
open_area = "8 cm^2"
[component.sensor]
model = "sensor.lag"
at = "box"
time_constant = "0.5 s"
[component.load]
model = "load.brake"
speed_rate = "1500 rpm/s"
[procedure]
stop_speed = "4000 rpm"
)toml"});

}  // namespace shipped
