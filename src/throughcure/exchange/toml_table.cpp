#include "throughcure/exchange/toml_table.hpp"

#include <algorithm>
#include <string>

#include "throughcure/exchange/field_text.hpp"
#include "throughcure/exchange/toml_state.hpp"
#include "throughcure/exchange/toml_values.hpp"

namespace throughcure::exchange {

namespace {

constexpr const char* kTextWanted = "text in quotes, on one line";
constexpr const char* kFileWanted = "the name of a file, relative to this one";

std::optional<double> read_number(TomlState& state, std::size_t index, std::string_view path, const Limits& limits,
                                  Need need) {
  return number_of(state, state.find(index, path, need, wanted(limits)), limits);
}

std::optional<std::int64_t> read_whole(TomlState& state, std::size_t index, std::string_view path,
                                       std::int64_t at_least, std::int64_t at_most, Need need) {
  const std::string wanted_text = "a whole number from " + std::to_string(at_least) + " to " + std::to_string(at_most);
  return whole_of(state, state.find(index, path, need, wanted_text), at_least, at_most, wanted_text);
}

std::optional<std::string> read_text(TomlState& state, std::size_t index, std::string_view path, Need need,
                                     const std::string& wanted_text = kTextWanted) {
  return text_of(state, state.find(index, path, need, wanted_text), wanted_text);
}

std::optional<bool> read_flag(TomlState& state, std::size_t index, std::string_view path, Need need) {
  const std::string wanted_text = "true or false";
  return flag_of(state, state.find(index, path, need, wanted_text), wanted_text);
}

std::optional<std::vector<double>> read_numbers(TomlState& state, std::size_t index, std::string_view path,
                                                const Limits& limits, Count count, Need need) {
  const std::string wanted_text = "an array, each " + wanted(limits);
  return elements_of<double>(state, state.find(index, path, need, wanted_text), count, wanted_text,
                             [&](const TomlValue& element) { return number_of(state, element, limits); });
}

std::optional<std::vector<std::string>> read_texts(TomlState& state, std::size_t index, std::string_view path,
                                                   Count count, Need need) {
  const std::string wanted_text = "an array of texts in quotes";
  return elements_of<std::string>(state, state.find(index, path, need, wanted_text), count, wanted_text,
                                  [&](const TomlValue& element) { return text_of(state, element, "text in quotes"); });
}

std::optional<std::filesystem::path> read_file_name(TomlState& state, std::size_t index, std::string_view path,
                                                    Need need) {
  const auto text = read_text(state, index, path, need, kFileWanted);
  if (!text) return std::nullopt;
  return (state.folder() / std::filesystem::path(*text)).lexically_normal();
}

}  // namespace

bool TomlTable::has(std::string_view path) const { return state_->has(index_, path); }

Shape TomlTable::shape(std::string_view path) const {
  const TomlState::Entered& table = state_->entered(index_);
  const toml::node* node = table.node == nullptr ? nullptr : table.node->at_path(path).node();
  if (node == nullptr) return Shape::kAbsent;
  if (node->is_table()) return Shape::kTable;
  if (node->is_array_of_tables()) return Shape::kTables;
  if (node->is_number()) return Shape::kNumber;
  return node->is_array() ? Shape::kOtherArray : Shape::kOther;
}

double TomlTable::number(std::string_view path, const Limits& limits) const {
  return read_number(*state_, index_, path, limits, Need::kRequired).value_or(stand_in(limits));
}
std::optional<double> TomlTable::optional_number(std::string_view path, const Limits& limits) const {
  return read_number(*state_, index_, path, limits, Need::kOptional);
}

std::int64_t TomlTable::whole(std::string_view path, std::int64_t at_least, std::int64_t at_most) const {
  return read_whole(*state_, index_, path, at_least, at_most, Need::kRequired).value_or(at_least);
}
std::optional<std::int64_t> TomlTable::optional_whole(std::string_view path, std::int64_t at_least,
                                                      std::int64_t at_most) const {
  return read_whole(*state_, index_, path, at_least, at_most, Need::kOptional);
}

std::string TomlTable::text(std::string_view path) const {
  return read_text(*state_, index_, path, Need::kRequired).value_or("");
}
std::optional<std::string> TomlTable::optional_text(std::string_view path) const {
  return read_text(*state_, index_, path, Need::kOptional);
}

std::string TomlTable::text_or_empty(std::string_view path) const {
  const TomlValue found = state_->find(index_, path, Need::kRequired, kTextWanted);
  if (found.node == nullptr) return "";
  if (found.node->is_string() && found.node->as_string()->get().empty()) return "";
  return text_of(*state_, found, kTextWanted).value_or("");
}

bool TomlTable::flag(std::string_view path) const {
  return read_flag(*state_, index_, path, Need::kRequired).value_or(false);
}
std::optional<bool> TomlTable::optional_flag(std::string_view path) const {
  return read_flag(*state_, index_, path, Need::kOptional);
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
std::size_t TomlTable::choice_among(std::string_view path, const std::vector<std::string_view>& words) const {
  return word_index(path, words, true).value_or(0);
}
std::optional<std::size_t> TomlTable::word_index(std::string_view path, const std::vector<std::string_view>& words,
                                                 bool required) const {
  const std::string wanted_text = "one of: " + list_of(words);
  const Need need = required ? Need::kRequired : Need::kOptional;
  return word_of(*state_, state_->find(index_, path, need, wanted_text), words, wanted_text);
}

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
  state_->wrong_kind(found, table_words(state_->notation(), found.field));
  return std::nullopt;
}

TomlTable TomlTable::table(std::string_view path) const {
  const std::string field = joined_field(state_->entered(index_).field, path);
  if (state_->find(index_, path, Need::kRequired, table_words(state_->notation(), field)).node != nullptr) {
    if (auto table = optional_table(path)) return *std::move(table);
  }
  return {state_, state_->enter(nullptr, field)};
}

TomlTable TomlTable::table_or_empty(std::string_view path) const {
  if (auto table = optional_table(path)) return *std::move(table);
  return {state_, state_->enter(nullptr, joined_field(state_->entered(index_).field, path))};
}

std::vector<TomlTable> TomlTable::tables(std::string_view path, Count count) const {
  const std::string field = joined_field(state_->entered(index_).field, path);
  const std::string wanted_text = tables_words(state_->notation(), field);
  const auto found = state_->find(index_, path, count.at_least > 0 ? Need::kRequired : Need::kOptional, wanted_text);
  const toml::array* nodes = array_of(*state_, found, count, wanted_text);
  std::vector<TomlTable> tables;
  if (nodes == nullptr) return tables;
  std::size_t place = 0;
  for (const toml::node& node : *nodes) {
    const std::string element = field + '[' + std::to_string(++place) + ']';
    if (node.is_table()) {
      tables.push_back(TomlTable(state_, state_->enter(node.as_table(), element)));
    } else {
      state_->wrong_kind({&node, element}, wanted_text);
    }
  }
  return tables;
}

std::filesystem::path TomlTable::file(std::string_view path) const {
  return read_file_name(*state_, index_, path, Need::kRequired).value_or(std::filesystem::path{});
}
std::optional<std::filesystem::path> TomlTable::optional_file(std::string_view path) const {
  return read_file_name(*state_, index_, path, Need::kOptional);
}

std::vector<std::string> TomlTable::keys() const {
  const toml::table* table = state_->entered(index_).node;
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
  const TomlState::Entered& table = state_->entered(index_);
  if (table.node == nullptr) return;
  const toml::node* node = path.empty() ? nullptr : table.node->at_path(path).node();
  const toml::node& at = node == nullptr ? static_cast<const toml::node&>(*table.node) : *node;
  const bool is_root = &at == &state_->root();
  state_->add(is_root ? toml::source_region{} : at.source(), joined_field(table.field, path), std::move(what),
              std::move(remedy));
}

}  // namespace throughcure::exchange
