// Whether a revision of a record holds what the change that wrote it says.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/practice/change.hpp"
#include "throughcure/practice/commitment.hpp"
#include "throughcure/store/table.hpp"

namespace throughcure::store {

/// What opens the sealed fields of a change, by their names.
using SaltsOfChange = std::map<std::string, practice::Salt, std::less<>>;

/// What the log says of a kind of record, and what it is silent about.
struct LoggedKind {
  Table table;
  std::vector<base::Value> fresh;  ///< values of a record that nobody filled in
};

/// What is wrong, a part of a sentence each, without any value: "probability is not what the log says". `before` is the
/// revision before, null for the first one.
///
/// A first change names every field that holds something; a later one names those that changed, before and after. What
/// a change does not name is as it was. Columns that came after a first change hold nothing, or what a fresh record has
/// there where they must hold something.
std::vector<std::string> against_change(const LoggedKind& kind, const Row& row, const Row* before,
                                        const practice::Change& change, const SaltsOfChange& salts);

}  // namespace throughcure::store
