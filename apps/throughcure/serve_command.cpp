// throughcure serve: the page in a browser, on this machine or in its network.
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <iostream>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "common_options.hpp"
#include "records_place.hpp"
#include "serve_door.hpp"
#include "served_routes.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/demo_practice.hpp"
#include "throughcure/embedded/demo_practice.hpp"
#include "throughcure/embedded/engine_mark.hpp"
#include "throughcure/embedded/web_bundle.hpp"
#include "throughcure/exchange/case_document.hpp"
#include "throughcure/service/certificate_watch.hpp"
#include "throughcure/service/daily_backup.hpp"
#include "throughcure/service/data_folder.hpp"
#include "throughcure/service/guard.hpp"
#include "throughcure/service/jobs.hpp"
#include "throughcure/service/practice_desk.hpp"
#include "throughcure/service/recurring.hpp"
#include "throughcure/service/running_mark.hpp"
#include "throughcure/service/server.hpp"
#include "throughcure/service/sessions.hpp"
#include "throughcure/service/site.hpp"
#include "throughcure/service/start_up.hpp"
#include "throughcure/store/only_server.hpp"

namespace throughcure::apps {

namespace {

/// How often it is looked whether the records are still served by this program alone; chosen here.
constexpr std::chrono::minutes kLookedWhetherAlone{1};

/// What the command line said.
struct ServeOptions {
  std::string data;
  std::string web;
  std::string records;  ///< connection string; empty: in the folder
  DoorOptions door;
  bool demo = false;
};

/// Where a practice's data lies when nobody says otherwise.
std::filesystem::path usual_folder(bool demo) {
  const auto variable = [](const char* name) -> std::string {
    // NOLINTNEXTLINE(concurrency-mt-unsafe): nothing in this program changes the environment
    const char* value = std::getenv(name);
    return value == nullptr ? "" : value;
  };
  std::filesystem::path base = variable("XDG_DATA_HOME");
  if (base.empty() && variable("HOME").empty()) {
    throw base::InputError(
        {{{}, 0, 0, "--data", "there is no home folder to keep the data in", "Name a folder with --data"}});
  }
  if (base.empty()) base = std::filesystem::path(variable("HOME")) / ".local" / "share";
  return base / (demo ? "throughcure-demo" : "throughcure");
}

service::AssetSource page_files(const std::string& web) {
  if (web.empty()) return embedded::web_bundle();
  if (!std::filesystem::is_regular_file(std::filesystem::path(web) / "index.html")) {
    throw base::InputError({{web, 0, 0, "--web", "no index.html lies in this folder",
                             "Build the page first, or leave --web out to use the one in the program"}});
  }
  return std::filesystem::path(web);
}

/// The demo's cases as documents, as a restoration keeps them.
std::vector<std::string> demo_cases(const std::filesystem::path& folder) {
  std::vector<std::string> documents;
  for (const char* name : {"class2-good.toml", "class2-upright.toml", "class2-poor.toml"}) {
    documents.push_back(exchange::case_document_json(folder / name));
  }
  return documents;
}

store::Place records_of(const ServeOptions& options, const std::filesystem::path& folder) {
  if (options.records.empty()) return store::InFile{folder / kRecordsFile};
  return store::OnServer{options.records};
}

/// Each of two programs would keep to itself who is signed in, and take the other's files for leftovers.
void must_be_alone(const service::RunningMark& mark, const std::filesystem::path& folder) {
  if (!mark.is_anothers()) return;
  throw base::Failure("another throughcure serves from the folder " + folder.string() +
                      " already. Use that one, or stop it first.");
}

int serve(const ServeOptions& options, const Context& context) {
  const std::filesystem::path folder =
      options.data.empty() ? usual_folder(options.demo) : std::filesystem::path(options.data);
  const service::AssetSource web = page_files(options.web);
  service::open_data_folder(folder, options.demo ? service::FolderKind::demo : service::FolderKind::practice,
                            embedded::demo_practice());

  Door door = door_of(options.door, folder);
  service::Server server(door.server);
  door.reach.port = server.port();
  service::RunningMark mark(folder);
  must_be_alone(mark, folder);
  store::OnlyServer alone(records_of(options, folder));
  service::PracticeDesk practice(records_of(options, folder), service::system_now);
  // A list or a mesh does not wait for reasons that take a minute.
  service::Jobs jobs({.workers = 2, .threads_each = base::hardware_threads()});
  service::SiteSettings settings;
  settings.reach = door.reach;
  settings.version = THROUGHCURE_VERSION;
  settings.engine = std::string(THROUGHCURE_VERSION) + " (" + embedded::kEngineMark + ")";
  settings.demo = options.demo;
  settings.web = web;
  settings.log = [](std::string_view what) { std::cerr << what << '\n'; };
  practice.complete(settings);
  const service::Site site(settings, practice.sessions(), served_routes(practice, settings, folder, jobs));

  if (options.demo) {
    const practice::Member lead = desk::demo_practice(practice.records(), settings.now(), demo_cases(folder));
    const std::string link = service::sign_in_link(settings, practice.sessions().invite(lead, settings.now()));
    std::cout << "Sign in once, within ten minutes: " << link << '\n';
  } else if (!practice.first_code().empty()) {
    std::cout << "This practice is new. Make its lead's account with the code " << practice.first_code()
              << " at: " << service::origin(settings.reach) << "/begin\n";
  }
  for (const std::string& sentence : service::start_up_sentences(practice.records(), mark.was_left(), settings.now())) {
    std::cout << sentence << '\n';
  }
  mark.looked_after();
  std::cout << (options.demo ? "Then at: " : "The page is at: ") << service::origin(settings.reach) << "/\n";
  if (options.demo) std::cout << "Decisions are signed with the password: " << desk::kDemoPassword << '\n';
  say_door(std::cout, door);
  std::cout << std::flush;
  practice.warm_up();
  std::optional<service::DailyBackup> daily;
  if (!options.demo) {
    daily.emplace(records_of(options, folder), folder / "backups", settings.now, settings.log, practice.backups());
  }
  std::optional<service::CertificateWatch> certificate;
  std::optional<service::Recurring> watching;
  if (door.server.tls) {
    certificate.emplace(
        *door.server.tls, door.current_certificate,
        [&server](const service::TlsIdentity& identity) { server.show(identity); }, settings.log);
    watching.emplace(service::kCertificateLookedAt, [&certificate] { certificate->look(); });
  }
  const service::Recurring look_alone(kLookedWhetherAlone, [&alone, &settings] {
    const std::string wrong = alone.look();
    if (!wrong.empty()) settings.log(wrong);
  });
  const std::stop_callback stop_jobs(context.stop, [&jobs] { jobs.stop_all(); });
  server.run([&site](service::Request request, const service::Reply& reply) { site.answer(std::move(request), reply); },
             context.stop, [&site](const service::Request& head) { return site.most_body_bytes(head); });
  jobs.close();
  practice.close();
  // A signal is how this command ends, so being stopped by one is no interruption.
  return 0;
}

}  // namespace

void add_serve_command(CLI::App& app, const std::function<void(Action)>& choose) {
  auto options = std::make_shared<ServeOptions>();
  CLI::App* command = app.add_subcommand("serve", "Shows the page in a browser, on this machine or in its network");
  command->add_option("--data", options->data, "folder of the practice; made when it is not there");
  add_door_options(*command, options->door);
  command->add_option("--server", options->records,
                      "connection string of the PostgreSQL database in which the records lie, instead of the folder");
  command->add_option("--web", options->web, "serve the page from this folder (for working on it)");
  command->add_flag("--demo", options->demo, "make or open a demo folder with an invented practice");
  command->footer(
      "Example:\n  throughcure serve --demo --data ~/demo --port 0\n  throughcure serve --lan\n\nCtrl-C stops it.");
  run_when_named(*command, choose, options, serve);
}

}  // namespace throughcure::apps
