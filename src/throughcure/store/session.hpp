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
  /// The rows of a query, each with columns of these types.
  std::vector<Values> ask(const std::string& sql, const Values& values, const Types& types);
  /// The same, row by row; what it is given may be moved away.
  void each(const std::string& sql, const Values& values, const Types& types, const std::function<void(Values&)>& take);
  /// The same where one row is expected at most; empty for none.
  Values ask_one(const std::string& sql, const Values& values, const Types& types);

  /// Transactions. A writer's keeps all other writers out until it ends.
  void begin_reading();
  void begin_writing();
  void commit();
  /// Never throws: after a failure the connection may be gone.
  void roll_back() noexcept;

 private:
  /// To the server in one message, without preparing it: what begins and ends transactions.
  void say(const std::string& sql);

  struct Library;
  std::unique_ptr<Library> library_;
  bool on_server_ = false;
  std::filesystem::path file_;
};

}  // namespace throughcure::store
