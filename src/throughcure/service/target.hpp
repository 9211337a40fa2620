// The target of a request taken apart: path segments and query, decoded, with nothing in them that could climb out of
// a folder.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace throughcure::service {

/// A decoded target. "/" has no segments; a slash at the end counts for nothing.
struct Target {
  std::vector<std::string> segments;
  std::vector<std::pair<std::string, std::string>> query;
};

/// Takes "/lights/a%20b?unit=mm" apart. Nothing when it is not a plain path: not starting with a slash, a broken
/// percent sign, a control character, an empty segment, a segment "." or "..", or a slash or backslash hidden in a
/// segment.
std::optional<Target> parse_target(std::string_view target);

/// Percent-decodes; nothing when a percent sign is broken or a control character comes out.
std::optional<std::string> percent_decoded(std::string_view text);

/// The value of one cookie in a Cookie header; nothing when it is absent or there twice.
std::optional<std::string_view> cookie_value(std::string_view cookie_header, std::string_view name);

}  // namespace throughcure::service
