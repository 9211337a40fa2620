#include <algorithm>
#include <string>
#include <utility>

#include "throughcure/base/base64.hpp"
#include "throughcure/base/hex.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/store/logged_text.hpp"
#include "throughcure/store/session.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::store {

namespace {

using base::Value;
using base::ValueType;

}  // namespace

Writer::Writer(Session& session, Author author)
    : Reader(session, at_hand_), author_(std::move(author)), edge_(edge()), at_hand_(edge_.size()) {}

void Writer::check_references(const Table& table, const std::vector<Value>& values) {
  struct Unknown {
    const base::Column* column;
    std::int64_t number;
  };
  std::vector<Unknown> unknown;
  std::string sql;
  Values numbers;
  for (std::size_t i = 0; i < table.columns.size(); ++i) {
    const base::Column& column = table.columns[i];
    const auto* number = std::get_if<std::int64_t>(&values[i]);
    if (column.refers_to.empty() || number == nullptr || at_hand_.is_there(column.refers_to, *number)) continue;
    sql.append(unknown.empty() ? "SELECT " : ", ").append("(SELECT count(*) FROM ").append(column.refers_to);
    sql.append(" WHERE id = :v").append(std::to_string(unknown.size())).append(" AND newest = 1)");
    numbers.emplace_back(*number);
    unknown.push_back({&column, *number});
  }
  if (unknown.empty()) return;
  const Values found = session().ask_one(sql, numbers, Types(unknown.size(), ValueType::kWhole));
  base::Problems problems;
  for (std::size_t i = 0; i < unknown.size(); ++i) {
    const auto& [column, number] = unknown[i];
    if (std::get<std::int64_t>(found.at(i)) != 0) {
      at_hand_.keep_that_there_is(column->refers_to, number);
      continue;
    }
    problems.push_back(
        {.file = std::string(table.kind),
         .field = std::string(column->name),
         .what = "there is no " + std::string(column->refers_to) + " with the number " + std::to_string(number),
         .remedy = "Choose one that is there, or add it first"});
  }
  base::refuse_if_any(problems);
}

std::int64_t Writer::log(const Table& table, std::int64_t id, const std::vector<Value>* before,
                         const std::vector<Value>& after) {
  static const Into salts{.table = "log_salt",
                          .columns = {"number", "side", "field", "salt"},
                          .types = {ValueType::kWhole, ValueType::kText, ValueType::kText, ValueType::kText}};
  static const Into changes{.table = "change_log",
                            .columns = {"number", "at_us", "person", "kind", "record", "leaf", "leaf_hash"},
                            .types = {ValueType::kWhole, ValueType::kWhole, ValueType::kText, ValueType::kText,
                                      ValueType::kText, ValueType::kText, ValueType::kText}};
  practice::Change change{.number = edge_.size() + 1,
                          .at = author_.at,
                          .person = author_.person,
                          .kind = std::string(table.kind),
                          .record = std::to_string(id)};
  const auto number = static_cast<std::int64_t>(change.number);
  std::vector<Values> openings;
  const auto add = [&](practice::Fields& side, const char* called, const base::Column& column, const Value& value) {
    std::optional<std::string> text = logged_text(value);
    if (!text) return;
    const std::string name(column.name);
    if (!column.is_private) {
      side.push_back({name, std::move(*text)});
      return;
    }
    const practice::Opening opening{practice::random_salt(), std::move(*text)};
    side.push_back({name, practice::commit(opening)});
    openings.push_back({number, std::string(called), name, base::hex(opening.salt)});
  };
  for (std::size_t i = 0; i < table.columns.size(); ++i) {
    if (before != nullptr && (*before)[i] == after[i]) continue;
    if (before != nullptr) add(change.before, "before", table.columns[i], (*before)[i]);
    add(change.after, "after", table.columns[i], after[i]);
  }
  for (practice::Fields* side : {&change.before, &change.after}) {
    std::ranges::sort(*side, {}, &practice::Field::name);
  }
  const std::string leaf = practice::leaf_bytes(change);
  const practice::Digest hash = practice::leaf_hash(leaf);
  for (Values& opening : openings) session().insert_later(salts, std::move(opening));
  session().insert_later(
      changes, {number, change.at.us, change.person, change.kind, change.record, base::base64(leaf), base::hex(hash)});
  edge_.append(hash);
  at_hand_.append(std::move(change));
  return number;
}

std::int64_t Writer::add(const Table& table, const std::vector<Value>& values) {
  check_references(table, values);
  std::optional<std::int64_t> last = at_hand_.last(table.kind);
  if (!last) {
    last = std::get<std::int64_t>(
        session()
            .ask_one("SELECT coalesce(max(id), 0) FROM " + std::string(table.kind), {}, {ValueType::kWhole})
            .at(0));
  }
  const std::int64_t id = *last + 1;
  const std::int64_t number = log(table, id, nullptr, values);
  insert(table, {.id = id, .revision = 1, .change = number, .values = values});
  at_hand_.keep_last(table.kind, id);
  return id;
}

void Writer::correct(const Table& table, std::int64_t id, std::int64_t read, const std::vector<Value>& values) {
  const std::string kind(table.kind);
  const std::optional<Row> now = newest(table, id);
  if (!now) {
    throw base::InputError({{.file = kind,
                             .field = "id",
                             .what = "there is no " + kind + " with the number " + std::to_string(id),
                             .remedy = "Choose one that is there"}});
  }
  if (now->revision != read) {
    throw Conflict("this " + kind + " was changed by somebody else meanwhile. Read it again, then change it.");
  }
  if (now->values == values) return;
  check_references(table, values);
  const std::int64_t number = log(table, id, &now->values, values);
  session().run("UPDATE " + kind + " SET newest = 0 WHERE id = :v0 AND newest = 1", {id});
  insert(table, {.id = id, .revision = read + 1, .change = number, .values = values});
}

void Writer::insert(const Table& table, const Row& row) {
  Into into{.table = std::string(table.kind),
            .columns = {"id", "revision", "newest", "change"},
            .types = Types(4, ValueType::kWhole)};
  for (const base::Column& column : table.columns) {
    into.columns.emplace_back(column.name);
    into.types.push_back(column.type);
  }
  Values all = {row.id, row.revision, std::int64_t{1}, row.change};
  all.insert(all.end(), row.values.begin(), row.values.end());
  session().insert_later(into, std::move(all));
  at_hand_.keep(table.kind, row);
}

std::optional<std::string> Writer::answered(const std::string& key, const practice::Digest& request) const {
  std::string hash;
  std::string reply;
  const auto waits = std::ranges::find_if(
      answers_, [&](const Answer& answer) { return answer.person == author_.person && answer.key == key; });
  if (waits != answers_.end()) {
    hash = waits->request;
    reply = waits->reply;
  } else {
    const Values row =
        session().ask_one("SELECT request_hash, reply FROM answer WHERE person = :v0 AND request_key = :v1",
                          {author_.person, key}, {ValueType::kText, ValueType::kText});
    if (row.empty()) return std::nullopt;
    hash = std::get<std::string>(row[0]);
    reply = std::get<std::string>(row[1]);
  }
  if (hash != base::hex(request)) {
    throw Conflict("this key came with another request before. Send each request under a key of its own.");
  }
  return reply;
}

void Writer::answer(const std::string& key, const practice::Digest& request, const std::string& reply) {
  answers_.push_back({author_.person, key, base::hex(request), reply, author_.at});
}

void Writer::begin_as(Author author) {
  author_ = std::move(author);
  before_ = {.edge = edge_, .answers = answers_.size()};
}

void Writer::undo() {
  edge_ = before_.edge;
  at_hand_.back_to(edge_.size());
  answers_.erase(answers_.begin() + static_cast<std::ptrdiff_t>(before_.answers), answers_.end());
}

void Writer::close() {
  static const Into answers{
      .table = "answer",
      .columns = {"person", "request_key", "request_hash", "reply", "at_us"},
      .types = {ValueType::kText, ValueType::kText, ValueType::kText, ValueType::kText, ValueType::kWhole}};
  for (Answer& one : answers_) {
    session().insert_later(
        answers, {std::move(one.person), std::move(one.key), std::move(one.request), std::move(one.reply), one.at.us});
  }
  answers_.clear();
  if (edge_.size() == at_hand_.settled()) return;
  std::string subtrees;
  for (const practice::Digest& root : edge_.subtrees()) subtrees += base::hex(root);
  session().run("UPDATE log_edge SET size = :v0, subtrees = :v1", {static_cast<std::int64_t>(edge_.size()), subtrees});
}

}  // namespace throughcure::store
