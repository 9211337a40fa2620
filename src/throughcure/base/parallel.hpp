// Batches of work on several threads; results land by batch index, so reductions run in a fixed order.
#pragma once

#include <cstddef>
#include <functional>
#include <stop_token>
#include <string_view>

namespace throughcure::base {

/// Told from one thread at a time: the share done [0..1] and what is being done.
using Progress = std::function<void(double share_done, std::string_view what)>;

/// How a long function is run. Default: one thread, cannot be stopped, says nothing.
struct Running {
  unsigned threads = 1;
  std::stop_token stop{};
  Progress progress{};
};

/// As many threads as the machine has, at least one.
unsigned hardware_threads();

/// Calls `batch(i)` once for each i in [0, count), on `running.threads` threads, in no stated order.
/// A batch must write only to its own place. The stop token is looked at before each batch (keep batches under 100 ms):
/// throws Interrupted. The first exception of a batch is thrown here after the other threads have finished theirs.
void for_each_batch(std::size_t count, const Running& running, std::string_view what,
                    const std::function<void(std::size_t)>& batch);

}  // namespace throughcure::base
