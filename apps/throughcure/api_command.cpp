// throughcure api: the description of the API, without a server.
#include <filesystem>
#include <iostream>
#include <memory>
#include <string>
#include <system_error>

#include <unistd.h>

#include "common_options.hpp"
#include "records_place.hpp"
#include "served_routes.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/service/guard.hpp"
#include "throughcure/service/jobs.hpp"
#include "throughcure/service/practice_desk.hpp"
#include "throughcure/service/site.hpp"

namespace throughcure::apps {

namespace {

struct ApiOptions {};

/// A new empty folder, gone with all that is in it at the end.
class ScratchFolder {
 public:
  ScratchFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "throughcure-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr) {
      throw base::Failure("no folder could be made in " + std::filesystem::temp_directory_path().string());
    }
    path_ = name;
  }
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  ~ScratchFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

int print_api(const ApiOptions& /*options*/, const Context& /*context*/) {
  // The table of routes is made over a practice's records; an empty practice has all of them.
  const ScratchFolder folder;
  service::PracticeDesk practice(store::InFile{folder.path() / kRecordsFile}, service::system_now);
  service::Jobs jobs({.workers = 1, .threads_each = 1});
  service::SiteSettings settings;
  settings.version = THROUGHCURE_VERSION;
  practice.complete(settings);
  {
    // Asked for as over the network, so that it is the document that the program serves.
    const service::Site site(settings, practice.sessions(), served_routes(practice, settings, folder.path(), jobs));
    site.answer({.target = "/api/openapi.json",
                 .headers = {{"host", service::authority(settings.reach, settings.reach.hosts.front())}},
                 .body = {}},
                [](const service::Response& response) { std::cout << response.body; });
  }
  jobs.close();
  practice.close();
  return 0;
}

}  // namespace

void add_api_command(CLI::App& app, const std::function<void(Action)>& choose) {
  CLI::App* command = app.add_subcommand("api", "prints the description of the program's HTTP API (OpenAPI 3.1)");
  command->footer("Example:\n  throughcure api > openapi.json");
  run_when_named(*command, choose, std::make_shared<ApiOptions>(), print_api);
}

}  // namespace throughcure::apps
