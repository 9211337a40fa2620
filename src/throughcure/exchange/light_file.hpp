// Reading a light file, and the spectrum, picture and distance series that it names.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

#include "throughcure/base/problem.hpp"
#include "throughcure/optics/light.hpp"

namespace throughcure::exchange {

/// Reads a light file and the files that it names; the angular shape is fitted where it names a distance series.
/// Throws InputError with everything that is wrong in any of them.
optics::Light read_light(const std::filesystem::path& path);

/// The same for a reader of several files: what is wrong is added to `problems`, and nothing is returned then.
std::optional<optics::Light> read_light(const std::filesystem::path& path, base::Problems& problems);

/// The same for text that came from elsewhere; relative paths start from `folder`.
std::optional<optics::Light> parse_light(std::string_view text, const std::string& name, std::filesystem::path folder,
                                         base::Problems& problems);

}  // namespace throughcure::exchange
