#include "throughcure/service/jobs.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/service/token.hpp"

namespace throughcure::service {

bool is_over(JobState state) { return state != JobState::waiting && state != JobState::running; }

Jobs::Jobs(JobRules rules) : rules_(rules) {
  for (unsigned i = 0; i < std::max(1U, rules.workers); ++i) workers_.emplace_back([this] { work(); });
}

Jobs::~Jobs() { close(); }

std::optional<std::string> Jobs::submit(JobOrder order) {
  std::string name = random_token();
  std::function<void()> tell;
  {
    const std::scoped_lock lock(mutex_);
    if (closed_) return std::nullopt;
    if (!order.drag.empty()) tell = supersede(order.person, order.drag);
    std::deque<std::string>& queue = waiting_[order.person];
    if (queue.size() >= rules_.most_waiting) return std::nullopt;
    queue.push_back(name);
    jobs_[name].order = std::move(order);
  }
  wake_.notify_one();
  if (tell) tell();
  return name;
}

std::optional<JobView> Jobs::view(std::string_view name, std::string_view person) const {
  const std::scoped_lock lock(mutex_);
  const auto job = jobs_.find(name);
  if (job == jobs_.end() || job->second.order.person != person) return std::nullopt;
  return job->second.view;
}

bool Jobs::cancel(std::string_view name, std::string_view person) {
  std::function<void()> tell;
  {
    const std::scoped_lock lock(mutex_);
    const auto job = jobs_.find(name);
    if (job == jobs_.end() || job->second.order.person != person || is_over(job->second.view.state)) return false;
    job->second.stop.request_stop();
    if (job->second.view.state == JobState::waiting) {
      std::erase(waiting_[job->second.order.person], job->first);
      tell = finish(job, JobState::stopped);
    }
  }
  if (tell) tell();
  return true;
}

/// The one with this key that nothing has taken the place of yet; the caller holds the lock.
Jobs::Named::const_iterator Jobs::open_job(std::string_view drag, std::string_view person) const {
  return std::ranges::find_if(jobs_, [&](const auto& entry) {
    const Job& job = entry.second;
    return !is_over(job.view.state) && !job.superseded && job.order.drag == drag && job.order.person == person;
  });
}

std::optional<JobView> Jobs::view_of_drag(std::string_view drag, std::string_view person) const {
  const std::scoped_lock lock(mutex_);
  const auto job = open_job(drag, person);
  if (job == jobs_.end()) return std::nullopt;
  return job->second.view;
}

bool Jobs::cancel_drag(std::string_view drag, std::string_view person) {
  std::string name;
  {
    const std::scoped_lock lock(mutex_);
    const auto job = open_job(drag, person);
    if (job == jobs_.end()) return false;
    name = job->first;
  }
  return cancel(name, person);
}

void Jobs::stop_all() {
  std::vector<std::function<void()>> tell;
  {
    const std::scoped_lock lock(mutex_);
    closed_ = true;
    waiting_.clear();
    std::vector<std::string> names;
    for (const auto& [name, job] : jobs_) {
      if (!is_over(job.view.state)) names.push_back(name);
    }
    for (const std::string& name : names) {
      const auto job = jobs_.find(name);
      job->second.stop.request_stop();
      if (job->second.view.state == JobState::waiting) tell.push_back(finish(job, JobState::stopped));
    }
  }
  wake_.notify_all();
  for (const auto& one : tell) {
    if (one) one();
  }
}

void Jobs::close() {
  stop_all();
  for (std::thread& worker : workers_) {
    if (worker.joinable()) worker.join();
  }
}

void Jobs::work() {
  while (const auto name = take_next()) run(*name);
}

/// Waits for a job and marks it as running; nothing when the queue is closed.
std::optional<std::string> Jobs::take_next() {
  std::unique_lock lock(mutex_);
  const auto has_work = [](const auto& entry) { return !entry.second.empty(); };
  wake_.wait(lock, [&] { return closed_ || std::any_of(waiting_.begin(), waiting_.end(), has_work); });
  if (closed_) return std::nullopt;
  std::erase_if(waiting_, [](const auto& entry) { return entry.second.empty(); });
  const auto rank = [this](const std::string& person) { return std::tuple(running_[person], served_[person]); };
  const auto next = std::min_element(waiting_.begin(), waiting_.end(),
                                     [&](const auto& a, const auto& b) { return rank(a.first) < rank(b.first); });
  std::string name = std::move(next->second.front());
  next->second.pop_front();
  ++running_[next->first];
  served_[next->first] = ++turn_;
  jobs_.find(name)->second.view.state = JobState::running;
  return name;
}

void Jobs::run(const std::string& name) {
  std::unique_lock lock(mutex_);
  Job& job = jobs_.find(name)->second;  // stays where it is: only jobs that are over are dropped from the map
  lock.unlock();
  const auto progress = [this, &job](double share_done, std::string_view what) {
    const std::scoped_lock hold(mutex_);
    job.view.share_done = share_done;
    job.view.doing = what;
  };
  JobState state = JobState::done;
  std::string result;
  std::string why;
  try {
    result = job.order.work({.threads = rules_.threads_each, .stop = job.stop.get_token(), .progress = progress});
  } catch (const base::Interrupted&) {
    state = JobState::stopped;
  } catch (const std::exception& error) {
    state = JobState::failed;
    why = error.what();
  }
  lock.lock();
  if (job.superseded) state = JobState::superseded;
  if (state == JobState::done) job.view.result = std::move(result);
  job.view.why = std::move(why);
  if (--running_[job.order.person] == 0) running_.erase(job.order.person);
  const auto tell = finish(jobs_.find(name), state);
  lock.unlock();
  if (tell) tell();
}

/// Marks a job as over, drops the oldest that are, and returns what to call once the lock is free.
std::function<void()> Jobs::finish(Named::iterator job, JobState state) {
  job->second.view.state = state;
  if (state == JobState::done) job->second.view.share_done = 1;
  job->second.order.work = nullptr;
  std::function<void()> tell;
  if (job->second.order.over) {
    tell = [over = std::move(job->second.order.over), view = job->second.view] { over(view); };
  }
  over_.push_back(job->first);
  while (over_.size() > rules_.most_kept) {
    jobs_.erase(over_.front());
    over_.pop_front();
  }
  return tell;
}

/// Ends the older job with this key, if there is one: at most one is ever waiting or running unstopped.
std::function<void()> Jobs::supersede(const std::string& person, const std::string& drag) {
  std::function<void()> tell;
  for (auto job = jobs_.begin(); job != jobs_.end(); ++job) {
    Job& older = job->second;
    if (is_over(older.view.state) || older.order.person != person || older.order.drag != drag) continue;
    older.superseded = true;
    older.stop.request_stop();
    if (older.view.state == JobState::waiting) {
      std::erase(waiting_[person], job->first);
      tell = finish(job, JobState::superseded);
      break;  // the map may have lost an entry that was over; and a waiting one is the only one left
    }
  }
  return tell;
}

}  // namespace throughcure::service
