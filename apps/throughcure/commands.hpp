// The subcommands: each adds itself to the command line and says what runs when it is chosen.
#pragma once

#include <functional>
#include <stop_token>

namespace CLI {
class App;
}

namespace throughcure::apps {

/// What every command is handed: where to look for a request to stop (SIGINT, SIGTERM).
struct Context {
  std::stop_token stop;
};

/// What a chosen command does; returns the exit status.
using Action = std::function<int(const Context&)>;

/// Adds one subcommand to `app`. `choose` is called with its action when the command line names it.
using AddCommand = void (*)(CLI::App& app, const std::function<void(Action)>& choose);

/// throughcure beam: what a light gives, in numbers and as a map.
void add_beam_command(CLI::App& app, const std::function<void(Action)>& choose);

/// throughcure solve: does a restoration cure through, why, and what would make it so.
void add_solve_command(CLI::App& app, const std::function<void(Action)>& choose);

/// throughcure slab: light through plane layers, for anyone who wants to check the transport.
void add_slab_command(CLI::App& app, const std::function<void(Action)>& choose);

/// throughcure verify: published experiments, run again and compared.
void add_verify_command(CLI::App& app, const std::function<void(Action)>& choose);

/// throughcure scrape: the scrape test of a material under a light, simulated.
void add_scrape_command(CLI::App& app, const std::function<void(Action)>& choose);

/// throughcure audit verify: is an exported audit log the one that was written.
void add_audit_command(CLI::App& app, const std::function<void(Action)>& choose);

/// throughcure backup: the practice's records into one file, while they are in use.
void add_backup_command(CLI::App& app, const std::function<void(Action)>& choose);
/// throughcure restore: records out of a backup, looked through first.
void add_restore_command(CLI::App& app, const std::function<void(Action)>& choose);
/// throughcure chart: readings of a light on a control chart.
void add_chart_command(CLI::App& app, const std::function<void(Action)>& choose);

/// throughcure serve: the page in a browser on this machine.
void add_serve_command(CLI::App& app, const std::function<void(Action)>& choose);

/// throughcure api: what the program's HTTP API is, as a document.
void add_api_command(CLI::App& app, const std::function<void(Action)>& choose);

/// Parses the command line and runs the chosen command. Throws what the command throws.
int run(int argc, char** argv);

}  // namespace throughcure::apps
