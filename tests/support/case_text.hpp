// A small sound case as text, for tests that change one thing of it. Its files are those of demo/.
#pragma once

#include <string>

namespace throughcure::tests {

inline std::string sound_case() {
  return R"([case]
name = "a distal box"
kind = "invented"
source = ""
[tooth]
number = 36
[cavity.occlusal]
floor_below_cusps_mm = 4
width_mm = 2.5
length_mm = 5
[cavity.distal]
floor_below_cusps_mm = 6
width_mm = 4
axial_depth_mm = 1.5
[adhesive]
material = "materials/adhesive.toml"
[paste]
material = "materials/universal-paste-a3.toml"
[[increment]]
layering = "horizontal"
thickness_mm = 6
[light]
file = "lights/demo-light.toml"
[[exposure]]
state = "increment 1 placed"
aim = "distal box floor"
standoff_mm = 0
seconds = 20
)";
}

}  // namespace throughcure::tests
