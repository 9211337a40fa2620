#include "throughcure/store/waiting_rows.hpp"

#include <algorithm>
#include <bit>
#include <span>
#include <utility>

namespace throughcure::store {

namespace {

constexpr std::size_t kMostAtOnce = 64;

std::string insert_text(const Into& into, std::size_t rows) {
  std::string sql = "INSERT INTO " + into.table + " (";
  for (std::size_t i = 0; i < into.columns.size(); ++i) sql.append(i == 0 ? "" : ", ").append(into.columns[i]);
  sql += ") VALUES ";
  std::size_t place = 0;
  for (std::size_t row = 0; row < rows; ++row) {
    sql += row == 0 ? "(" : ", (";
    for (std::size_t i = 0; i < into.columns.size(); ++i) {
      sql.append(i == 0 ? ":v" : ", :v").append(std::to_string(place++));
    }
    sql += ")";
  }
  return sql;
}

}  // namespace

void WaitingRows::add(const Into& into, std::vector<base::Value> row) {
  std::shared_ptr<const Into>& known = tables_[into.table];
  if (!known) known = std::make_shared<const Into>(into);
  rows_.push_back({known, std::move(row)});
}

bool WaitingRows::named_in(const std::string& sql) const {
  if (rows_.empty()) return false;
  return std::ranges::any_of(tables_, [&](const auto& table) {
    return sql.find(table.first) != std::string::npos &&
           std::ranges::any_of(rows_, [&](const Row& row) { return row.into == table.second; });
  });
}

WaitingRows WaitingRows::first(std::size_t count) const {
  WaitingRows some = *this;
  some.cut(count);
  return some;
}

void WaitingRows::each_statement(const std::function<void(const Statement&)>& take) const {
  for (const auto& [name, into] : tables_) {
    std::vector<const Row*> of_table;
    for (const Row& row : rows_) {
      if (row.into == into) of_table.push_back(&row);
    }
    std::span<const Row* const> left(of_table);
    while (!left.empty()) {
      const std::size_t count = std::min(kMostAtOnce, std::bit_floor(left.size()));
      Statement statement{.sql = insert_text(*into, count), .types = {}, .values = {}};
      for (const Row* const row : left.first(count)) {
        statement.types.insert(statement.types.end(), into->types.begin(), into->types.end());
        statement.values.insert(statement.values.end(), row->values.begin(), row->values.end());
      }
      take(statement);
      left = left.subspan(count);
    }
  }
}

}  // namespace throughcure::store
