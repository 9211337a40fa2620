// How good intervals are that were foretold: coverage, width, and one score for both.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace throughcure::verify {

/// An interval that was foretold for a number, and the number.
struct Foretold {
  std::string study;  ///< whose number it is
  double published = 0;
  double low = 0;
  double high = 0;
};

/// Share of nature's numbers that a central interval means to hold.
inline constexpr double kCentral = 0.8;

/// Interval score of a central 80 % interval: its width, and 2/0.2 times what a number outside lies beyond it. Small is
/// good; the truth's own quantiles make it smallest in the mean.
/// Source: Gneiting, Raftery 2007, J Am Stat Assoc 102:359-378, equation 43 (published).
double interval_score(const Foretold& foretold);

struct Score {
  std::size_t rows = 0;
  std::size_t inside = 0;
  double median_width = 0;
  double mean_score = 0;
};
/// All zero for no rows.
Score score(std::span<const Foretold> foretold);

/// Whose numbers a constant is made of.
enum class BaselineOf : unsigned char {
  kOtherStudies,  ///< for a forecast that knew nothing of the study
  kOtherRows,     ///< of the same study: for one that was conditioned on rows of it
};

/// The same numbers foretold by one constant: the mean of the other numbers, plus and minus 1.2816 of their sd times
/// sqrt(1 + 1/n). A row for which there are less than two others is left out.
std::vector<Foretold> constant_mean(std::span<const Foretold> rows, BaselineOf of);

}  // namespace throughcure::verify
