#include "throughcure/desk/touched.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <string_view>

#include "throughcure/base/number_text.hpp"
#include "throughcure/desk/scope.hpp"

namespace throughcure::desk {

namespace {

/// A number that a side of a change holds.
std::optional<std::int64_t> number_in(const practice::Fields& side, std::string_view field) {
  const auto at = std::ranges::find(side, field, &practice::Field::name);
  if (at == side.end()) return std::nullopt;
  const auto* const text = std::get_if<std::string>(&at->value);
  return text == nullptr ? std::nullopt : base::whole_number(*text);
}

/// The lights that a record names before the change, after it and now.
void touch_named(const store::Reader& reader, const practice::Change& change, Touched& touched) {
  for (const practice::Fields* const side : {&change.before, &change.after}) {
    if (const auto light = number_in(*side, "light")) touched.lights.insert(*light);
  }
  const store::Table& table = *table_called(change.kind);
  const auto row = reader.newest(table, base::whole_number(change.record).value_or(0));
  if (!row) return;
  const auto column = std::ranges::find(table.columns, "light", &base::Column::name);
  if (const auto* const light =
          std::get_if<std::int64_t>(&row->values[static_cast<std::size_t>(column - table.columns.begin())])) {
    touched.lights.insert(*light);
  }
}

}  // namespace

void Touched::add(const store::Reader& reader, const practice::Change& change) {
  constexpr std::array<std::string_view, 5> of_all = {"radiometer", "certificate", "barrier", "room", "site"};
  const bool is_new = begins_a_record(change);
  const std::int64_t record = base::whole_number(change.record).value_or(0);
  if (change.kind == "reading" && is_new) {
    new_readings[number_in(change.after, "light").value_or(0)].push_back(record);
  } else if (change.kind == "reading" || change.kind == "tip" || change.kind == "servicing") {
    touch_named(reader, change, *this);
  } else if (change.kind == "light") {
    lights.insert(record);
  } else if (change.kind == "attachment") {
    // Whatever it hung on before, and hangs on now.
    all = all || !is_new;
    lights.insert(number_in(change.after, "record").value_or(0));
  } else if (change.kind == "setting") {
    policy = true;
  } else if (std::ranges::find(of_all, change.kind) != of_all.end()) {
    all = true;
  }
}

void Touched::settle() {
  std::erase_if(new_readings, [&](const auto& of_light) { return lights.contains(of_light.first); });
}

}  // namespace throughcure::desk
