#include "throughcure/store/store.hpp"

#include <algorithm>
#include <condition_variable>
#include <deque>
#include <exception>
#include <mutex>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/store/file_store.hpp"
#include "throughcure/store/migrations.hpp"
#include "throughcure/store/session.hpp"

namespace throughcure::store {

namespace {

/// What a program left behind that was killed between a file's bytes and its record.
std::size_t sweep_files(Session& session) {
  session.begin_writing();
  try {
    const std::size_t orphans = FileStore(session).sweep();
    session.commit();
    return orphans;
  } catch (...) {
    session.roll_back();
    throw;
  }
}

/// A write that waits for its turn.
struct Waiting {
  const Author* author = nullptr;
  const std::function<void(Writer&)>* work = nullptr;
  std::exception_ptr error{};
  bool done = false;
};
using Together = std::vector<Waiting*>;

/// One of several in a transaction: all of it, or what it threw and nothing.
void write_one(Session& session, Writer& writer, Waiting& one) {
  session.begin_part();
  writer.begin_as(*one.author);
  try {
    (*one.work)(writer);
    session.must_be_whole();
  } catch (...) {
    one.error = std::current_exception();
  }
  if (!one.error) return;
  try {
    session.undo_part();
  } catch (...) {
    // A database that fails (a full disk) has thrown the whole transaction away: its first words say why.
    std::rethrow_exception(one.error);
  }
  writer.undo();
}

/// In the one transaction that has begun, committed once: what none of them is told before it is on the disk.
void write_together(Session& session, const Together& all) {
  try {
    Writer writer(session, *all.front()->author);
    if (all.size() == 1) {
      (*all.front()->work)(writer);
    } else {
      for (Waiting* const one : all) write_one(session, writer, *one);
    }
    writer.close();
    session.commit();
  } catch (...) {
    session.roll_back();
    throw;
  }
}

}  // namespace

/// Connections at rest: one is taken for each piece of work and put back after it. Writers of this process wait here
/// rather than in the database.
class Store::Sessions {
 public:
  explicit Sessions(Place place) : place_(std::move(place)) {}

  std::unique_ptr<Session> take() {
    std::unique_ptr<Session> session = take_idle();
    return session ? std::move(session) : std::make_unique<Session>(place_);
  }
  /// One in which a transaction has begun. A connection at rest may have died with its server, and the others with it:
  /// then a fresh one begins, for nothing was sent yet.
  std::unique_ptr<Session> begun(void (Session::*begin)()) {
    if (std::unique_ptr<Session> session = take_idle()) {
      try {
        (*session.*begin)();
        return session;
      } catch (const base::Failure&) {
        if (!on_server()) throw;
        drop_idle();
      }
    }
    auto session = std::make_unique<Session>(place_);
    (*session.*begin)();
    return session;
  }
  /// After a failure: on a server all connections may be gone, and the next who asks must not pay for it.
  void failed() {
    if (on_server()) drop_idle();
  }
  void put_back(std::unique_ptr<Session> session) {
    constexpr std::size_t most_idle = 8;
    const std::lock_guard lock(mutex_);
    if (idle_.size() < most_idle) idle_.push_back(std::move(session));
  }

  /// Returns when the write is done, together with those that came while another transaction was under way: the first
  /// of them does them all.
  void write(Waiting& mine) {
    std::unique_lock lock(mutex_);
    waiting_.push_back(&mine);
    for (;;) {
      turn_.wait(lock, [&] { return mine.done || !writing_; });
      if (mine.done) return;
      writing_ = true;
      const Together all = next();
      lock.unlock();
      write_all(all);
      lock.lock();
      writing_ = false;
      for (Waiting* const one : all) one->done = true;
      turn_.notify_all();
    }
  }

 private:
  Together next() {
    constexpr std::size_t most_together = 64;
    const auto end = waiting_.begin() + static_cast<std::ptrdiff_t>(std::min(most_together, waiting_.size()));
    Together all(waiting_.begin(), end);
    waiting_.erase(waiting_.begin(), end);
    return all;
  }

  [[nodiscard]] bool on_server() const { return std::holds_alternative<OnServer>(place_); }
  std::unique_ptr<Session> take_idle() {
    const std::lock_guard lock(mutex_);
    if (idle_.empty()) return nullptr;
    std::unique_ptr<Session> session = std::move(idle_.back());
    idle_.pop_back();
    return session;
  }
  void drop_idle() {
    std::vector<std::unique_ptr<Session>> dropped;  // closed when nobody waits for them
    const std::lock_guard lock(mutex_);
    dropped.swap(idle_);
  }

  void write_all(const Together& all) {
    try {
      std::unique_ptr<Session> session = begun(&Session::begin_writing);
      write_together(*session, all);
      put_back(std::move(session));
    } catch (const base::Failure&) {
      failed();
      for (Waiting* const one : all) one->error = std::current_exception();
    } catch (...) {
      for (Waiting* const one : all) one->error = std::current_exception();
    }
  }

  Place place_;
  std::mutex mutex_;
  std::vector<std::unique_ptr<Session>> idle_;
  std::deque<Waiting*> waiting_;
  std::condition_variable turn_;
  bool writing_ = false;
};

Store::Store(Place place) : sessions_(std::make_unique<Sessions>(std::move(place))) {
  std::unique_ptr<Session> session = sessions_->take();
  found_.version_before = version_of(*session);
  if (found_.version_before == 0) must_have_no_files(*session);
  migrate(*session);
  found_.version = version_of(*session);
  if (found_.version_before > 0) found_.orphans = sweep_files(*session);
  sessions_->put_back(std::move(session));
}

Store::~Store() = default;
Store::Store(Store&&) noexcept = default;
Store& Store::operator=(Store&&) noexcept = default;

void Store::read(const std::function<void(const Reader&)>& work) {
  std::unique_ptr<Session> session = sessions_->begun(&Session::begin_reading);
  try {
    work(Reader(*session));
    session->commit();
  } catch (const base::Failure&) {
    session->roll_back();
    sessions_->failed();
    throw;
  } catch (...) {
    session->roll_back();
    throw;
  }
  sessions_->put_back(std::move(session));
}

void Store::write(const Author& author, const std::function<void(Writer&)>& work) {
  Waiting mine{.author = &author, .work = &work};
  sessions_->write(mine);
  if (mine.error) std::rethrow_exception(mine.error);
}

int Store::version() {
  std::unique_ptr<Session> session = sessions_->take();
  const int version = version_of(*session);
  sessions_->put_back(std::move(session));
  return version;
}

}  // namespace throughcure::store
