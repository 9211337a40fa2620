// How the last backup of the day went: set by what makes it, read by the page that tells the lead.
#pragma once

#include <mutex>
#include <string>
#include <utility>
#include <vector>

#include "throughcure/store/backup.hpp"

namespace throughcure::service {

struct BackupNews {
  std::string trouble;                ///< why none could be made; empty where one was
  std::vector<store::LostFile> lost;  ///< what it lacks
  friend bool operator==(const BackupNews&, const BackupNews&) = default;
};

/// Safe from any thread. Nothing is wrong until something was.
class BackupState {
 public:
  [[nodiscard]] BackupNews news() const {
    const std::scoped_lock lock(mutex_);
    return news_;
  }
  void set(BackupNews news) {
    const std::scoped_lock lock(mutex_);
    news_ = std::move(news);
  }

 private:
  mutable std::mutex mutex_;
  BackupNews news_;
};

}  // namespace throughcure::service
