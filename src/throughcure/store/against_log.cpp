#include "throughcure/store/against_log.hpp"

#include <algorithm>
#include <iterator>
#include <limits>
#include <optional>
#include <string_view>
#include <tuple>
#include <type_traits>
#include <unordered_map>

#include "throughcure/base/base64.hpp"
#include "throughcure/base/hex.hpp"
#include "throughcure/practice/change_reader.hpp"
#include "throughcure/store/all_kinds.hpp"
#include "throughcure/store/copy.hpp"
#include "throughcure/store/row_against_log.hpp"
#include "throughcure/store/session.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::store {

namespace {

using base::ValueType;

// Rows of one answer: cases are long, changes are not.
constexpr std::int64_t kChangesAtOnce = 1000;
constexpr std::int64_t kRowsAtOnce = 100;

std::int64_t whole(const base::Value& value) { return std::get<std::int64_t>(value); }
const std::string& text(const base::Value& value) { return std::get<std::string>(value); }

std::optional<practice::Change> change_in(const std::string& leaf) {
  const std::optional<std::string> bytes = base::from_base64(leaf);
  return bytes ? practice::change_from_leaf(*bytes) : std::nullopt;
}

/// The kinds whose tables are there: a backup of an earlier program has fewer, with fewer columns.
struct KindHere {
  LoggedKind kind;
  std::vector<std::string> columns;  ///< those that the table has
};

std::vector<KindHere> kinds_in(Session& session) {
  const std::vector<CopiedTable> tables = tables_in(session);
  std::vector<KindHere> kinds;
  AllKinds::each([&]<class Record>(std::type_identity<Record>) {
    const Table table = table_of<Record>();
    const auto there = std::ranges::find_if(tables, [&](const CopiedTable& one) { return one.name == table.kind; });
    if (there == tables.end()) return;
    kinds.push_back({.kind = {.table = table, .fresh = base::values_of(Record{})}, .columns = there->columns});
  });
  return kinds;
}

/// The change as its row says beside its leaf, held against the leaf.
void hold_change(const Values& row, const std::vector<KindHere>& kinds, AgainstLog& found) {
  const std::string which = "change " + std::to_string(whole(row[0])) + ": ";
  const std::optional<std::string> bytes = base::from_base64(text(row[5]));
  if (!bytes || base::hex(practice::leaf_hash(*bytes)) != text(row[6])) {
    found.add(which + "its leaf is not the one of its hash");
    return;
  }
  const std::optional<practice::Change> change = practice::change_from_leaf(*bytes);
  if (!change) {
    found.add(which + "its leaf is no change");
    return;
  }
  const auto hold = [&](bool is_same, std::string_view what) {
    if (!is_same) found.add(which + "its " + std::string(what) + " is not what its leaf says");
  };
  hold(change->number == static_cast<std::uint64_t>(whole(row[0])), "number");
  hold(change->at.us == whole(row[1]), "time");
  hold(change->person == text(row[2]), "person");
  hold(change->kind == text(row[3]), "kind of record");
  hold(change->record == text(row[4]), "record");
  const bool is_kept = std::ranges::any_of(
      kinds, [&](const KindHere& here) { return std::string_view(change->kind) == here.kind.table.kind; });
  if (!is_kept) found.add(which + "there are no records of its kind");
}

/// Every change against its leaf, and the hashes of the leaves against the root. Gives how many changes there are.
std::uint64_t hold_log(Session& session, const practice::RightEdge& edge, const std::vector<KindHere>& kinds,
                       AgainstLog& found) {
  practice::RightEdge tree;
  for (std::int64_t last = 0;;) {
    const std::vector<Values> page = session.ask(
        "SELECT number, at_us, person, kind, record, leaf, leaf_hash FROM change_log WHERE number > :v0 ORDER BY "
        "number LIMIT :v1",
        {last, kChangesAtOnce},
        {ValueType::kWhole, ValueType::kWhole, ValueType::kText, ValueType::kText, ValueType::kText, ValueType::kText,
         ValueType::kText});
    if (page.empty()) break;
    for (const Values& row : page) {
      hold_change(row, kinds, found);
      tree.append(base::from_hex<std::tuple_size_v<practice::Digest>>(text(row[6])).value_or(practice::Digest{}));
    }
    last = whole(page.back().front());
  }
  found.changes = edge.size();
  found.under_root = tree.size() == edge.size() && tree.root() == edge.root();
  if (!found.under_root) found.add("the log: its leaves do not give its root");
  return tree.size();
}

/// A revision with what stands beside it.
struct Revision {
  Row row;
  bool is_newest = false;
  std::optional<practice::Change> change;
};

/// The revisions of one kind as they come, by record and revision.
class RevisionsOfKind {
 public:
  RevisionsOfKind(const LoggedKind& kind, AgainstLog& found) : kind_(kind), found_(found) {}

  void take(Revision next, const SaltsOfChange& salts) {
    const Row* const before = last_ && last_->row.id == next.row.id ? &last_->row : nullptr;
    end_of_record(before == nullptr);
    hold(next, before, salts);
    last_ = std::move(next);
  }
  /// After the last one.
  void end() { end_of_record(true); }
  /// How many stand on a change of their own.
  [[nodiscard]] std::uint64_t standing() const { return standing_; }

 private:
  void hold(const Revision& one, const Row* before, const SaltsOfChange& salts) {
    const Row& row = one.row;
    const practice::Change* const change = one.change ? &*one.change : nullptr;
    const bool is_its_own = change != nullptr && change->kind == kind_.table.kind &&
                            change->record == std::to_string(row.id) &&
                            (before == nullptr || before->change < row.change);
    if (!is_its_own) {
      add(row.id, "revision " + std::to_string(row.revision) + " is one that the log has no change of");
      return;
    }
    ++standing_;
    const std::int64_t due = before == nullptr ? 1 : before->revision + 1;
    if (row.revision != due) {
      add(row.id, "revision " + std::to_string(due) + " is gone");
      return;
    }
    for (const std::string& fault : against_change(kind_, row, before, *change, salts)) add(row.id, fault);
  }
  /// Of a record the last revision is the newest, and no other.
  void end_of_record(bool is_last) {
    if (last_ && last_->is_newest != is_last) {
      add(last_->row.id, is_last ? "its last revision is not called the newest"
                                 : "revision " + std::to_string(last_->row.revision) +
                                       " is called the newest, and a later one is there");
    }
  }
  void add(std::int64_t id, const std::string& what) {
    found_.add(std::string(kind_.table.kind) + " " + std::to_string(id) + ": " + what);
  }

  const LoggedKind& kind_;
  AgainstLog& found_;
  std::optional<Revision> last_;
  std::uint64_t standing_ = 0;
};

using Salts = std::unordered_map<std::int64_t, SaltsOfChange>;

/// What opens the sealed fields that the changes of a page's rows wrote.
Salts salts_of_page(Session& session, const std::string& page, const Values& from) {
  Salts salts;
  session.each("SELECT s.number, s.field, s.salt FROM (SELECT k.change" + page +
                   ") AS written JOIN log_salt s ON s.number = written.change WHERE s.side = 'after'",
               from, {ValueType::kWhole, ValueType::kText, ValueType::kText}, [&](const Values& row) {
                 const auto salt = base::from_hex<std::tuple_size_v<practice::Salt>>(text(row[2]));
                 if (salt) salts[whole(row[0])].insert_or_assign(text(row[1]), *salt);
               });
  return salts;
}

Revision revision_in(Values& values) {
  // id, revision, change, newest, leaf; then the kind's own columns.
  constexpr std::ptrdiff_t own = 5;
  Revision one{.row = {.id = whole(values[0]), .revision = whole(values[1]), .change = whole(values[2]), .values = {}},
               .is_newest = whole(values[3]) == 1,
               .change = std::nullopt};
  if (const auto* const leaf = std::get_if<std::string>(&values[4])) one.change = change_in(*leaf);
  one.row.values.assign(std::make_move_iterator(values.begin() + own), std::make_move_iterator(values.end()));
  return one;
}

/// Every revision of a kind. Gives how many stand on a change of their own.
std::uint64_t hold_kind(Session& session, const KindHere& here, AgainstLog& found) {
  const Table& table = here.kind.table;
  std::string list = "SELECT k.id, k.revision, k.change, k.newest, c.leaf";
  Types types = {ValueType::kWhole, ValueType::kWhole, ValueType::kWhole, ValueType::kWhole, ValueType::kText};
  for (const base::Column& column : table.columns) {
    const bool is_there = std::ranges::find(here.columns, std::string(column.name)) != here.columns.end();
    list.append(", ").append(is_there ? "k." + std::string(column.name) : "NULL");
    types.push_back(column.type);
  }
  const std::string kind(table.kind);
  const std::string rest =
      " WHERE (k.id, k.revision) > (:v0, :v1) ORDER BY k.id, k.revision LIMIT " + std::to_string(kRowsAtOnce);
  const std::string sql = list + " FROM " + kind + " k LEFT JOIN change_log c ON c.number = k.change" + rest;
  const std::string of_kind = " FROM " + kind + " k" + rest;
  RevisionsOfKind revisions(here.kind, found);
  for (Values from = {std::numeric_limits<std::int64_t>::min(), std::int64_t{0}};;) {
    std::vector<Values> page = session.ask(sql, from, types);
    if (page.empty()) break;
    const Salts salts = salts_of_page(session, of_kind, from);
    from = {page.back()[0], page.back()[1]};
    for (Values& values : page) {
      const auto opened = salts.find(whole(values[2]));
      revisions.take(revision_in(values), opened == salts.end() ? SaltsOfChange{} : opened->second);
    }
  }
  revisions.end();
  return revisions.standing();
}

/// What changes of the log wrote, and is not there.
void look_for_missing(Session& session, const Table& table, AgainstLog& found) {
  const std::string kind(table.kind);
  session.each("SELECT c.number, c.record FROM change_log c LEFT JOIN " + kind +
                   " k ON k.change = c.number AND CAST(k.id AS TEXT) = c.record WHERE c.kind = :v0 AND k.id IS NULL "
                   "ORDER BY c.number",
               {kind}, {ValueType::kWhole, ValueType::kText}, [&](const Values& row) {
                 found.add(kind + " " + text(row[1]) + ": what change " + std::to_string(whole(row[0])) +
                           " of the log wrote is gone");
               });
}

}  // namespace

AgainstLog Reader::against_log() const {
  AgainstLog found;
  const std::vector<KindHere> kinds = kinds_in(session());
  const std::uint64_t changes = hold_log(session(), edge(), kinds, found);
  std::uint64_t standing = 0;
  for (const KindHere& here : kinds) standing += hold_kind(session(), here, found);
  // Each change wrote one revision: where as many stand on changes of their own, none is missing.
  if (standing == changes) return found;
  for (const KindHere& here : kinds) look_for_missing(session(), here.kind.table, found);
  return found;
}

std::string words_of(const AgainstLog& found) {
  std::string words;
  for (const std::string& one : found.told) words += (words.empty() ? "" : "; ") + one;
  const std::uint64_t more = found.faults - found.told.size();
  return more == 0 ? words : words + "; and " + std::to_string(more) + " more";
}

}  // namespace throughcure::store
