#include <algorithm>
#include <limits>
#include <string>
#include <utility>

#include "throughcure/base/base64.hpp"
#include "throughcure/base/hex.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/practice/change_reader.hpp"
#include "throughcure/store/session.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::store {

namespace {

using base::ValueType;

constexpr std::size_t kOwn = 3;  // id, revision, change stand before a kind's own columns

std::string column_list(const Table& table) {
  std::string list = "id, revision, change";
  for (const base::Column& column : table.columns) list.append(", ").append(column.name);
  return list;
}

Types types_of(const Table& table) {
  Types types(kOwn, ValueType::kWhole);
  for (const base::Column& column : table.columns) types.push_back(column.type);
  return types;
}

std::vector<Row> rows_of(std::vector<Values> found) {
  std::vector<Row> rows;
  rows.reserve(found.size());
  for (Values& values : found) {
    rows.push_back({std::get<std::int64_t>(values[0]),
                    std::get<std::int64_t>(values[1]),
                    std::get<std::int64_t>(values[2]),
                    {std::make_move_iterator(values.begin() + kOwn), std::make_move_iterator(values.end())}});
  }
  return rows;
}

/// Names go into the SQL: only those of columns may.
std::string checked(const Table& table, const std::string& column) {
  const bool known = column == "id" || column == "revision" || column == "change" ||
                     std::ranges::any_of(table.columns, [&](const base::Column& c) { return c.name == column; });
  if (!known) throw base::Failure("a " + std::string(table.kind) + " has no \"" + column + "\" to ask for");
  return column;
}

std::string_view sign_of(Compare compare) {
  switch (compare) {
    case Compare::kEqual:
      return " = ";
    case Compare::kBelow:
      return " < ";
    case Compare::kAtMost:
      return " <= ";
    case Compare::kAbove:
      return " > ";
    case Compare::kAtLeast:
      return " >= ";
  }
  return " = ";
}

/// A query but for its columns.
struct Asked {
  std::string sql;
  Values values;
};

Asked conditions_of(const Table& table, const Query& query) {
  Asked asked{.sql = " FROM " + std::string(table.kind) + " WHERE newest = 1", .values = {}};
  for (const Condition& condition : query.where) {
    asked.sql.append(" AND ").append(checked(table, condition.column)).append(sign_of(condition.compare));
    asked.sql.append(":v").append(std::to_string(asked.values.size()));
    asked.values.push_back(condition.value);
  }
  return asked;
}

std::string order_of(const Table& table, const Query& query) {
  const std::string way = query.descending ? " DESC" : " ASC";
  std::string sql = " ORDER BY ";
  if (!query.order_by.empty()) sql.append(checked(table, query.order_by)).append(way).append(", ");
  sql.append("id").append(way);
  return sql.append(" LIMIT ")
      .append(std::to_string(query.limit))
      .append(" OFFSET ")
      .append(std::to_string(query.offset));
}

ValueType type_of(const Table& table, const std::string& name) {
  const auto column = std::ranges::find(table.columns, name, &base::Column::name);
  return column == table.columns.end() ? ValueType::kWhole : column->type;  // id, revision, change
}

std::int64_t at_most(std::size_t count) {
  return static_cast<std::int64_t>(std::min<std::size_t>(count, std::numeric_limits<std::int64_t>::max()));
}

practice::Digest digest_of(const std::string& text) {
  const auto digest = base::from_hex<32>(text);
  if (!digest) throw base::Failure("the audit log holds a hash that is none. Restore the last good backup.");
  return *digest;
}

}  // namespace

std::optional<Row> Reader::newest(const Table& table, std::int64_t id) const {
  if (const Row* const known = at_hand_ == nullptr ? nullptr : at_hand_->newest(table.kind, id)) return *known;
  std::vector<Row> found = rows_of(session().ask(
      "SELECT " + column_list(table) + " FROM " + std::string(table.kind) + " WHERE id = :v0 AND newest = 1", {id},
      types_of(table)));
  if (found.empty()) return std::nullopt;
  if (at_hand_ != nullptr) at_hand_->keep(table.kind, found.front());
  return std::move(found.front());
}

std::vector<Row> Reader::rows(const Table& table, const Query& query) const {
  const Asked asked = conditions_of(table, query);
  return rows_of(session().ask("SELECT " + column_list(table) + asked.sql + order_of(table, query), asked.values,
                               types_of(table)));
}

void Reader::pick(const Table& table, const std::vector<Wanted>& columns, const Query& query,
                  const std::function<void(std::vector<base::Value>&)>& take) const {
  std::string list;
  Types types;
  for (const Wanted& wanted : columns) {
    const std::string column = checked(table, wanted.column);
    list.append(list.empty() ? "" : ", ");
    list.append(wanted.only_whether ? "CASE WHEN " + column + " IS NULL THEN 0 ELSE 1 END" : column);
    types.push_back(wanted.only_whether ? ValueType::kWhole : type_of(table, column));
  }
  const Asked asked = conditions_of(table, query);
  session().each("SELECT " + list + asked.sql + order_of(table, query), asked.values, types, take);
}

std::size_t Reader::count(const Table& table, const Query& query) const {
  const Asked asked = conditions_of(table, query);
  const Values row = session().ask_one("SELECT count(*)" + asked.sql, asked.values, {ValueType::kWhole});
  return static_cast<std::size_t>(std::get<std::int64_t>(row.at(0)));
}

std::optional<std::int64_t> Reader::least(const Table& table, const std::string& column, const Query& query) const {
  const Asked asked = conditions_of(table, query);
  const Values row =
      session().ask_one("SELECT min(" + checked(table, column) + ")" + asked.sql, asked.values, {ValueType::kWhole});
  const auto* const number = std::get_if<std::int64_t>(&row.at(0));
  return number == nullptr ? std::nullopt : std::optional(*number);
}

LogSizes Reader::log_sizes() const {
  if (at_hand_ != nullptr) return {.settled = at_hand_->settled(), .written = at_hand_->written()};
  const Values row =
      session().ask_one("SELECT (SELECT size FROM log_edge), (SELECT coalesce(max(number), 0) FROM change_log)", {},
                        {ValueType::kWhole, ValueType::kWhole});
  if (!std::holds_alternative<std::int64_t>(row.at(0))) {
    throw base::Failure("the audit log has lost its edge. Restore the last good backup.");
  }
  return {static_cast<std::uint64_t>(std::get<std::int64_t>(row[0])),
          static_cast<std::uint64_t>(std::get<std::int64_t>(row[1]))};
}

std::vector<Row> Reader::revisions(const Table& table, std::int64_t id) const {
  return rows_of(session().ask(
      "SELECT " + column_list(table) + " FROM " + std::string(table.kind) + " WHERE id = :v0 ORDER BY revision", {id},
      types_of(table)));
}

std::vector<practice::Change> Reader::changes(std::uint64_t first, std::size_t count) const {
  std::vector<practice::Change> found;
  each_change(first, count, [&](const practice::Change& change) { found.push_back(change); });
  return found;
}

void Reader::each_change(std::uint64_t first, std::size_t count,
                         const std::function<void(const practice::Change&)>& take) const {
  if (const auto known = at_hand_ == nullptr ? std::nullopt : at_hand_->changes(first)) {
    for (const practice::Change& change : known->first(std::min(count, known->size()))) take(change);
    return;
  }
  session().each("SELECT leaf FROM change_log WHERE number >= :v0 ORDER BY number LIMIT :v1",
                 {static_cast<std::int64_t>(first), at_most(count)}, {ValueType::kText}, [&](const Values& row) {
                   const std::optional<std::string> leaf = base::from_base64(std::get<std::string>(row[0]));
                   std::optional<practice::Change> change;
                   if (leaf) change = practice::change_from_leaf(*leaf);
                   if (!change) {
                     throw base::Failure("the audit log holds a change that is none. Restore the last good backup.");
                   }
                   take(*change);
                 });
}

std::vector<practice::Digest> Reader::leaves(std::uint64_t first, std::size_t count) const {
  std::vector<practice::Digest> found;
  for (const Values& row :
       session().ask("SELECT leaf_hash FROM change_log WHERE number >= :v0 ORDER BY number LIMIT :v1",
                     {static_cast<std::int64_t>(first), at_most(count)}, {ValueType::kText})) {
    found.push_back(digest_of(std::get<std::string>(row[0])));
  }
  return found;
}

practice::RightEdge Reader::edge() const {
  const Values row =
      session().ask_one("SELECT size, subtrees FROM log_edge", {}, {ValueType::kWhole, ValueType::kText});
  if (row.empty()) throw base::Failure("the audit log has lost its edge. Restore the last good backup.");
  const auto& text = std::get<std::string>(row[1]);
  constexpr std::size_t digits = 64;
  std::vector<practice::Digest> subtrees;
  for (std::size_t at = 0; at < text.size(); at += digits) subtrees.push_back(digest_of(text.substr(at, digits)));
  return {static_cast<std::uint64_t>(std::get<std::int64_t>(row[0])), std::move(subtrees)};
}

std::optional<practice::Salt> Reader::salt(std::uint64_t change, bool after, const std::string& field) const {
  const Values row = session().ask_one(
      "SELECT salt FROM log_salt WHERE number = :v0 AND side = :v1 AND field = :v2",
      {static_cast<std::int64_t>(change), std::string(after ? "after" : "before"), field}, {ValueType::kText});
  if (row.empty()) return std::nullopt;
  return digest_of(std::get<std::string>(row[0]));
}

}  // namespace throughcure::store
