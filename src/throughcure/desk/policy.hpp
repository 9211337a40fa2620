// Values that a practice may choose: limits, intervals. Each with its unit, its kind and where it comes from.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/base/problem.hpp"
#include "throughcure/practice/setting.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

/// A value as delivered.
struct PolicyEntry {
  std::string_view name;
  double number;
  double least;
  double most;
  std::string_view unit;
  std::string_view what;    ///< in words
  std::string_view origin;  ///< "published", "common practice, no source", "from memory"
  std::string_view source;
};

/// All there are.
std::span<const PolicyEntry> policy_entries();

/// The values in force.
class Policy {
 public:
  explicit Policy(const store::Reader& reader);
  /// Throws base::Failure where there is no value of that name.
  [[nodiscard]] double operator[](std::string_view name) const;
  /// The setting that the practice has chosen; none: as delivered.
  [[nodiscard]] const store::Kept<practice::Setting>* chosen(std::string_view name) const;

 private:
  std::vector<store::Kept<practice::Setting>> chosen_;
};

/// What is wrong with a value that a practice chooses.
base::Problems policy_problems(std::string_view name, double number, std::string_view source);

}  // namespace throughcure::desk
