// A document as plain values, whatever its notation: what TOML and JSON have in common.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace throughcure::exchange {

struct PlainMember;
struct PlainValue;
using PlainList = std::vector<PlainValue>;
/// In the order in which they stand in the document; each key once.
using PlainTable = std::vector<PlainMember>;

/// Numbers are finite; text is UTF-8.
struct PlainValue {
  std::variant<bool, std::int64_t, double, std::string, PlainList, PlainTable> is;
};

struct PlainMember {
  std::string key;
  PlainValue value;
};

inline PlainValue plain(std::string_view text) { return {std::string(text)}; }
inline PlainValue plain(double number) { return {number}; }
inline PlainValue plain(bool flag) { return {flag}; }
inline PlainValue plain(const std::string& text) { return {text}; }
inline PlainValue plain(const char* text) { return plain(std::string_view(text)); }
/// A count.
inline PlainValue plain(std::size_t count) { return {static_cast<std::int64_t>(count)}; }
inline PlainValue plain(PlainTable table) { return {std::move(table)}; }
inline PlainValue plain(PlainList list) { return {std::move(list)}; }

}  // namespace throughcure::exchange
