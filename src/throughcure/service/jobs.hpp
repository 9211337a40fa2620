// Work that takes longer than an answer may: a small queue beside the HTTP threads, fair between people.
#pragma once

#include <condition_variable>
#include <cstdint>
#include <deque>
#include <functional>
#include <map>
#include <mutex>
#include <optional>
#include <stop_token>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include "throughcure/base/parallel.hpp"

namespace throughcure::service {

enum class JobState { waiting, running, done, failed, stopped, superseded };

/// Where a job stands.
struct JobView {
  JobState state = JobState::waiting;
  double share_done = 0;  ///< [0..1]
  std::string doing;      ///< what it is at, in words
  std::string result;     ///< when done: the document it made
  std::string why;        ///< when failed: the sentence to show
};

bool is_over(JobState state);

/// What to do, for whom.
struct JobOrder {
  std::string person;
  /// The control being dragged, or empty. A newer job of the same person with the same key supersedes the older one,
  /// waiting or running.
  std::string drag;
  /// Returns the document; must look at the stop token (throwing base::Interrupted), or it holds a worker.
  std::function<std::string(const base::Running&)> work;
  /// Told once, on some thread and with no lock held, when the job is over. May be empty; must not throw.
  std::function<void(const JobView&)> over;
};

/// How much is kept and run at once.
struct JobRules {
  unsigned workers = 1;           ///< jobs that run at the same time
  unsigned threads_each = 1;      ///< what a job is told to use
  std::size_t most_waiting = 32;  ///< of one person
  std::size_t most_kept = 64;     ///< jobs that are over and can still be asked about
};

/// Safe to call from any thread.
class Jobs {
 public:
  explicit Jobs(JobRules rules = {});
  Jobs(const Jobs&) = delete;
  Jobs& operator=(const Jobs&) = delete;
  ~Jobs();

  /// Queues a job and returns its name, which nobody can guess. Nothing when this person has too many waiting or the
  /// queue is closed. Among people with waiting jobs the one with the fewest running goes first, then the one who was
  /// served longest ago; one person's jobs run in order.
  std::optional<std::string> submit(JobOrder order);

  /// Where a job of this person stands; nothing when there is no such job (any more) or it is somebody else's.
  [[nodiscard]] std::optional<JobView> view(std::string_view name, std::string_view person) const;

  /// Asks a job of this person to stop. False when there is none or it is over.
  bool cancel(std::string_view name, std::string_view person);

  /// Where the newest job of this person with that drag key stands; nothing when none is waiting or running.
  [[nodiscard]] std::optional<JobView> view_of_drag(std::string_view drag, std::string_view person) const;

  /// Asks that job to stop. False when there is none.
  bool cancel_drag(std::string_view drag, std::string_view person);

  /// Stops everything, takes nothing new, and returns when no job runs any more.
  void close();

  /// The same without waiting: may be called from a stop callback.
  void stop_all();

 private:
  struct Job {
    JobOrder order;
    JobView view;
    std::stop_source stop;
    bool superseded = false;
  };
  using Named = std::map<std::string, Job, std::less<>>;

  void work();
  [[nodiscard]] Named::const_iterator open_job(std::string_view drag, std::string_view person) const;
  [[nodiscard]] std::optional<std::string> take_next();
  void run(const std::string& name);
  std::function<void()> finish(Named::iterator job, JobState state);
  std::function<void()> supersede(const std::string& person, const std::string& drag);

  JobRules rules_;
  mutable std::mutex mutex_;
  std::condition_variable wake_;
  bool closed_ = false;
  Named jobs_;
  std::map<std::string, std::deque<std::string>, std::less<>> waiting_;  ///< by person, oldest first
  std::map<std::string, unsigned, std::less<>> running_;                 ///< by person
  std::map<std::string, std::uint64_t, std::less<>> served_;             ///< by person: the turn of the last start
  std::uint64_t turn_ = 0;
  std::deque<std::string> over_;  ///< oldest first
  std::vector<std::thread> workers_;
};

}  // namespace throughcure::service
