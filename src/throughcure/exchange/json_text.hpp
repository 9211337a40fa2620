// JSON that a stranger wrote as plain values, and plain values as JSON.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/plain_value.hpp"

namespace throughcure::exchange {

/// Reads one JSON object of at most 1 MiB and 16 levels, each key once and at most 1,000 in one object, and nothing in
/// it null. Whole numbers that fit 64 bits stay whole. What is wrong is added to `problems` under the file's `name`
/// (field, or byte of the text), and nothing is returned then.
std::optional<PlainTable> parse_json(std::string_view text, const std::string& name, base::Problems& problems);

/// The document on one line.
std::string json_text(const PlainTable& document);

}  // namespace throughcure::exchange
