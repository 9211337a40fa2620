#include "throughcure/practice/change_reader.hpp"

#include <algorithm>
#include <cstddef>
#include <string>
#include <utility>

namespace throughcure::practice {

namespace {

/// Takes from the front of the bytes; false once something was missing.
class Bytes {
 public:
  explicit Bytes(std::string_view left) : left_(left) {}

  bool number(std::size_t width, std::uint64_t& value) {
    if (left_.size() < width) return false;
    value = 0;
    for (const char c : left_.substr(0, width)) value = value << 8U | static_cast<std::uint8_t>(c);
    left_.remove_prefix(width);
    return true;
  }
  bool text(std::string& value) {
    std::uint64_t size = 0;
    if (!number(4, size) || size > left_.size()) return false;
    value = left_.substr(0, size);
    left_.remove_prefix(size);
    return true;
  }
  bool fields(Fields& fields) {
    std::uint64_t count = 0;
    if (!number(4, count) || count > kMostFields) return false;
    for (std::uint64_t i = 0; i < count; ++i) {
      Field field;
      std::uint64_t sort = 0;
      if (!text(field.name) || !number(1, sort)) return false;
      if (sort == 0) {
        std::string plain;
        if (!text(plain)) return false;
        field.value = std::move(plain);
      } else {
        Commitment commitment;
        if (sort != 1 || left_.size() < commitment.digest.size()) return false;
        std::ranges::copy(left_.substr(0, commitment.digest.size()), commitment.digest.begin());
        left_.remove_prefix(commitment.digest.size());
        field.value = commitment;
      }
      fields.push_back(std::move(field));
    }
    return true;
  }
  [[nodiscard]] bool none_left() const { return left_.empty(); }

 private:
  std::string_view left_;
};

}  // namespace

std::optional<Change> change_from_leaf(std::string_view bytes) {
  if (!bytes.starts_with(kChangeVersion)) return std::nullopt;
  Bytes left(bytes.substr(kChangeVersion.size()));
  Change change;
  std::uint64_t at = 0;
  const bool whole = left.number(8, change.number) && left.number(8, at) && left.text(change.person) &&
                     left.text(change.kind) && left.text(change.record) && left.fields(change.before) &&
                     left.fields(change.after) && left.none_left();
  change.at.us = static_cast<std::int64_t>(at);
  if (!whole || !problems_with(change).empty()) return std::nullopt;
  return change;
}

}  // namespace throughcure::practice
