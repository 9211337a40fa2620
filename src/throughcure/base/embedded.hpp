// Files that were put into the binary when it was built, so that it works from any folder.
#pragma once

#include <span>
#include <string_view>

namespace throughcure::base {

/// One embedded file. The bytes live as long as the program.
struct EmbeddedFile {
  std::string_view path;   ///< below the embedded folder, with slashes
  std::string_view bytes;  ///< as the file was
  std::string_view gzip;   ///< the same compressed; empty where that saves nothing
  std::string_view hash;   ///< SHA-256 of `bytes`, 64 hexadecimal digits
};

/// A folder of them, sorted by path. cmake/embed_folder.cmake makes the function that returns it.
using EmbeddedFiles = std::span<const EmbeddedFile>;

}  // namespace throughcure::base
