// One line of progress on stderr, only where somebody can see it.
#pragma once

#include <chrono>
#include <cstdio>
#include <string_view>

#include <unistd.h>

#include "throughcure/base/parallel.hpp"

namespace throughcure::apps {

/// Paints the share done over itself while stderr is a terminal; silent otherwise.
class ProgressLine {
 public:
  ProgressLine() : visible_(::isatty(STDERR_FILENO) == 1) {}
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;
  ~ProgressLine() { clear(); }

  /// The sink must not outlive this.
  base::Progress sink() {
    if (!visible_) return {};
    return [this](double share, std::string_view what) {
      const auto now = std::chrono::steady_clock::now();
      if (now - painted_ < std::chrono::milliseconds(100)) return;
      painted_ = now;
      dirty_ = true;
      std::fprintf(stderr, "\r%3.0f %% %.*s ", 100 * share, static_cast<int>(what.size()), what.data());
    };
  }
  /// Wipes the line.
  void clear() {
    if (dirty_) std::fprintf(stderr, "\r\033[K");
    dirty_ = false;
  }

 private:
  bool visible_ = false;
  bool dirty_ = false;
  std::chrono::steady_clock::time_point painted_{};
};

}  // namespace throughcure::apps
