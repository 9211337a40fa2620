// Two columns of numbers from a text file, however the instrument that wrote it separates them.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/limits.hpp"

namespace throughcure::exchange {

/// What a file of two columns must hold.
struct PairsWanted {
  std::string_view first_name;  ///< "wavelength_nm": how problems call the column
  Limits first;
  std::string_view second_name;
  Limits second;
  std::size_t at_least = 2;
  std::size_t at_most = 20'000;
};

struct NumberPairs {
  std::vector<double> first;  ///< strictly rising
  std::vector<double> second;
};

/// Reads `text`; `file` stands for it in problems. Columns are separated by ; or tab or comma or spaces, the same all
/// over the file; decimals by a point, or by a comma unless commas separate the columns. One header line, a byte order
/// mark, Windows line ends, blank lines, quotes and what follows a # are skipped. Wrong fields, numbers outside their
/// limits, a first column that does not rise, too few or too many rows: each is a problem with its line (the first 20
/// of them); the result is then not to be used.
NumberPairs parse_number_pairs(std::string_view text, const std::string& file, const PairsWanted& wanted,
                               base::Problems& problems);

}  // namespace throughcure::exchange
