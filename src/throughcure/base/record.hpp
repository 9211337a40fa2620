// What the store, the audit log and the exports need to know of a record: its fields, once, beside its struct.
//
//   struct Room {
//     using Kind = RoomKind;
//     SiteId site;
//     std::string name;
//     static constexpr auto fields() { return std::tuple{field("site", &Room::site), field("name", &Room::name)}; }
//   };
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <tuple>
#include <type_traits>
#include <utility>
#include <variant>
#include <vector>

#include "throughcure/base/instant.hpp"
#include "throughcure/base/kinds.hpp"
#include "throughcure/base/problem.hpp"

namespace throughcure::base {

/// A field's value as it is kept: nothing, a whole number, a real one, text.
using Value = std::variant<std::monostate, std::int64_t, double, std::string>;

enum class ValueType : std::uint8_t { kWhole, kReal, kText };

/// What a value means beyond its type.
enum class Meaning : std::uint8_t { kPlain, kYesNo, kInstant };

/// A field as it is kept.
struct Column {
  std::string_view name;
  ValueType type = ValueType::kText;
  bool optional = false;
  bool is_private = false;       ///< enters the audit log as a commitment only: a chart number, free text, a name
  std::string_view refers_to{};  ///< the kind whose number it is; empty for none
  Meaning meaning = Meaning::kPlain;
  std::span<const std::string_view> words{};  ///< of a word of a list: the list
  friend bool operator==(const Column& a, const Column& b) {
    return a.name == b.name && a.type == b.type && a.optional == b.optional && a.is_private == b.is_private &&
           a.refers_to == b.refers_to && a.meaning == b.meaning && std::ranges::equal(a.words, b.words);
  }
};

enum class Privacy : std::uint8_t { kOpen, kPrivate };

template <class Record, class Member>
struct Field {
  std::string_view name;
  Member Record::* member;
  Privacy privacy;
};

template <class Record, class Member>
constexpr Field<Record, Member> field(std::string_view name, Member Record::* member,
                                      Privacy privacy = Privacy::kOpen) {
  return {name, member, privacy};
}

/// The texts of an enum's values in their order; specialise it beside the enum.
template <class Enum>
struct Words;

/// How a member is kept: its type, and there and back. `from` throws Failure where the value is none of its own.
template <class Member>
struct Kept;

namespace detail {
[[noreturn]] inline void no_value_of(std::string_view what) {
  throw Failure("the database holds a value that is no " + std::string(what) +
                ": it was changed by something else than this program; restore the last good backup");
}
template <class T>
const T& held(const Value& value, std::string_view what) {
  const T* const found = std::get_if<T>(&value);
  if (found == nullptr) no_value_of(what);
  return *found;
}
}  // namespace detail

template <>
struct Kept<std::int64_t> {
  static constexpr ValueType type = ValueType::kWhole;
  static Value to(std::int64_t v) { return v; }
  static std::int64_t from(const Value& v) { return detail::held<std::int64_t>(v, "whole number"); }
};

template <>
struct Kept<bool> {
  static constexpr ValueType type = ValueType::kWhole;
  static constexpr Meaning meaning = Meaning::kYesNo;
  static Value to(bool v) { return std::int64_t{v ? 1 : 0}; }
  static bool from(const Value& v) {
    const std::int64_t held = Kept<std::int64_t>::from(v);
    if (held != 0 && held != 1) detail::no_value_of("yes or no");
    return held == 1;
  }
};

template <>
struct Kept<double> {
  static constexpr ValueType type = ValueType::kReal;
  static Value to(double v) { return v; }
  static double from(const Value& v) { return detail::held<double>(v, "number"); }
};

template <>
struct Kept<std::string> {
  static constexpr ValueType type = ValueType::kText;
  static Value to(const std::string& v) { return v; }
  static std::string from(const Value& v) { return detail::held<std::string>(v, "text"); }
};

template <>
struct Kept<Instant> {
  static constexpr ValueType type = ValueType::kWhole;
  static constexpr Meaning meaning = Meaning::kInstant;
  static Value to(Instant v) { return v.us; }
  static Instant from(const Value& v) { return {Kept<std::int64_t>::from(v)}; }
};

template <class Kind>
struct Kept<Id<Kind>> {
  static constexpr ValueType type = ValueType::kWhole;
  static constexpr std::string_view refers_to = Kind::name;
  static Value to(Id<Kind> v) { return v.number; }
  static Id<Kind> from(const Value& v) { return {Kept<std::int64_t>::from(v)}; }
};

template <class Enum>
  requires std::is_enum_v<Enum>
struct Kept<Enum> {
  static constexpr ValueType type = ValueType::kText;
  static Value to(Enum v) { return std::string(Words<Enum>::words.at(static_cast<std::size_t>(v))); }
  static Enum from(const Value& v) {
    const std::string text = Kept<std::string>::from(v);
    for (std::size_t i = 0; i < Words<Enum>::words.size(); ++i) {
      if (Words<Enum>::words[i] == text) return static_cast<Enum>(i);
    }
    detail::no_value_of("word of its list");
  }
};

template <class Member>
struct Kept<std::optional<Member>> {
  static constexpr ValueType type = Kept<Member>::type;
  static Value to(const std::optional<Member>& v) { return v ? Kept<Member>::to(*v) : Value{}; }
  static std::optional<Member> from(const Value& v) {
    if (std::holds_alternative<std::monostate>(v)) return std::nullopt;
    return Kept<Member>::from(v);
  }
};

namespace detail {
template <class Member>
constexpr bool is_optional = false;
template <class Member>
constexpr bool is_optional<std::optional<Member>> = true;

template <class Member>
constexpr std::string_view refers_to() {
  if constexpr (is_optional<Member>) return refers_to<typename Member::value_type>();
  if constexpr (requires { Kept<Member>::refers_to; }) return Kept<Member>::refers_to;
  return {};
}

template <class Member>
constexpr Meaning meaning() {
  if constexpr (is_optional<Member>) return meaning<typename Member::value_type>();
  if constexpr (requires { Kept<Member>::meaning; }) return Kept<Member>::meaning;
  return Meaning::kPlain;
}

template <class Member>
constexpr std::span<const std::string_view> words() {
  if constexpr (is_optional<Member>) return words<typename Member::value_type>();
  if constexpr (std::is_enum_v<Member>) return Words<Member>::words;
  return {};
}

template <class Record, class Member>
constexpr Column column_of(const Field<Record, Member>& f) {
  return {f.name,
          Kept<Member>::type,
          is_optional<Member>,
          f.privacy == Privacy::kPrivate,
          refers_to<Member>(),
          meaning<Member>(),
          words<Member>()};
}
}  // namespace detail

template <class Record>
constexpr std::string_view kind_of() {
  return Record::Kind::name;
}

/// The columns of a kind, in the order of its fields.
template <class Record>
std::vector<Column> columns_of() {
  return std::apply([](const auto&... f) { return std::vector<Column>{detail::column_of(f)...}; }, Record::fields());
}

/// A record's values, in the order of its columns.
template <class Record>
std::vector<Value> values_of(const Record& record) {
  const auto kept = [&]<class Member>(const Field<Record, Member>& f) { return Kept<Member>::to(record.*f.member); };
  return std::apply([&](const auto&... f) { return std::vector<Value>{kept(f)...}; }, Record::fields());
}

/// Back again. Throws Failure when the values are none of this kind.
template <class Record>
Record record_of(std::span<const Value> values) {
  Record record;
  std::size_t at = 0;
  const auto take = [&]<class Member>(const Field<Record, Member>& f) {
    if (at >= values.size()) detail::no_value_of("value at all");
    record.*f.member = Kept<Member>::from(values[at++]);
  };
  std::apply([&](const auto&... f) { (take(f), ...); }, Record::fields());
  return record;
}

}  // namespace throughcure::base
