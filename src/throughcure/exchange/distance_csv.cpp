#include "throughcure/exchange/distance_csv.hpp"

#include <utility>

#include "throughcure/exchange/foreign_file.hpp"
#include "throughcure/exchange/number_pairs.hpp"

namespace throughcure::exchange {

std::optional<optics::DistanceSeries> read_distance_series(const std::filesystem::path& path,
                                                           double aperture_diameter_mm, base::Problems& problems) {
  const auto text = read_foreign_file(path, kMostTextBytes, problems);
  return text ? parse_distance_series(*text, path.string(), aperture_diameter_mm, problems) : std::nullopt;
}

std::optional<optics::DistanceSeries> parse_distance_series(std::string_view text, const std::string& file,
                                                            double aperture_diameter_mm, base::Problems& problems) {
  const std::size_t before = problems.size();
  NumberPairs pairs = parse_number_pairs(text, file,
                                         {.first_name = "distance_mm",
                                          .first = {.at_least = 0, .at_most = 100, .unit = "mm"},
                                          .second_name = "irradiance_mw_cm2",
                                          .second = {.above = 0, .at_most = 20'000, .unit = "mW/cm2"},
                                          .at_least = 4,
                                          .at_most = 200},
                                         problems);
  if (problems.size() > before) return std::nullopt;
  return optics::DistanceSeries{aperture_diameter_mm, std::move(pairs.first), std::move(pairs.second)};
}

}  // namespace throughcure::exchange
