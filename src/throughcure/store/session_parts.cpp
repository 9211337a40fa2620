// Transactions, their parts, and rows that wait.
#include <algorithm>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/base/utf8.hpp"
#include "throughcure/store/session.hpp"

namespace throughcure::store {

void Session::begin_reading() {
  failed_ = false;
  writing_ = false;
  say(on_server_ ? "BEGIN TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY" : "BEGIN DEFERRED");
}

void Session::begin_writing() {
  failed_ = false;
  writing_ = true;
  // Any number of readers, one writer: the same key on every server process of a database.
  say(on_server_ ? "BEGIN TRANSACTION ISOLATION LEVEL READ COMMITTED; SELECT pg_advisory_xact_lock(20049)"
                 : "BEGIN IMMEDIATE");
}

void Session::commit() {
  part_ = {};
  send_waiting();
  must_be_whole();
  say_commit();
}

void Session::roll_back() noexcept {
  part_ = {};
  waiting_.cut(0);
  try {
    say("ROLLBACK");
  } catch (const std::exception&) {  // NOLINT(bugprone-empty-catch): there is nothing left to undo then
  }
}

void Session::begin_part() {
  part_ = {.begun = true, .saved = false, .one_before = part_.saved || part_.one_before, .waiting = waiting_.size()};
}

void Session::save_part() {
  if (!part_.begun || part_.saved) return;
  if (part_.one_before && on_server_) {
    say("RELEASE SAVEPOINT one_of_several; SAVEPOINT one_of_several");
  } else {
    if (part_.one_before) say("RELEASE SAVEPOINT one_of_several");
    say("SAVEPOINT one_of_several");
  }
  part_.saved = true;
}

void Session::undo_part() {
  if (part_.saved) {
    say("ROLLBACK TO SAVEPOINT one_of_several");
    failed_ = false;
  }
  // Rows of before that went in this part are gone with it: they wait again.
  if (!part_.earlier.empty()) {
    waiting_ = std::exchange(part_.earlier, {});
  } else {
    waiting_.cut(part_.waiting);
  }
}

void Session::must_be_whole() const {
  if (!failed_) return;
  throw base::Failure(
      "the records' database refused a part of what was to be kept together. Nothing was changed. Try again, and if it "
      "stays so restore the last good backup.");
}

void Session::insert_later(const Into& into, Values row) {
  const auto may_be_refused = [](const base::Value& value) {
    const auto* const text = std::get_if<std::string>(&value);
    return text != nullptr && !base::is_utf8(*text);
  };
  // Told at once, in the name of whoever wrote it.
  if (std::ranges::any_of(row, may_be_refused)) return insert(into.table, into.columns, row);
  waiting_.add(into, std::move(row));
  constexpr std::size_t many = 256;
  if (waiting_.size() >= many) send_waiting();
}

void Session::send_waiting() {
  if (waiting_.empty()) return;
  save_part();
  // Should this part be undone, what came before it must be sent again.
  if (part_.waiting > 0) part_.earlier = waiting_.first(part_.waiting);
  part_.waiting = 0;
  waiting_.each_statement([&](const WaitingRows::Statement& statement) {
    send(statement.sql, statement.types, statement.values, {}, [](Values&) {});
  });
  waiting_.cut(0);
}

}  // namespace throughcure::store
