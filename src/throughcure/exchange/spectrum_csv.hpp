// A spectrum from a text file of two columns: wavelength [nm] and power.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

#include "throughcure/base/problem.hpp"
#include "throughcure/optics/spectrum.hpp"

namespace throughcure::exchange {

/// Reads the file (see number_pairs.hpp for its form): 200 to 1200 nm, values >= 0 and not all of them 0. What is wrong
/// is added to `problems`, and nothing is returned then.
std::optional<optics::Spectrum> read_spectrum(const std::filesystem::path& path, optics::SpectrumScale scale,
                                              base::Problems& problems);

/// The same for text that came from elsewhere; `file` stands for it in problems.
std::optional<optics::Spectrum> parse_spectrum(std::string_view text, const std::string& file,
                                               optics::SpectrumScale scale, base::Problems& problems);

}  // namespace throughcure::exchange
