#include "records_place.hpp"

#include "throughcure/base/problem.hpp"

namespace throughcure::apps {

void add_records(CLI::App& command, RecordsOptions& options) {
  command.add_option("--data", options.data, "folder of the practice, in which its records lie");
  command.add_option("--server", options.server,
                     "connection string of the PostgreSQL database in which they lie instead: \"host=... dbname=...\"");
}

store::Place place_of(const RecordsOptions& options) {
  if (options.data.empty() == options.server.empty()) {
    throw base::InputError({{{},
                             0,
                             0,
                             "--data, --server",
                             options.data.empty() ? "it is not said where the records lie" : "both are named",
                             "Name the practice's folder with --data, or its database with --server"}});
  }
  if (!options.server.empty()) return store::OnServer{options.server};
  if (!std::filesystem::is_directory(options.data)) {
    throw base::InputError({{options.data, 0, 0, "--data", "there is no such folder", "Name the practice's folder"}});
  }
  return store::InFile{std::filesystem::path(options.data) / kRecordsFile};
}

}  // namespace throughcure::apps
