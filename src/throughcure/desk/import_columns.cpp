#include "throughcure/desk/import_columns.hpp"

#include <algorithm>
#include <set>
#include <tuple>

#include "throughcure/exchange/nearest_name.hpp"
#include "throughcure/exchange/written_unit.hpp"

namespace throughcure::desk {

namespace {

/// Letters and digits in lower case, one blank for everything between them.
std::string plain_words(std::string_view name) {
  std::string words;
  for (const char c : name) {
    const char lower = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    const bool letter = (lower >= 'a' && lower <= 'z') || (lower >= '0' && lower <= '9') || (lower & 0x80) != 0;
    if (letter) {
      words += lower;
    } else if (!words.empty() && words.back() != ' ') {
      words += ' ';
    }
  }
  if (words.ends_with(' ')) words.pop_back();
  return words;
}

/// The name without the unit that it ends with, where something else is left.
std::string without_unit(const std::string& name) {
  const std::string_view unit = exchange::unit_in_name(name);
  if (unit.empty() || unit.size() == name.size()) return plain_words(name);
  const auto from = static_cast<std::size_t>(unit.data() - name.data());
  const std::string rest = plain_words(std::string_view(name).substr(0, from));
  return plain_words(rest.empty() ? name : rest);
}

bool holds_words(const std::string& name, std::string_view words) {
  return (" " + name + " ").find(" " + std::string(words) + " ") != std::string::npos;
}

/// How far a column's name is from those of a field: what sort of likeness, then which of the field's words; nothing
/// where it is none of them.
using Likeness = std::tuple<int, std::size_t>;

std::optional<Likeness> likeness(const ImportField& field, const std::string& name, const std::string& bare) {
  constexpr std::size_t long_enough = 5;  // for a letter that is wrong
  std::optional<Likeness> best;
  const auto is = [&](int sort, std::size_t rank) {
    if (!best || Likeness{sort, rank} < *best) best = {sort, rank};
  };
  std::string_view rest = field.headers;
  for (std::size_t rank = 0; !rest.empty(); ++rank) {
    const std::size_t end = std::min(rest.find('|'), rest.size());
    const std::string_view words = rest.substr(0, end);
    rest.remove_prefix(std::min(end + 1, rest.size()));
    if (name == words || bare == words) {
      is(0, rank);
    } else if (words.size() >= long_enough && exchange::edit_distance(bare, words) <= words.size() / long_enough) {
      is(1, rank);
    } else if (holds_words(bare, words)) {
      is(2, rank);
    }
  }
  return best;
}

}  // namespace

std::map<std::string_view, std::optional<std::size_t>> suggested_columns(ImportKind kind,
                                                                         const std::vector<std::string>& names) {
  // Every pair that is alike, the most alike first; ties go to the fields and columns that stand first.
  std::vector<std::tuple<Likeness, std::size_t, std::size_t>> pairs;
  const auto fields = import_fields(kind);
  for (std::size_t column = 0; column < names.size(); ++column) {
    const std::string name = plain_words(names[column].substr(0, 100));
    const std::string bare = without_unit(names[column].substr(0, 100));
    for (std::size_t field = 0; field < fields.size(); ++field) {
      if (const auto alike = likeness(fields[field], name, bare)) pairs.emplace_back(*alike, field, column);
    }
  }
  std::ranges::sort(pairs);
  std::map<std::string_view, std::optional<std::size_t>> columns;
  for (const ImportField& field : fields) columns[field.name] = std::nullopt;
  std::set<std::size_t> taken;
  for (const auto& [alike, field, column] : pairs) {
    auto& chosen = columns[fields[field].name];
    if (chosen || taken.contains(column)) continue;
    chosen = column;
    taken.insert(column);
  }
  return columns;
}

}  // namespace throughcure::desk
