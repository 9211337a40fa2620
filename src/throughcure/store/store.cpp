#include "throughcure/store/store.hpp"

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

}  // namespace

/// Connections at rest: one is taken for each piece of work and put back after it.
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
  /// Writers of this process wait here rather than in the database.
  std::mutex& writing() { return writing_; }

 private:
  Place place_;
  std::mutex mutex_;
  std::mutex writing_;
  std::vector<std::unique_ptr<Session>> idle_;
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
  const std::lock_guard lock(sessions_->writing());
  std::unique_ptr<Session> session = sessions_->take();
  session->begin_writing();
  try {
    Writer writer(*session, author);
    work(writer);
    writer.close();
    session->commit();
  } catch (...) {
    session->roll_back();
    throw;
  }
  sessions_->put_back(std::move(session));
}

int Store::version() {
  std::unique_ptr<Session> session = sessions_->take();
  const int version = version_of(*session);
  sessions_->put_back(std::move(session));
  return version;
}

}  // namespace throughcure::store
