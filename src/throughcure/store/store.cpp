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
void sweep_files(Session& session) {
  session.begin_writing();
  try {
    FileStore(session).sweep();
    session.commit();
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

/// In one transaction, committed once: what none of them is told before it is on the disk.
void write_together(Session& session, const Together& all) {
  session.begin_writing();
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
    const std::lock_guard lock(mutex_);
    if (idle_.empty()) return std::make_unique<Session>(place_);
    std::unique_ptr<Session> session = std::move(idle_.back());
    idle_.pop_back();
    return session;
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

  void write_all(const Together& all) {
    try {
      std::unique_ptr<Session> session = take();
      write_together(*session, all);
      put_back(std::move(session));
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
  const bool is_new = version_of(*session) == 0;
  if (is_new) must_have_no_files(*session);
  migrate(*session);
  if (!is_new) sweep_files(*session);
  sessions_->put_back(std::move(session));
}

Store::~Store() = default;
Store::Store(Store&&) noexcept = default;
Store& Store::operator=(Store&&) noexcept = default;

void Store::read(const std::function<void(const Reader&)>& work) {
  std::unique_ptr<Session> session = sessions_->take();
  session->begin_reading();
  try {
    work(Reader(*session));
    session->commit();
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
