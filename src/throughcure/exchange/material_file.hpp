// Reading a material file: class, shade, optics, initiators, and what a practice or a laboratory knows of the material.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

#include "throughcure/base/problem.hpp"
#include "throughcure/cure/material.hpp"

namespace throughcure::exchange {

/// Reads a material file. Throws InputError with everything that is wrong in it.
cure::Material read_material(const std::filesystem::path& path);

/// The same for a reader of several files: what is wrong is added to `problems`, and nothing is returned then.
std::optional<cure::Material> read_material(const std::filesystem::path& path, base::Problems& problems);

/// The same for text that came from elsewhere; relative paths start from `folder`.
std::optional<cure::Material> parse_material(std::string_view text, std::string name, std::filesystem::path folder,
                                             base::Problems& problems);

}  // namespace throughcure::exchange
