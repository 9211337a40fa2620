#include "records_place.hpp"

#include "throughcure/base/problem.hpp"

namespace throughcure::apps {

void add_records(CLI::App& command, RecordsOptions& options) {
  command.add_option("--data", options.data, "folder of the practice, in which its records lie");
  command.add_option("--server", options.server,
                     "connection string of the PostgreSQL database in which they lie instead: \"host=... dbname=...\"");
}

namespace {

[[noreturn]] void refuse_options(const std::string& what) {
  throw base::InputError(
      {{{}, 0, 0, "--data, --server", what, "Name the practice's folder with --data, or its database with --server"}});
}

}  // namespace

Practice practice_of(const RecordsOptions& options) {
  if (options.data.empty() && options.server.empty()) refuse_options("it is not said where the records lie");
  const std::filesystem::path folder(options.data);
  if (options.server.empty()) return {store::InFile{folder / kRecordsFile}, folder};
  return {store::OnServer{options.server}, options.data.empty() ? std::nullopt : std::optional(folder)};
}

void must_be_folder(const RecordsOptions& options) {
  if (options.data.empty() || std::filesystem::is_directory(options.data)) return;
  throw base::InputError({{options.data, 0, 0, "--data", "there is no such folder", "Name the practice's folder"}});
}

store::Place place_of(const RecordsOptions& options) {
  if (!options.data.empty() && !options.server.empty()) refuse_options("both are named");
  const Practice practice = practice_of(options);
  must_be_folder(options);
  return practice.place;
}

}  // namespace throughcure::apps
