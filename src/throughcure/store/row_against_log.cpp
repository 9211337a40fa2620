#include "throughcure/store/row_against_log.hpp"

#include <algorithm>
#include <cstddef>
#include <optional>
#include <utility>
#include <variant>

#include "throughcure/store/logged_text.hpp"

namespace throughcure::store {

namespace {

const practice::Field* field_called(const practice::Fields& fields, std::string_view name) {
  const auto at = std::ranges::find_if(fields, [&](const practice::Field& field) { return field.name == name; });
  return at == fields.end() ? nullptr : &*at;
}

/// A database may keep a nought without its sign.
std::string_view without_sign_of_nought(std::string_view text) { return text == "-0" ? "0" : text; }

/// What keeps the value from being what the field says; empty where it is that.
std::string fault_of(const practice::Field& said, const base::Value& value, const SaltsOfChange& salts) {
  const auto not_as_logged = [&] { return said.name + " is not what the log says"; };
  const std::optional<std::string> text = logged_text(value);
  if (!text) return not_as_logged();
  if (const auto* const plain = std::get_if<std::string>(&said.value)) {
    return without_sign_of_nought(*plain) == without_sign_of_nought(*text) ? "" : not_as_logged();
  }
  const auto salt = salts.find(said.name);
  if (salt == salts.end()) return said.name + " cannot be held against the log, as its salt is gone";
  const bool opened = practice::opens(std::get<practice::Commitment>(said.value), {salt->second, *text});
  return opened ? "" : not_as_logged();
}

bool is_nothing(const base::Value& value) { return std::holds_alternative<std::monostate>(value); }

}  // namespace

std::vector<std::string> against_change(const LoggedKind& kind, const Row& row, const Row* before,
                                        const practice::Change& change, const SaltsOfChange& salts) {
  std::vector<std::string> faults;
  const std::vector<base::Column>& columns = kind.table.columns;
  for (std::size_t i = 0; i < columns.size(); ++i) {
    const std::string name(columns[i].name);
    const base::Value& value = row.values[i];
    if (const practice::Field* const said = field_called(change.after, name)) {
      std::string fault = fault_of(*said, value, salts);
      if (!fault.empty()) faults.push_back(std::move(fault));
      continue;
    }
    const bool was_taken_away = before != nullptr && field_called(change.before, name) != nullptr;
    const bool is_as_it_was = before != nullptr && value == before->values[i];
    const bool is_as_made = before == nullptr && !columns[i].optional && value == kind.fresh[i];
    if (was_taken_away ? is_nothing(value) : is_as_it_was || is_as_made || (before == nullptr && is_nothing(value))) {
      continue;
    }
    faults.push_back(name + " is not what the log says");
  }
  for (const practice::Field& said : change.after) {
    if (std::ranges::find(columns, said.name, &base::Column::name) == columns.end()) {
      faults.push_back("the log says something of " + said.name + ", which is not kept");
    }
  }
  return faults;
}

}  // namespace throughcure::store
