// What the routes of the records share: threads that may wait for the database, the clock, and how failures are told.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "throughcure/base/instant.hpp"
#include "throughcure/desk/light_cache.hpp"
#include "throughcure/service/backup_state.hpp"
#include "throughcure/service/jobs.hpp"
#include "throughcure/service/router.hpp"
#include "throughcure/service/site.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::service {

/// Hands each piece of work to one of a few threads of its own. Safe from any thread; finishes what it took when it is
/// closed.
class DeskThreads {
 public:
  explicit DeskThreads(unsigned threads);
  ~DeskThreads();
  DeskThreads(const DeskThreads&) = delete;
  DeskThreads& operator=(const DeskThreads&) = delete;

  /// What the work throws is told to `log`, and the thread goes on to the next.
  void post(std::function<void()> work, std::function<void(std::string_view)> log);
  /// Takes nothing new and returns when all is done.
  void close();

 private:
  struct Pool;
  std::unique_ptr<Pool> pool_;
};

/// Everything that a route of the records needs; what it points to must outlive the routes.
struct RecordsDesk {
  store::Store* records = nullptr;
  Sessions* sessions = nullptr;
  DeskThreads* threads = nullptr;
  DeskThreads* check_threads = nullptr;  ///< of checks only
  desk::LightCache* lights = nullptr;
  const BackupState* backups = nullptr;
  SiteSettings settings{};
};

/// A handler whose work may wait for the database. What it throws becomes a refusal: base::InputError 422 with its
/// problems, desk::Forbidden 403, desk::Missing 404, store::Conflict 409, TooSoon 429; a base::Failure is logged and
/// told as 503, for it names what to do; anything else is 500.
Handler on_desk(const RecordsDesk& desk, std::function<Response(const Call&)> work);

/// The same for work that takes longer than that: it waits in the queue as a job of the person who asks. A full queue
/// is 429, and a job that was stopped 503. `jobs` must outlive the handler.
Handler on_desk_by_job(const RecordsDesk& desk, Jobs& jobs,
                       std::function<Response(const Call&, const base::Running&)> work);

/// Somebody must wait (HTTP 429).
class TooSoon : public std::exception {
 public:
  explicit TooSoon(std::chrono::seconds wait) : wait_(wait) {}
  [[nodiscard]] const char* what() const noexcept override { return "too many tries; wait, then try again"; }
  [[nodiscard]] std::chrono::seconds wait() const { return wait_; }

 private:
  std::chrono::seconds wait_;
};

/// 422 with the problems.
Response refused(const base::InputError& error);

Response json_response(int status, std::string document);

/// Who writes, by the session of a call.
store::Author author_of(const Call& call, const RecordsDesk& desk);
const practice::Member& member_of(const Call& call);

/// Does a change once: `work` writes and gives the document to answer with; the same key of the same person gives that
/// document again. Without a key it is simply done.
std::string once(store::Writer& writer, const Call& call, const std::function<std::string()>& work);

std::string_view role_word(practice::Role role);

/// Who an author in the log is: the person's name, or "the program".
std::string name_of(const store::Reader& reader, const std::string& author);

/// A number at "{name}" of the path, or in the query. Throws desk::Missing, or base::InputError for the query.
std::int64_t number_in_path(const Call& call, std::string_view name);
std::optional<std::int64_t> number_in_query(const Call& call, std::string_view name);
/// The revision that whoever changes a record has read. Throws base::InputError where it is not said.
std::int64_t revision_in_query(const Call& call);
std::optional<std::string> text_in_query(const Call& call, std::string_view name);

}  // namespace throughcure::service
