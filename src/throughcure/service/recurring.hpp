// Work that is done again and again in a thread of its own, until its owner goes.
#pragma once

#include <chrono>
#include <condition_variable>
#include <functional>
#include <mutex>
#include <thread>

namespace throughcure::service {

class Recurring {
 public:
  /// Does it at once, and again so long after it was done. `work` must not throw. The destructor waits for work that is
  /// going on.
  Recurring(std::chrono::milliseconds after, std::function<void()> work);
  Recurring(const Recurring&) = delete;
  Recurring& operator=(const Recurring&) = delete;
  ~Recurring();

 private:
  std::mutex mutex_;
  std::condition_variable_any ended_;
  std::jthread thread_;
};

}  // namespace throughcure::service
