#include "throughcure/practice/change.hpp"

#include <string_view>

#include "throughcure/base/utf8.hpp"
#include "throughcure/practice/big_endian.hpp"

namespace throughcure::practice {

namespace {

constexpr char kPlain = '\0';
constexpr char kPrivate = '\1';

void add_text(std::string& out, std::string_view text) {
  add_u32(out, text.size());
  out += text;
}

void add_fields(std::string& out, const Fields& fields) {
  add_u32(out, fields.size());
  for (const Field& field : fields) {
    add_text(out, field.name);
    if (const auto* plain = std::get_if<std::string>(&field.value)) {
      out += kPlain;
      add_text(out, *plain);
    } else {
      out += kPrivate;
      out += bytes_of(std::get<Commitment>(field.value).digest);
    }
  }
}

std::string encoded(const Change& change) {
  std::string out(kChangeVersion);
  add_u64(out, change.number);
  add_u64(out, static_cast<std::uint64_t>(change.at.us));
  add_text(out, change.person);
  add_text(out, change.kind);
  add_text(out, change.record);
  add_fields(out, change.before);
  add_fields(out, change.after);
  return out;
}

/// Collects what is wrong with one change.
class Faults {
 public:
  void add(std::string field, std::string what, std::string remedy) {
    problems_.push_back({.file = "", .field = std::move(field), .what = std::move(what), .remedy = std::move(remedy)});
  }
  void of_name(const std::string& field, const std::string& name) {
    if (name.empty()) add(field, "it is empty", "Give one byte at least");
    if (name.size() > kMostNameBytes) {
      add(field, std::to_string(name.size()) + " bytes is more than the " + std::to_string(kMostNameBytes) + " allowed",
          "Give a shorter one");
    }
    of_text(field, name);
  }
  void of_text(const std::string& field, const std::string& text) {
    if (!base::is_utf8(text)) add(field, "it is no text", "Give UTF-8");
  }
  void of_fields(const std::string& side, const Fields& fields) {
    if (fields.size() > kMostFields) {
      add(side, std::to_string(fields.size()) + " fields are more than the " + std::to_string(kMostFields) + " allowed",
          "Give fewer");
      return;
    }
    for (std::size_t i = 0; i < fields.size(); ++i) {
      const std::string place = side + "[" + std::to_string(i + 1) + "]";
      of_name(place, fields[i].name);
      if (i > 0 && fields[i - 1].name >= fields[i].name) {
        add(place, "its name does not come after the one before it", "Give the fields by name, each one once");
      }
      if (const auto* plain = std::get_if<std::string>(&fields[i].value)) of_text(place, *plain);
    }
  }
  [[nodiscard]] bool none() const { return problems_.empty(); }
  base::Problems take() { return std::move(problems_); }

 private:
  base::Problems problems_;
};

}  // namespace

base::Problems problems_with(const Change& change) {
  Faults faults;
  if (change.number == 0 || change.number > kMostChanges) {
    faults.add("change", std::to_string(change.number) + " is no number of a change", "Count from 1");
  }
  if (change.at < base::kEarliestInstant || change.at > base::kLatestInstant) {
    faults.add("at", "the instant lies outside the years 1 to 9999", "Look at the clock");
  }
  faults.of_name("person", change.person);
  faults.of_name("kind", change.kind);
  faults.of_name("record", change.record);
  faults.of_fields("before", change.before);
  faults.of_fields("after", change.after);
  if (faults.none()) {
    const std::size_t bytes = encoded(change).size();
    if (bytes > kMostLeafBytes) {
      faults.add("",
                 "a change of " + std::to_string(bytes) + " bytes is more than the " + std::to_string(kMostLeafBytes) +
                     " allowed",
                 "Give shorter texts");
    }
  }
  return faults.take();
}

std::string leaf_bytes(const Change& change) {
  base::refuse_if_any(problems_with(change));
  return encoded(change);
}

}  // namespace throughcure::practice
