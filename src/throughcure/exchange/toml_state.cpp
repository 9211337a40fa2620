#include "throughcure/exchange/toml_state.hpp"

#include <algorithm>
#include <locale>
#include <sstream>
#include <vector>

#include "throughcure/exchange/field_text.hpp"
#include "throughcure/exchange/nearest_name.hpp"

namespace throughcure::exchange {

namespace {

constexpr std::size_t kMostProblems = 200;

std::string_view kind_of(const toml::node& node, Notation notation) {
  switch (node.type()) {
    case toml::node_type::table:
      return notation == Notation::kJson ? "an object" : "a table";
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

}  // namespace

std::string shown_value(const toml::node& node) {
  if (node.is_table() || node.is_array()) return "";
  std::ostringstream text;
  text.imbue(std::locale::classic());
  if (node.is_string()) {
    text << node.as_string()->get();
  } else {
    node.visit([&](const auto& value) { text << value; });
  }
  return cut_short(text.str());
}

void TomlState::take(toml::table root) {
  root_ = std::move(root);
  enter(&root_, "");
}

void TomlState::take_unreadable() {
  readable_ = false;
  enter(nullptr, "");
}

std::size_t TomlState::enter(const toml::table* node, std::string field) {
  if (node != nullptr) {
    const auto [place, is_new] = index_of_.try_emplace(node, entered_.size());
    if (!is_new) return place->second;
  }
  entered_.push_back({.node = node, .field = std::move(field)});
  return entered_.size() - 1;
}

TomlValue TomlState::find(std::size_t index, std::string_view path, Need need, const std::string& wanted_text) {
  while (true) {
    Entered& table = entered_[index];
    const std::size_t dot = path.find('.');
    const std::string_view key = path.substr(0, dot);
    std::string field = joined_field(table.field, path);
    if (table.node == nullptr) return {nullptr, std::move(field)};
    table.known.emplace(key);
    const toml::node* node = table.node->get(key);
    if (node == nullptr) {
      if (need == Need::kRequired) missing(table, field, wanted_text);
      return {nullptr, std::move(field)};
    }
    table.used.emplace(key);
    if (dot == std::string_view::npos) return {node, std::move(field)};
    const std::string inner = joined_field(table.field, key);
    if (!node->is_table()) {
      wrong_kind({node, inner}, table_words(notation_, inner));
      return {nullptr, std::move(field)};
    }
    index = enter(node->as_table(), inner);
    path = path.substr(dot + 1);
  }
}

bool TomlState::has(std::size_t index, std::string_view path) {
  while (true) {
    Entered& table = entered_[index];
    if (table.node == nullptr) return false;
    const std::size_t dot = path.find('.');
    const std::string_view key = path.substr(0, dot);
    table.known.emplace(key);
    const toml::node* node = table.node->get(key);
    if (node == nullptr) return false;
    if (dot == std::string_view::npos) return true;
    if (!node->is_table()) return false;
    index = enter(node->as_table(), joined_field(table.field, key));
    path = path.substr(dot + 1);
  }
}

void TomlState::add(const toml::source_region& source, std::string field, std::string what, std::string remedy) {
  add({.file = name_,
       .line = static_cast<int>(source.begin.line),
       .column = static_cast<int>(source.begin.column),
       .field = cut_short(std::move(field), kMostFieldBytes),
       .what = std::move(what),
       .remedy = std::move(remedy)});
}

void TomlState::add(base::Problem problem) {
  const auto same = [&](const base::Problem& p) { return p.field == problem.field && p.what == problem.what; };
  if (problems_.size() >= kMostProblems || std::ranges::any_of(problems_, same)) return;
  // In the order of the file's lines, whatever the order in which the reader asks.
  const std::pair place(problem.line, problem.column);
  const auto after = std::ranges::upper_bound(places_, place);
  if (notation_ == Notation::kJson) problem.line = problem.column = 0;
  problems_.insert(problems_.begin() + (after - places_.begin()), std::move(problem));
  places_.insert(after, place);
}

void TomlState::wrong_kind(const TomlValue& value, const std::string& wanted_text) {
  const std::string shown = shown_value(*value.node);
  add(value.node->source(), value.field,
      std::string(kind_of(*value.node, notation_)) + (shown.empty() ? "" : " (" + shown + ")") + " is given",
      "Give " + wanted_text);
}

void TomlState::missing(const Entered& table, std::string field, const std::string& wanted_text) {
  // The root has no line of its own.
  const toml::source_region source = table.node == &root_ ? toml::source_region{} : table.node->source();
  add(source, std::move(field), "it is missing", "Give " + wanted_text);
}

void TomlState::add_unused() {
  if (readable_) add_unused_of(0);
}

void TomlState::add_unused_of(std::size_t index) {
  const Entered& table = entered_[index];
  std::vector<std::string> not_given;
  for (const std::string& known : table.known) {
    if (table.node->get(known) == nullptr) not_given.push_back(known);
  }
  for (const auto& [key, node] : *table.node) {
    if (problems_.size() >= kMostProblems) return;
    const std::string_view key_text = key.str();
    const std::string field = joined_field(table.field, key_text);
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

void TomlState::add_unused_in(const toml::node& node) {
  const auto place = index_of_.find(node.as_table());
  if (node.is_table() && place != index_of_.end()) add_unused_of(place->second);
}

}  // namespace throughcure::exchange
