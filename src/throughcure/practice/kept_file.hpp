// A file that the cases of restorations name: a light's spectrum, a paste's description. Kept as it was when a case was
// solved with it, so that the case can be solved again after the file was changed or lost. Its bytes lie elsewhere,
// under their hash.
#pragma once

#include <cstdint>
#include <string>
#include <tuple>

#include "throughcure/base/record.hpp"

namespace throughcure::practice {

struct KeptFile {
  using Kind = base::KeptFileKind;
  std::string path;       ///< as a case finds it from the folder of its data: "lights/lamp-2.toml"
  std::int64_t size = 0;  ///< [bytes]
  std::string sha256;     ///< of its bytes, hexadecimal
  static constexpr auto fields() {
    return std::tuple{base::field("path", &KeptFile::path), base::field("size", &KeptFile::size),
                      base::field("sha256", &KeptFile::sha256)};
  }
  friend bool operator==(const KeptFile&, const KeptFile&) = default;
};

/// Largest file that is kept so [bytes]: a picture of a beam.
inline constexpr std::size_t kMostKeptBytes = std::size_t{64} << 20;

}  // namespace throughcure::practice
