// Irradiance against distance from a text file of two columns: distance [mm] and irradiance [mW/cm2].
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

#include "throughcure/base/problem.hpp"
#include "throughcure/optics/distance_series.hpp"

namespace throughcure::exchange {

/// Reads the file (see number_pairs.hpp for its form): 4 to 200 rows, 0 to 100 mm, above 0 mW/cm2. What is wrong is
/// added to `problems`, and nothing is returned then.
std::optional<optics::DistanceSeries> read_distance_series(const std::filesystem::path& path,
                                                           double aperture_diameter_mm, base::Problems& problems);

/// The same for text that came from elsewhere; `file` stands for it in problems.
std::optional<optics::DistanceSeries> parse_distance_series(std::string_view text, const std::string& file,
                                                            double aperture_diameter_mm, base::Problems& problems);

}  // namespace throughcure::exchange
