// What several commands say in the same words.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>

#include <CLI/CLI.hpp>

#include "commands.hpp"

namespace throughcure::apps {

inline void add_seed(CLI::App& command, std::uint64_t& seed) {
  command.add_option("--seed", seed, "seed of the random numbers")->capture_default_str();
}

inline void add_threads(CLI::App& command, unsigned& threads) {
  command.add_option("--threads", threads, "threads; the answer does not depend on it")
      ->capture_default_str()
      ->check(CLI::Range(1, 1024));
}

inline void add_json(CLI::App& command, bool& json) { command.add_flag("--json", json, "one JSON document on stdout"); }

/// Has `run` called with the options when the command line names the command.
template <class Options>
void run_when_named(CLI::App& command, const std::function<void(Action)>& choose,
                    const std::shared_ptr<Options>& options, int (*run)(const Options&, const Context&)) {
  command.callback(
      [options, choose, run] { choose([options, run](const Context& context) { return run(*options, context); }); });
}

}  // namespace throughcure::apps
