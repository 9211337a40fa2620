#include "throughcure/store/session.hpp"

#include <deque>
#include <unordered_map>
#include <utility>

#include <soci/postgresql/soci-postgresql.h>
#include <soci/soci.h>
#include <soci/sqlite3/soci-sqlite3.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::store {

namespace {

/// A value on its way in or out; SOCI keeps pointers to it.
struct Holder {
  base::ValueType type = base::ValueType::kText;
  long long whole = 0;
  double real = 0;
  std::string text;
  soci::indicator state = soci::i_ok;
};

/// The same holder, which the library points to, with a value of its type, or nothing.
void hold(Holder& h, const base::Value& value) {
  h.state = soci::i_ok;
  if (const auto* whole = std::get_if<std::int64_t>(&value)) {
    h.whole = *whole;
  } else if (const auto* real = std::get_if<double>(&value)) {
    h.real = *real;
  } else if (const auto* text = std::get_if<std::string>(&value)) {
    h.text = *text;
  } else {
    h.state = soci::i_null;
  }
}

base::ValueType type_of(const base::Value& value) {
  if (std::holds_alternative<std::int64_t>(value)) return base::ValueType::kWhole;
  if (std::holds_alternative<double>(value)) return base::ValueType::kReal;
  return base::ValueType::kText;
}

Types types_of(const Values& values) {
  Types types;
  types.reserve(values.size());
  for (const base::Value& value : values) types.push_back(type_of(value));
  return types;
}

base::Value value_of(const Holder& h) {
  if (h.state == soci::i_null) return {};
  switch (h.type) {
    case base::ValueType::kWhole:
      return static_cast<std::int64_t>(h.whole);
    case base::ValueType::kReal:
      return h.real;
    case base::ValueType::kText:
      return h.text;
  }
  return {};
}

void use(soci::statement& statement, Holder& h, const std::string& name) {
  switch (h.type) {
    case base::ValueType::kWhole:
      statement.exchange(soci::use(h.whole, h.state, name));
      return;
    case base::ValueType::kReal:
      statement.exchange(soci::use(h.real, h.state, name));
      return;
    case base::ValueType::kText:
      statement.exchange(soci::use(h.text, h.state, name));
      return;
  }
}

void into(soci::statement& statement, Holder& h) {
  switch (h.type) {
    case base::ValueType::kWhole:
      statement.exchange(soci::into(h.whole, h.state));
      return;
    case base::ValueType::kReal:
      statement.exchange(soci::into(h.real, h.state));
      return;
    case base::ValueType::kText:
      statement.exchange(soci::into(h.text, h.state));
      return;
  }
}

/// A path as the library's connection strings take it, blanks and all.
std::string quoted(const std::filesystem::path& path) {
  const std::string text = path.string();
  if (text.find('"') != std::string::npos) {
    throw base::Failure("the path " + text + " has a quotation mark in it. Name a folder without one.");
  }
  return "\"" + text + "\"";
}

/// What a person can do about it.
std::string remedy_for(const std::string& words) {
  const auto says = [&](std::string_view part) { return words.find(part) != std::string::npos; };
  if (says("locked")) return "Another program holds the records. Close it and try again.";
  if (says("disk is full") || says("No space left")) return "Free some space on the disk; nothing was changed.";
  if (says("disk I/O error")) {
    return "Nothing was changed. The disk is full or fails: free some space, and look after it.";
  }
  if (says("readonly") || says("unable to open")) return "Give the program the right to write there.";
  if (says("malformed") || says("not a database")) return "Restore the last good backup.";
  if (says("could not connect") || says("connection")) return "Start the database server, or mend the connection.";
  return "Nothing was changed. Try again, and if it stays so restore the last good backup.";
}

/// In the library's own words, without the statement and its values that it would add: those may be private.
std::string words_of(const soci::soci_error& cause) {
  std::string words = cause.get_error_message();
  while (words.ends_with('.') || words.ends_with(' ') || words.ends_with('\n')) words.pop_back();
  return words;
}

[[noreturn]] void fail(const std::string& words, const std::string& remedy) {
  throw base::Failure("the records' database says: " + words + ". " + remedy);
}

/// Runs it, with the library's errors as ours; says in `failed` that there was one.
template <class Work>
auto guarded(bool& failed, const Work& work) {
  try {
    return work();
  } catch (const soci::soci_error& e) {
    failed = true;
    const std::string words = words_of(e);
    fail(words, remedy_for(words));
  }
}

}  // namespace

namespace {

/// A statement as the database has read it once, with room for what goes in and comes out.
struct Prepared {
  Prepared(soci::session& session, const std::string& sql, const Types& types_in, const Types& types)
      : statement(session) {
    statement.alloc();
    for (const base::ValueType type : types) {
      out.push_back({.type = type, .text = {}});
      into(statement, out.back());
    }
    statement.prepare(sql);
    for (std::size_t i = 0; i < types_in.size(); ++i) {
      in.push_back({.type = types_in[i], .text = {}});
      use(statement, in.back(), "v" + std::to_string(i));
    }
    statement.define_and_bind();
  }

  std::deque<Holder> in;
  std::deque<Holder> out;
  soci::statement statement;
};

/// Statements at rest, by their text and the types of their values. One that is running is not among them, so that it
/// may be run again inside itself; one that failed does not come back.
using AllPrepared = std::unordered_map<std::string, std::unique_ptr<Prepared>>;

constexpr std::size_t kMostPrepared = 256;

std::string key_of(const std::string& sql, const Types& types_in, const Types& types) {
  std::string key = sql;
  key += '\n';
  for (const base::ValueType type : types_in) key += static_cast<char>('0' + static_cast<int>(type));
  key += '>';
  for (const base::ValueType type : types) key += static_cast<char>('0' + static_cast<int>(type));
  return key;
}

/// What is run again and again. Others change the tables.
bool is_kept(const std::string& sql) {
  return sql.starts_with("SELECT ") || sql.starts_with("INSERT ") || sql.starts_with("UPDATE ") ||
         sql.starts_with("DELETE ");
}

}  // namespace

struct Session::Library {
  soci::session session;
  AllPrepared prepared{};  // gone before the session is
};

Session::Session(const Place& place, Opened opened) : library_(std::make_unique<Library>()) {
  guarded(failed_, [&] {
    if (const auto* file = std::get_if<InFile>(&place)) {
      file_ = file->path;
      if (opened == Opened::kToLookOnly) {
        library_->session.open(*soci::factory_sqlite3(), "db=" + quoted(file->path) + " readonly=true");
        return;
      }
      library_->session.open(*soci::factory_sqlite3(), "db=" + quoted(file->path) + " timeout=10 synchronous=FULL");
      run("PRAGMA journal_mode = WAL");
      run("PRAGMA synchronous = FULL");
      run("PRAGMA foreign_keys = ON");
    } else {
      on_server_ = true;
      library_->session.open(*soci::factory_postgresql(), std::get<OnServer>(place).connection);
    }
  });
}

Session::~Session() = default;

void Session::run(const std::string& sql, const Values& values) { ask(sql, values, {}); }

void Session::insert(const std::string& table, const std::vector<std::string>& columns, const Values& row) {
  std::string names;
  std::string places;
  Values bound;
  for (std::size_t i = 0; i < row.size(); ++i) {
    names.append(i == 0 ? "" : ", ").append(columns[i]);
    places.append(i == 0 ? "" : ", ");
    if (std::holds_alternative<std::monostate>(row[i])) {
      places.append("NULL");  // a NULL that is bound has a type, and not that of every column
      continue;
    }
    places.append(":v").append(std::to_string(bound.size()));
    bound.push_back(row[i]);
  }
  run("INSERT INTO " + table + " (" + names + ") VALUES (" + places + ")", bound);
}

std::vector<Values> Session::ask(const std::string& sql, const Values& values, const Types& types) {
  std::vector<Values> rows;
  each(sql, values, types, [&](Values& row) { rows.push_back(std::move(row)); });
  return rows;
}

void Session::each(const std::string& sql, const Values& values, const Types& types,
                   const std::function<void(Values&)>& take) {
  if (waiting_.named_in(sql)) send_waiting();
  save_part();
  send(sql, types_of(values), values, types, take);
}

void Session::send(const std::string& sql, const Types& types_in, const Values& values, const Types& types,
                   const std::function<void(Values&)>& take) {
  guarded(failed_, [&] {
    AllPrepared& kept = library_->prepared;
    const std::string key = key_of(sql, types_in, types);
    std::unique_ptr<Prepared> prepared;
    if (const auto at = kept.find(key); at != kept.end()) {
      prepared = std::move(at->second);
      kept.erase(at);
    } else {
      prepared = std::make_unique<Prepared>(library_->session, sql, types_in, types);
    }
    for (std::size_t i = 0; i < values.size(); ++i) hold(prepared->in[i], values[i]);
    bool more = prepared->statement.execute(true);
    if (!types.empty()) {
      Values row;
      for (; more; more = prepared->statement.fetch()) {
        row.clear();
        for (const Holder& h : prepared->out) row.push_back(value_of(h));
        take(row);
      }
    }
    if (!is_kept(sql)) return;
    if (kept.size() >= kMostPrepared) kept.erase(kept.begin());
    kept.insert_or_assign(key, std::move(prepared));
  });
}

Values Session::ask_one(const std::string& sql, const Values& values, const Types& types) {
  std::vector<Values> rows = ask(sql, values, types);
  return rows.empty() ? Values{} : std::move(rows.front());
}

void Session::say(const std::string& sql) {
  guarded(failed_, [&] { library_->session << sql; });
}

void Session::say_commit() {
  if (!on_server_ || !writing_) return say("COMMIT");
  try {
    library_->session << "COMMIT";
  } catch (const soci::soci_error& e) {
    failed_ = true;
    fail(words_of(e),
         "It failed while the change was being kept, so it is not known whether it was. Look whether it is there, or "
         "send the same again: what has a key is never done twice.");
  }
}

}  // namespace throughcure::store
