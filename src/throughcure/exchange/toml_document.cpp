#include "throughcure/exchange/toml_document.hpp"

#include <algorithm>
#include <cmath>
#include <deque>
#include <map>
#include <set>
#include <sstream>

#define TOML_EXCEPTIONS 0
#include <toml++/toml.h>

#include "throughcure/base/number_text.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/exchange/nearest_name.hpp"

namespace throughcure::exchange {

namespace {

constexpr std::size_t kMostBytes = std::size_t{1} << 20;
constexpr std::size_t kMostTextBytes = 2000;
constexpr std::size_t kMostProblems = 200;

enum class Need : std::uint8_t { kRequired, kOptional };

using base::number_text;

std::string with_unit(double value, std::string_view unit) {
  return number_text(value) + (unit.empty() ? "" : ' ' + std::string(unit));
}

/// "a number from 0.5 to 20 mm", "a number above 0 mm", "a number".
std::string wanted(const Limits& limits) {
  if (limits.at_least && limits.at_most) {
    return "a number from " + number_text(*limits.at_least) + " to " + with_unit(*limits.at_most, limits.unit);
  }
  std::string text = "a number";
  bool bounded = false;
  const auto add = [&](const std::optional<double>& bound, std::string_view words) {
    if (!bound) return;
    text += (bounded ? " and " : " ") + std::string(words) + ' ' + with_unit(*bound, limits.unit);
    bounded = true;
  };
  add(limits.at_least, "not below");
  add(limits.above, "above");
  add(limits.at_most, "not above");
  add(limits.below, "below");
  if (!bounded && !limits.unit.empty()) text += " in " + std::string(limits.unit);
  return text;
}

/// What is wrong with a number, or nothing.
std::optional<std::string> against_limits(double value, const Limits& limits) {
  if (!std::isfinite(value)) return number_text(value) + " is not a number that can be used";
  const std::string shown = with_unit(value, limits.unit);
  if (limits.at_least && value < *limits.at_least) {
    return shown + " is below the least allowed, " + with_unit(*limits.at_least, limits.unit);
  }
  if (limits.at_most && value > *limits.at_most) {
    return shown + " is above the most allowed, " + with_unit(*limits.at_most, limits.unit);
  }
  if (limits.above && value <= *limits.above) {
    return shown + " is not above " + with_unit(*limits.above, limits.unit);
  }
  if (limits.below && value >= *limits.below) {
    return shown + " is not below " + with_unit(*limits.below, limits.unit);
  }
  return std::nullopt;
}

double stand_in(const Limits& limits) {
  if (limits.at_least) return *limits.at_least;
  if (limits.at_most) return *limits.at_most;
  if (limits.above && limits.below) return (*limits.above + *limits.below) / 2;
  if (limits.above) return *limits.above + 1;
  if (limits.below) return *limits.below - 1;
  return 0;
}

std::string_view kind_of(const toml::node& node) {
  switch (node.type()) {
    case toml::node_type::table:
      return "a table";
    case toml::node_type::array:
      return "an array";
    case toml::node_type::string:
      return "text";
    case toml::node_type::integer:
      return "a whole number";
    case toml::node_type::floating_point:
      return "a number";
    case toml::node_type::boolean:
      return "true or false";
    case toml::node_type::none:
    case toml::node_type::date:
    case toml::node_type::time:
    case toml::node_type::date_time:
      break;
  }
  return "a date or time";
}

/// The value as the file has it, cut short: what a problem quotes.
std::string value_of(const toml::node& node) {
  if (node.is_table() || node.is_array()) return "";
  std::ostringstream text;
  text.imbue(std::locale::classic());
  if (node.is_string()) {
    text << node.as_string()->get();
  } else {
    node.visit([&](const auto& value) { text << value; });
  }
  std::string shown = text.str();
  std::ranges::replace_if(shown, [](unsigned char c) { return c < 0x20; }, ' ');
  if (shown.size() > 60) {
    // Never cut inside a character of several bytes.
    std::size_t end = 57;
    while (end > 0 && (static_cast<unsigned char>(shown[end]) & 0xC0U) == 0x80U) --end;
    shown = shown.substr(0, end) + "...";
  }
  return shown;
}

std::string list_of(const std::vector<std::string_view>& words) {
  std::string all;
  for (const std::string_view word : words) all += (all.empty() ? "" : ", ") + std::string(word);
  return all;
}

std::string joined(std::string_view prefix, std::string_view path) {
  if (prefix.empty() || path.empty()) return std::string(prefix.empty() ? path : prefix);
  return std::string(prefix) + '.' + std::string(path);
}

}  // namespace

/// The parsed file, what was asked of it and what is wrong with it.
struct TomlTable::State {
  /// A table that a reader has entered. `node` is null for a stand-in: everything is absent there and nothing is said.
  struct Entered {
    const toml::table* node = nullptr;
    std::string field;
    std::set<std::string, std::less<>> known{};
    std::set<std::string, std::less<>> used{};
  };
  /// A value that was looked for: null when it is not there.
  struct Found {
    const toml::node* node = nullptr;
    std::string field;
  };

  std::string name;
  std::filesystem::path folder;
  toml::table root{};
  base::Problems problems{};
  std::deque<Entered> entered{};
  std::map<const toml::table*, std::size_t> index_of{};
  bool readable = true;

  std::size_t enter(const toml::table* node, std::string field) {
    if (node != nullptr) {
      const auto [place, is_new] = index_of.try_emplace(node, entered.size());
      if (!is_new) return place->second;
    }
    entered.push_back({.node = node, .field = std::move(field)});
    return entered.size() - 1;
  }

  void add(const toml::source_region& source, std::string field, std::string what, std::string remedy) {
    const auto same = [&](const base::Problem& p) { return p.field == field && p.what == what; };
    if (problems.size() >= kMostProblems || std::ranges::any_of(problems, same)) return;
    base::Problem problem{.file = name,
                          .line = static_cast<int>(source.begin.line),
                          .column = static_cast<int>(source.begin.column),
                          .field = std::move(field),
                          .what = std::move(what),
                          .remedy = std::move(remedy)};
    // In the order of the file's lines, whatever the order in which the reader asks.
    const auto place = [](const base::Problem& p) { return std::pair(p.line, p.column); };
    const auto after = std::ranges::upper_bound(problems, place(problem), {}, place);
    problems.insert(after, std::move(problem));
  }

  void wrong_kind(const toml::node& node, const std::string& field, const std::string& wanted_text) {
    const std::string value = value_of(node);
    add(node.source(), field, std::string(kind_of(node)) + (value.empty() ? "" : " (" + value + ")") + " is given",
        "Give " + wanted_text);
  }

  void missing(const Entered& table, std::string field, const std::string& wanted_text) {
    // The root has no line of its own.
    const toml::source_region source = table.node == &root ? toml::source_region{} : table.node->source();
    add(source, std::move(field), "it is missing", "Give " + wanted_text);
  }

  /// Walks the dotted path and marks what it passes as used. Adds a problem where a required value is missing.
  Found find(std::size_t index, std::string_view path, Need need, const std::string& wanted_text) {
    while (true) {
      Entered& table = entered[index];
      const std::size_t dot = path.find('.');
      const std::string_view key = path.substr(0, dot);
      std::string field = joined(table.field, path);
      if (table.node == nullptr) return {nullptr, std::move(field)};
      table.known.emplace(key);
      const toml::node* node = table.node->get(key);
      if (node == nullptr) {
        if (need == Need::kRequired) missing(table, field, wanted_text);
        return {nullptr, std::move(field)};
      }
      table.used.emplace(key);
      if (dot == std::string_view::npos) return {node, std::move(field)};
      const std::string inner = joined(table.field, key);
      if (!node->is_table()) {
        wrong_kind(*node, inner, "a table, [" + inner + "]");
        return {nullptr, std::move(field)};
      }
      index = enter(node->as_table(), inner);
      path = path.substr(dot + 1);
    }
  }

  std::optional<double> number_in(const toml::node& node, const std::string& field, const Limits& limits) {
    const bool is_number = node.is_integer() || node.is_floating_point();
    if (!is_number) {
      wrong_kind(node, field, wanted(limits));
      return std::nullopt;
    }
    const double value =
        node.is_integer() ? static_cast<double>(node.as_integer()->get()) : node.as_floating_point()->get();
    if (auto what = against_limits(value, limits)) {
      add(node.source(), field, *std::move(what), "Give " + wanted(limits));
      return std::nullopt;
    }
    return value;
  }

  std::optional<double> number(std::size_t index, std::string_view path, const Limits& limits, Need need) {
    const Found found = find(index, path, need, wanted(limits));
    if (found.node == nullptr) return std::nullopt;
    return number_in(*found.node, found.field, limits);
  }

  std::optional<std::int64_t> whole(std::size_t index, std::string_view path, std::int64_t at_least,
                                    std::int64_t at_most, Need need) {
    const std::string wanted_text =
        "a whole number from " + std::to_string(at_least) + " to " + std::to_string(at_most);
    const Found found = find(index, path, need, wanted_text);
    if (found.node == nullptr) return std::nullopt;
    if (!found.node->is_integer()) {
      wrong_kind(*found.node, found.field, wanted_text);
      return std::nullopt;
    }
    const std::int64_t value = found.node->as_integer()->get();
    if (value < at_least || value > at_most) {
      add(found.node->source(), found.field,
          std::to_string(value) + " is outside " + std::to_string(at_least) + " to " + std::to_string(at_most),
          "Give " + wanted_text);
      return std::nullopt;
    }
    return value;
  }

  std::optional<std::string> text_in(const toml::node& node, const std::string& field, const std::string& wanted_text) {
    if (!node.is_string()) {
      wrong_kind(node, field, wanted_text);
      return std::nullopt;
    }
    const std::string& value = node.as_string()->get();
    const auto is_control = [](unsigned char c) { return c < 0x20 || c == 0x7f; };
    std::string what;
    if (value.empty()) what = "the text is empty";
    if (value.size() > kMostTextBytes) {
      what = "the text has " + std::to_string(value.size()) + " bytes, more than " + std::to_string(kMostTextBytes);
    } else if (std::ranges::any_of(value, is_control)) {
      what = "the text holds a control character or a line break";
    }
    if (what.empty()) return value;
    add(node.source(), field, std::move(what), "Give " + wanted_text);
    return std::nullopt;
  }

  std::optional<std::string> text(std::size_t index, std::string_view path, Need need,
                                  const std::string& wanted_text = "text in quotes, on one line") {
    const Found found = find(index, path, need, wanted_text);
    if (found.node == nullptr) return std::nullopt;
    return text_in(*found.node, found.field, wanted_text);
  }

  std::optional<bool> flag(std::size_t index, std::string_view path, Need need) {
    const Found found = find(index, path, need, "true or false");
    if (found.node == nullptr) return std::nullopt;
    if (found.node->is_boolean()) return found.node->as_boolean()->get();
    wrong_kind(*found.node, found.field, "true or false");
    return std::nullopt;
  }

  std::optional<std::size_t> word(std::size_t index, std::string_view path, const std::vector<std::string_view>& words,
                                  Need need) {
    const std::string wanted_text = "one of: " + list_of(words);
    const Found found = find(index, path, need, wanted_text);
    if (found.node == nullptr) return std::nullopt;
    const auto value = text_in(*found.node, found.field, wanted_text);
    if (!value) return std::nullopt;
    const auto place = std::ranges::find(words, std::string_view(*value));
    if (place != words.end()) return static_cast<std::size_t>(place - words.begin());
    add(found.node->source(), found.field, "\"" + value_of(*found.node) + "\" is not known here",
        "Give " + wanted_text);
    return std::nullopt;
  }

  /// An array whose length is right, or null after a problem.
  const toml::array* array(const Found& found, Count count, const std::string& wanted_text) {
    if (found.node == nullptr) return nullptr;
    const toml::array* elements = found.node->as_array();
    if (elements == nullptr) {
      wrong_kind(*found.node, found.field, wanted_text);
      return nullptr;
    }
    if (elements->size() >= count.at_least && elements->size() <= count.at_most) return elements;
    add(found.node->source(), found.field,
        std::to_string(elements->size()) + " given, where " + std::to_string(count.at_least) + " to " +
            std::to_string(count.at_most) + " may be",
        "Give " + wanted_text);
    return nullptr;
  }

  /// Every element by `read(node, field)`; nothing when any of them is wrong.
  template <class T, class Read>
  std::optional<std::vector<T>> elements(const Found& found, Count count, const std::string& wanted_text,
                                         const Read& read) {
    const toml::array* nodes = array(found, count, wanted_text);
    if (nodes == nullptr) return std::nullopt;
    std::vector<T> values;
    std::size_t place = 0;
    for (const toml::node& node : *nodes) {
      auto value = read(node, found.field + '[' + std::to_string(++place) + ']');
      if (value) values.push_back(*std::move(value));
    }
    if (values.size() != place) return std::nullopt;
    return values;
  }

  void add_unused(std::size_t index) {
    const Entered& table = entered[index];
    std::vector<std::string> not_given;
    for (const std::string& known : table.known) {
      if (table.node->get(known) == nullptr) not_given.push_back(known);
    }
    for (const auto& [key, node] : *table.node) {
      const std::string_view key_text = key.str();
      const std::string field = joined(table.field, key_text);
      if (!table.used.contains(key_text)) {
        add(key.source(), field, "this key is not used", remedy_for_unknown(key_text, not_given));
        continue;
      }
      if (node.is_table()) add_unused_in(node);
      if (const toml::array* nodes = node.as_array()) {
        for (const toml::node& element : *nodes) add_unused_in(element);
      }
    }
  }

  void add_unused_in(const toml::node& node) {
    const auto place = index_of.find(node.as_table());
    if (node.is_table() && place != index_of.end()) add_unused(place->second);
  }
};

bool TomlTable::has(std::string_view path) const {
  std::size_t index = index_;
  while (true) {
    auto& table = state_->entered[index];
    if (table.node == nullptr) return false;
    const std::size_t dot = path.find('.');
    const std::string_view key = path.substr(0, dot);
    table.known.emplace(key);
    const toml::node* node = table.node->get(key);
    if (node == nullptr) return false;
    if (dot == std::string_view::npos) return true;
    if (!node->is_table()) return false;
    index = state_->enter(node->as_table(), joined(table.field, key));
    path = path.substr(dot + 1);
  }
}

Shape TomlTable::shape(std::string_view path) const {
  const auto& table = state_->entered[index_];
  const toml::node* node = table.node == nullptr ? nullptr : table.node->at_path(path).node();
  if (node == nullptr) return Shape::kAbsent;
  if (node->is_table()) return Shape::kTable;
  if (node->is_array_of_tables()) return Shape::kTables;
  if (node->is_number()) return Shape::kNumber;
  return node->is_array() ? Shape::kOtherArray : Shape::kOther;
}

double TomlTable::number(std::string_view path, const Limits& limits) const {
  return state_->number(index_, path, limits, Need::kRequired).value_or(stand_in(limits));
}
std::optional<double> TomlTable::optional_number(std::string_view path, const Limits& limits) const {
  return state_->number(index_, path, limits, Need::kOptional);
}

std::int64_t TomlTable::whole(std::string_view path, std::int64_t at_least, std::int64_t at_most) const {
  return state_->whole(index_, path, at_least, at_most, Need::kRequired).value_or(at_least);
}
std::optional<std::int64_t> TomlTable::optional_whole(std::string_view path, std::int64_t at_least,
                                                      std::int64_t at_most) const {
  return state_->whole(index_, path, at_least, at_most, Need::kOptional);
}

std::string TomlTable::text(std::string_view path) const {
  return state_->text(index_, path, Need::kRequired).value_or("");
}
std::optional<std::string> TomlTable::optional_text(std::string_view path) const {
  return state_->text(index_, path, Need::kOptional);
}

std::string TomlTable::text_or_empty(std::string_view path) const {
  const std::string wanted_text = "text in quotes, on one line";
  const auto found = state_->find(index_, path, Need::kRequired, wanted_text);
  if (found.node == nullptr) return "";
  if (found.node->is_string() && found.node->as_string()->get().empty()) return "";
  return state_->text_in(*found.node, found.field, wanted_text).value_or("");
}

bool TomlTable::flag(std::string_view path) const {
  return state_->flag(index_, path, Need::kRequired).value_or(false);
}
std::optional<bool> TomlTable::optional_flag(std::string_view path) const {
  return state_->flag(index_, path, Need::kOptional);
}

std::string TomlTable::choice(std::string_view path, std::initializer_list<std::string_view> words) const {
  return std::string(std::data(words)[word_index(path, words, true).value_or(0)]);
}
std::optional<std::string> TomlTable::optional_choice(std::string_view path,
                                                      std::initializer_list<std::string_view> words) const {
  const auto index = word_index(path, words, false);
  if (!index) return std::nullopt;
  return std::string(std::data(words)[*index]);
}
std::optional<std::size_t> TomlTable::word_index(std::string_view path, const std::vector<std::string_view>& words,
                                                 bool required) const {
  return state_->word(index_, path, words, required ? Need::kRequired : Need::kOptional);
}

namespace {

/// Numbers and texts differ only in how an element is read.
template <class State>
std::optional<std::vector<double>> read_numbers(State& state, std::size_t index, std::string_view path,
                                                const Limits& limits, Count count, Need need) {
  const std::string wanted_text = "an array, each " + wanted(limits);
  return state.template elements<double>(
      state.find(index, path, need, wanted_text), count, wanted_text,
      [&](const toml::node& node, const std::string& field) { return state.number_in(node, field, limits); });
}

template <class State>
std::optional<std::vector<std::string>> read_texts(State& state, std::size_t index, std::string_view path, Count count,
                                                   Need need) {
  const std::string wanted_text = "an array of texts in quotes";
  return state.template elements<std::string>(
      state.find(index, path, need, wanted_text), count, wanted_text,
      [&](const toml::node& node, const std::string& field) { return state.text_in(node, field, "text in quotes"); });
}

}  // namespace

std::vector<double> TomlTable::numbers(std::string_view path, const Limits& limits, Count count) const {
  return read_numbers(*state_, index_, path, limits, count, Need::kRequired).value_or(std::vector<double>{});
}
std::optional<std::vector<double>> TomlTable::optional_numbers(std::string_view path, const Limits& limits,
                                                               Count count) const {
  return read_numbers(*state_, index_, path, limits, count, Need::kOptional);
}

std::vector<std::string> TomlTable::texts(std::string_view path, Count count) const {
  return read_texts(*state_, index_, path, count, Need::kRequired).value_or(std::vector<std::string>{});
}
std::optional<std::vector<std::string>> TomlTable::optional_texts(std::string_view path, Count count) const {
  return read_texts(*state_, index_, path, count, Need::kOptional);
}

std::optional<TomlTable> TomlTable::optional_table(std::string_view path) const {
  const auto found = state_->find(index_, path, Need::kOptional, "");
  if (found.node == nullptr) return std::nullopt;
  if (found.node->is_table()) return TomlTable(state_, state_->enter(found.node->as_table(), found.field));
  state_->wrong_kind(*found.node, found.field, "a table, [" + found.field + "]");
  return std::nullopt;
}

TomlTable TomlTable::table(std::string_view path) const {
  const std::string field = joined(state_->entered[index_].field, path);
  if (state_->find(index_, path, Need::kRequired, "a table, [" + field + "]").node != nullptr) {
    if (auto table = optional_table(path)) return *std::move(table);
  }
  return {state_, state_->enter(nullptr, field)};
}

std::vector<TomlTable> TomlTable::tables(std::string_view path, Count count) const {
  const std::string field = joined(state_->entered[index_].field, path);
  const std::string wanted_text = "tables, each under [[" + field + "]]";
  const auto found = state_->find(index_, path, count.at_least > 0 ? Need::kRequired : Need::kOptional, wanted_text);
  const toml::array* nodes = state_->array(found, count, wanted_text);
  std::vector<TomlTable> tables;
  if (nodes == nullptr) return tables;
  std::size_t place = 0;
  for (const toml::node& node : *nodes) {
    const std::string element = field + '[' + std::to_string(++place) + ']';
    if (node.is_table()) {
      tables.push_back(TomlTable(state_, state_->enter(node.as_table(), element)));
    } else {
      state_->wrong_kind(node, element, wanted_text);
    }
  }
  return tables;
}

std::optional<std::filesystem::path> TomlTable::optional_file(std::string_view path) const {
  const auto text = state_->text(index_, path, Need::kOptional, "the name of a file, relative to this one");
  if (!text) return std::nullopt;
  return (state_->folder / std::filesystem::path(*text)).lexically_normal();
}

std::filesystem::path TomlTable::file(std::string_view path) const {
  const auto text = state_->text(index_, path, Need::kRequired, "the name of a file, relative to this one");
  return text ? (state_->folder / std::filesystem::path(*text)).lexically_normal() : std::filesystem::path{};
}

std::vector<std::string> TomlTable::keys() const {
  const toml::table* table = state_->entered[index_].node;
  std::vector<std::pair<toml::source_position, std::string>> placed;
  if (table != nullptr) {
    for (const auto& [key, node] : *table) placed.emplace_back(key.source().begin, key.str());
  }
  std::ranges::sort(placed, [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<std::string> names;
  names.reserve(placed.size());
  for (auto& [place, key] : placed) names.push_back(std::move(key));
  return names;
}

void TomlTable::refuse(std::string_view path, std::string what, std::string remedy) const {
  const auto& table = state_->entered[index_];
  if (table.node == nullptr) return;
  const toml::node* node = path.empty() ? nullptr : table.node->at_path(path).node();
  const toml::node& at = node == nullptr ? static_cast<const toml::node&>(*table.node) : *node;
  const bool is_root = &at == &state_->root;
  state_->add(is_root ? toml::source_region{} : at.source(), joined(table.field, path), std::move(what),
              std::move(remedy));
}

TomlDocument TomlDocument::open(const std::filesystem::path& path) {
  try {
    return parse(base::read_file(path, kMostBytes), path.string(), path.parent_path());
  } catch (const base::InputError& error) {
    auto state = std::make_shared<TomlTable::State>(TomlTable::State{.name = path.string(), .folder = {}});
    state->problems = error.problems();
    state->readable = false;
    state->enter(nullptr, "");
    return TomlDocument(std::move(state));
  }
}

TomlDocument TomlDocument::parse(std::string_view text, std::string name, std::filesystem::path folder) {
  auto state =
      std::make_shared<TomlTable::State>(TomlTable::State{.name = std::move(name), .folder = std::move(folder)});
  const auto unreadable = [&](const toml::source_region& source, std::string what, std::string remedy) {
    state->add(source, "", std::move(what), std::move(remedy));
    state->readable = false;
    state->enter(nullptr, "");
    return TomlDocument(std::move(state));
  };
  if (text.size() > kMostBytes) {
    return unreadable(
        {}, std::to_string(text.size()) + " bytes is more than the " + std::to_string(kMostBytes) + " that are read",
        "Give a smaller file");
  }
  toml::parse_result result = toml::parse(text);
  if (!result) {
    return unreadable(result.error().source(), std::string(result.error().description()),
                      "Mend the line; the file is TOML: key = value under [table] headings");
  }
  state->root = std::move(result).table();
  state->enter(&state->root, "");
  return TomlDocument(std::move(state));
}

TomlTable TomlDocument::root() const { return {state_, 0}; }

const base::Problems& TomlDocument::problems() const { return state_->problems; }

base::Problems TomlDocument::finish() {
  if (state_->readable) state_->add_unused(0);
  return state_->problems;
}

}  // namespace throughcure::exchange
