// Files of lights and materials as the records name them ("lamp-2"), and as cases do ("lights/lamp-2.toml").
#pragma once

#include <string>
#include <string_view>

namespace throughcure::desk {

/// The path from the folder of the practice's data. A record may have the whole path too.
inline std::string planning_file(std::string_view folder, std::string_view name) {
  if (name.ends_with(".toml")) return std::string(name);
  return std::string(folder) + "/" + std::string(name) + ".toml";
}

inline std::string light_planning_file(std::string_view name) { return planning_file("lights", name); }
inline std::string material_planning_file(std::string_view name) { return planning_file("materials", name); }

}  // namespace throughcure::desk
