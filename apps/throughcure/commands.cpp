#include "commands.hpp"

#include <csignal>
#include <thread>
#include <utility>

#include <CLI/CLI.hpp>
#include <pthread.h>

namespace throughcure::apps {

namespace {

/// Every command of the program, in the order in which --help shows them.
constexpr std::initializer_list<AddCommand> kCommands = {
    add_solve_command,   add_beam_command,  add_scrape_command, add_slab_command,
    add_verify_command,  add_chart_command, add_audit_command,  add_backup_command,
    add_restore_command, add_serve_command, add_api_command,
};

/// Turns SIGINT and SIGTERM into a stop request. The signals are blocked before any other thread starts, so only the
/// waiting thread here ever takes them.
class SignalWatch {
 public:
  SignalWatch() {
    sigemptyset(&signals_);
    sigaddset(&signals_, SIGINT);
    sigaddset(&signals_, SIGTERM);
    sigaddset(&signals_, SIGUSR1);  // wakes the watcher when the program is done
    pthread_sigmask(SIG_BLOCK, &signals_, nullptr);
    watcher_ = std::thread([this] {
      int signal = 0;
      while (sigwait(&signals_, &signal) == 0 && signal != SIGUSR1) stop_.request_stop();
    });
  }
  SignalWatch(const SignalWatch&) = delete;
  SignalWatch& operator=(const SignalWatch&) = delete;
  ~SignalWatch() {
    pthread_kill(watcher_.native_handle(), SIGUSR1);
    watcher_.join();
  }
  [[nodiscard]] std::stop_token token() const { return stop_.get_token(); }

 private:
  sigset_t signals_{};
  std::stop_source stop_;
  std::thread watcher_;
};

}  // namespace

int run(int argc, char** argv) {
  CLI::App app{"Does it cure through, how sure are we, what would make it so, and is it safe?", "throughcure"};
  app.set_version_flag("--version", THROUGHCURE_VERSION);
  app.require_subcommand(1);
  app.failure_message(CLI::FailureMessage::help);
  Action chosen;
  for (const AddCommand add : kCommands) add(app, [&chosen](Action action) { chosen = std::move(action); });
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    // Help and version exit 0; everything else is input that cannot be used.
    return app.exit(error) == 0 ? 0 : 2;
  }
  const SignalWatch watch;
  return chosen(Context{.stop = watch.token()});
}

}  // namespace throughcure::apps
