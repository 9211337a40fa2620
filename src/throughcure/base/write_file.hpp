// Writing a file so that a reader sees the old one or the new one, never half of either.
#pragma once

#include <cstddef>
#include <filesystem>
#include <span>
#include <string>
#include <string_view>

namespace throughcure::base {

/// Writes beside the target, syncs, renames. Throws Failure naming the path and the system's reason; nothing is left
/// over.
void write_file(const std::filesystem::path& path, std::string_view bytes);
void write_file(const std::filesystem::path& path, std::span<const std::byte> bytes);

/// The same for a secret: from its first byte on only the owner may read it or write to it (mode 0600).
void write_private_file(const std::filesystem::path& path, std::string_view bytes);

/// The whole file. Throws InputError naming the path when it cannot be read or is larger than `most_bytes`.
std::string read_file(const std::filesystem::path& path, std::size_t most_bytes = std::size_t{64} << 20);

}  // namespace throughcure::base
