#include "throughcure/exchange/spectrum_csv.hpp"

#include <algorithm>
#include <utility>

#include "throughcure/exchange/foreign_file.hpp"
#include "throughcure/exchange/number_pairs.hpp"

namespace throughcure::exchange {

std::optional<optics::Spectrum> read_spectrum(const std::filesystem::path& path, optics::SpectrumScale scale,
                                              base::Problems& problems) {
  const auto text = read_foreign_file(path, kMostTextBytes, problems);
  return text ? parse_spectrum(*text, path.string(), scale, problems) : std::nullopt;
}

std::optional<optics::Spectrum> parse_spectrum(std::string_view text, const std::string& file,
                                               optics::SpectrumScale scale, base::Problems& problems) {
  const std::size_t before = problems.size();
  NumberPairs pairs = parse_number_pairs(text, file,
                                         {.first_name = "wavelength_nm",
                                          .first = {.at_least = 200, .at_most = 1200, .unit = "nm"},
                                          .second_name = "power",
                                          .second = {.at_least = 0, .at_most = 1e12}},
                                         problems);
  if (problems.size() > before) return std::nullopt;
  if (std::ranges::all_of(pairs.second, [](double value) { return value == 0; })) {
    problems.push_back({.file = file,
                        .field = "power",
                        .what = "every value is 0",
                        .remedy = "Give the spectrum of the light while it is on"});
    return std::nullopt;
  }
  return optics::Spectrum{std::move(pairs.first), std::move(pairs.second), scale};
}

}  // namespace throughcure::exchange
