#include "throughcure/exchange/audit_line.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <utility>

#include "throughcure/base/hex.hpp"
#include "throughcure/exchange/field_text.hpp"
#include "throughcure/exchange/json_text.hpp"
#include "throughcure/practice/merkle.hpp"

namespace throughcure::exchange {

namespace {

using practice::Change;
using practice::Commitment;
using practice::Digest;
using practice::Field;
using practice::Fields;
using practice::SignedHead;

constexpr std::string_view kPrivate = "private";

PlainTable as_plain(const Fields& fields) {
  PlainTable table;
  for (const Field& field : fields) {
    if (const auto* text = std::get_if<std::string>(&field.value)) {
      table.push_back({field.name, plain(*text)});
    } else {
      const Digest& digest = std::get<Commitment>(field.value).digest;
      table.push_back({field.name, plain(PlainTable{{std::string(kPrivate), plain(base::hex(digest))}})});
    }
  }
  return table;
}

/// The line, with the hash that is to stand in it.
std::string text_of(const Change& change, const Digest& leaf) {
  return json_text({
      {"change", {static_cast<std::int64_t>(change.number)}},
      {"at", plain(base::instant_text(change.at))},
      {"person", plain(change.person)},
      {"kind", plain(change.kind)},
      {"record", plain(change.record)},
      {"before", plain(as_plain(change.before))},
      {"after", plain(as_plain(change.after))},
      {"leaf", plain(base::hex(leaf))},
  });
}

std::string text_of(const SignedHead& head) {
  return json_text({{"head", plain(PlainTable{
                                 {"format", plain(kAuditFormat)},
                                 {"size", {static_cast<std::int64_t>(head.head.size)}},
                                 {"root", plain(base::hex(head.head.root))},
                                 {"at", plain(base::instant_text(head.head.at))},
                                 {"key", plain(base::hex(head.head.key))},
                                 {"signature", plain(base::hex(head.signature))},
                             })}});
}

/// Takes the fields of one object, and tells what is wrong with them.
class Reader {
 public:
  Reader(const PlainTable& table, std::string prefix, const std::string& file, int line, base::Problems& problems)
      : table_(table), prefix_(std::move(prefix)), file_(file), line_(line), problems_(problems) {}

  std::string text(std::string_view key) {
    const auto* text = take<std::string>(key, "a text");
    return text == nullptr ? std::string() : *text;
  }
  std::uint64_t count(std::string_view key) {
    const auto* number = take<std::int64_t>(key, "a whole number");
    if (number == nullptr) return 0;
    if (*number < 0) refuse(key, std::to_string(*number) + " is no count");
    return *number < 0 ? 0 : static_cast<std::uint64_t>(*number);
  }
  base::Instant instant(std::string_view key) {
    const auto* text = take<std::string>(key, "an instant");
    if (text == nullptr) return {};
    const auto instant = base::parse_instant(*text);
    if (!instant) refuse(key, "'" + cut_short(*text) + "' is no instant such as 2026-01-05T08:00:00.000000Z");
    return instant.value_or(base::Instant{});
  }
  template <std::size_t N>
  std::array<std::uint8_t, N> bytes(std::string_view key) {
    const auto* text = take<std::string>(key, "hexadecimal digits");
    if (text == nullptr) return {};
    const auto bytes = base::from_hex<N>(*text);
    if (!bytes) refuse(key, "'" + cut_short(*text) + "' is not " + std::to_string(2 * N) + " hexadecimal digits");
    return bytes.value_or(std::array<std::uint8_t, N>{});
  }
  Fields fields(std::string_view key) {
    const auto* table = take<PlainTable>(key, "an object");
    if (table == nullptr) return {};
    Fields out;
    for (const PlainMember& member : *table) out.push_back({member.key, field_value(key, member)});
    return out;
  }
  /// The object under a key, empty where there is none.
  const PlainTable& object(std::string_view key) {
    static const PlainTable none;
    const auto* table = take<PlainTable>(key, "an object");
    return table == nullptr ? none : *table;
  }
  /// Tells of every key that was not asked for.
  void refuse_others() {
    for (const PlainMember& member : table_) {
      if (std::ranges::find(taken_, member.key) == taken_.end()) refuse(member.key, "no such field is known here");
    }
  }
  void refuse(std::string_view key, std::string what) {
    problems_.push_back({.file = file_,
                         .line = line_,
                         .field = cut_short(joined_field(prefix_, key), kMostFieldBytes),
                         .what = std::move(what),
                         .remedy = "Take the line from an export that nobody touched"});
  }

 private:
  template <class T>
  const T* take(std::string_view key, std::string_view wanted) {
    taken_.emplace_back(key);
    const auto found = std::ranges::find(table_, key, &PlainMember::key);
    if (found == table_.end()) {
      refuse(key, "it is missing");
      return nullptr;
    }
    const T* value = std::get_if<T>(&found->value.is);
    if (value == nullptr) refuse(key, "it is not " + std::string(wanted));
    return value;
  }
  std::variant<std::string, Commitment> field_value(std::string_view side, const PlainMember& member) {
    if (const auto* text = std::get_if<std::string>(&member.value.is)) return *text;
    const std::string place = joined_field(joined_field(prefix_, side), member.key);
    if (const auto* table = std::get_if<PlainTable>(&member.value.is)) {
      Reader inner(*table, place, file_, line_, problems_);
      Commitment commitment{inner.bytes<32>(kPrivate)};
      inner.refuse_others();
      return commitment;
    }
    refuse(joined_field(side, member.key), "it is neither a text nor a private value");
    return std::string();
  }

  const PlainTable& table_;
  std::string prefix_;
  const std::string& file_;
  int line_;
  base::Problems& problems_;
  std::vector<std::string> taken_{};
};

Change read_change(Reader& reader) {
  return {.number = reader.count("change"),
          .at = reader.instant("at"),
          .person = reader.text("person"),
          .kind = reader.text("kind"),
          .record = reader.text("record"),
          .before = reader.fields("before"),
          .after = reader.fields("after")};
}

SignedHead read_head(Reader& reader) {
  const std::string format = reader.text("format");
  if (!format.empty() && format != kAuditFormat) {
    reader.refuse("format", "'" + cut_short(format) + "' is not '" + std::string(kAuditFormat) +
                                "', which is all that this version of the program knows");
  }
  SignedHead out{.head = {.size = reader.count("size"),
                          .root = reader.bytes<32>("root"),
                          .at = reader.instant("at"),
                          .key = reader.bytes<32>("key")},
                 .signature = reader.bytes<64>("signature")};
  reader.refuse_others();
  return out;
}

/// One line on its way from text to what it says.
struct Line {
  std::string_view text;
  const std::string& file;
  int number;
  base::Problems& problems;

  void refuse(std::string what) const {
    problems.push_back({.file = file,
                        .line = number,
                        .field = "",
                        .what = std::move(what),
                        .remedy = "Take the line from an export that nobody touched"});
  }
  void refuse_other_spelling(const std::string& ours) const {
    if (text == ours) return;
    refuse("the line is not written as this program writes it: blanks, escapes, digits or the order of its fields");
  }
};

AuditLine change_of(const PlainTable& table, const Line& line) {
  const std::size_t before = line.problems.size();
  Reader reader(table, "", line.file, line.number, line.problems);
  Change change = read_change(reader);
  const auto stated = reader.bytes<32>("leaf");
  reader.refuse_others();
  if (line.problems.size() > before) return NoAuditLine{};
  for (base::Problem& problem : practice::problems_with(change)) {
    line.problems.push_back(std::move(problem));
    line.problems.back().file = line.file;
    line.problems.back().line = line.number;
  }
  if (line.problems.size() > before) return NoAuditLine{};
  if (practice::leaf_hash(practice::leaf_bytes(change)) != stated) {
    line.refuse("change " + std::to_string(change.number) +
                " does not have the hash that stands at the end of its line: something in it was altered");
  }
  line.refuse_other_spelling(text_of(change, stated));
  return change;
}

AuditLine head_of(const PlainTable& table, const Line& line) {
  const std::size_t before = line.problems.size();
  Reader outer(table, "", line.file, line.number, line.problems);
  Reader inner(outer.object("head"), "head", line.file, line.number, line.problems);
  SignedHead head = read_head(inner);
  outer.refuse_others();
  if (line.problems.size() > before) return NoAuditLine{};
  line.refuse_other_spelling(text_of(head));
  return head;
}

}  // namespace

std::string audit_line(const Change& change) {
  return text_of(change, practice::leaf_hash(practice::leaf_bytes(change)));
}

std::string audit_line(const SignedHead& head) { return text_of(head); }

AuditLine read_audit_line(std::string_view text, const std::string& file, int number, base::Problems& problems) {
  base::Problems of_json;
  const auto table = parse_json(text, file, of_json);
  for (base::Problem& problem : of_json) {
    problem.line = number;
    problem.remedy = "Take the line from an export that nobody touched";
    problems.push_back(std::move(problem));
  }
  if (!table) return NoAuditLine{};
  const Line line{text, file, number, problems};
  if (std::ranges::find(*table, "head", &PlainMember::key) != table->end()) return head_of(*table, line);
  return change_of(*table, line);
}

}  // namespace throughcure::exchange
