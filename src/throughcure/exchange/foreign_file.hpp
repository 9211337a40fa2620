// The bytes of a file that another program wrote, or the problem with getting them.
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>

#include "throughcure/base/problem.hpp"

namespace throughcure::exchange {

inline constexpr std::size_t kMostTextBytes = std::size_t{1} << 20;
inline constexpr std::size_t kMostPictureBytes = std::size_t{64} << 20;

/// The whole file; one that cannot be read or is larger than `most_bytes` becomes a problem.
std::optional<std::string> read_foreign_file(const std::filesystem::path& path, std::size_t most_bytes,
                                             base::Problems& problems);

}  // namespace throughcure::exchange
