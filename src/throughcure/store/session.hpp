// One connection to a database, as the sources of the store see it: SQL in, values out. SOCI stays behind it.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/base/record.hpp"
#include "throughcure/store/place.hpp"
#include "throughcure/store/waiting_rows.hpp"

namespace throughcure::store {

/// A value of this type or nothing.
using Types = std::vector<base::ValueType>;
using Values = std::vector<base::Value>;

/// How a database is opened.
enum class Opened : std::uint8_t {
  kToWork,      ///< made where there is none
  kToLookOnly,  ///< nothing is written, not even beside it
};

/// Not for several threads at once. Throws base::Failure with the database's own words and what to do.
class Session {
 public:
  explicit Session(const Place& place, Opened opened = Opened::kToWork);
  ~Session();
  Session(const Session&) = delete;
  Session& operator=(const Session&) = delete;

  [[nodiscard]] bool on_server() const { return on_server_; }
  /// The database's file; empty for a server.
  [[nodiscard]] const std::filesystem::path& file() const { return file_; }

  /// Runs a statement; `:v0`, `:v1`, ... in it stand for `values`.
  void run(const std::string& sql, const Values& values = {});
  /// One row into a table: a value for each column.
  void insert(const std::string& table, const std::vector<std::string>& columns, const Values& row);
  /// The same within a writer's transaction, for a row that the database has no reason to refuse. It goes with others
  /// of its table: before a statement that names the table, when many wait, or with the commit.
  void insert_later(const Into& into, Values row);
  /// The rows of a query, each with columns of these types.
  std::vector<Values> ask(const std::string& sql, const Values& values, const Types& types);
  /// The same, row by row; what it is given may be moved away.
  void each(const std::string& sql, const Values& values, const Types& types, const std::function<void(Values&)>& take);
  /// The same where one row is expected at most; empty for none.
  Values ask_one(const std::string& sql, const Values& values, const Types& types);

  /// Transactions. A writer's keeps all other writers out until it ends.
  void begin_reading();
  void begin_writing();
  /// A writer's that fails on a server may have been kept all the same: the error then says so.
  void commit();
  /// Never throws: after a failure the connection may be gone.
  void roll_back() noexcept;

  /// Parts of a writer's transaction, one after the other: what comes now may be undone alone. The database hears of a
  /// part once it is asked or told anything in it.
  void begin_part();
  void undo_part();

  /// Throws base::Failure where a statement of this transaction, or of its part, failed and whoever asked for it went
  /// on: a server keeps nothing of such a transaction, and calls its commit done all the same.
  void must_be_whole() const;

 private:
  /// To the server in one message, without preparing it: what begins and ends transactions and their parts.
  void say(const std::string& sql);
  void say_commit();
  void send(const std::string& sql, const Types& types_in, const Values& values, const Types& types,
            const std::function<void(Values&)>& take);
  void send_waiting();
  void save_part();

  struct Part {
    bool begun = false;       ///< the first one has
    bool saved = false;       ///< the database has a savepoint for it
    bool one_before = false;  ///< the database has a savepoint of a part before it
    std::size_t waiting = 0;  ///< rows that waited when it began
    WaitingRows earlier{};    ///< rows of parts before it that were sent in it
  };

  struct Library;
  std::unique_ptr<Library> library_;
  bool on_server_ = false;
  std::filesystem::path file_;
  bool writing_ = false;  ///< the transaction that began last
  WaitingRows waiting_;
  Part part_;
  bool failed_ = false;  ///< a statement since the transaction began, or since a part of it was undone
};

}  // namespace throughcure::store
