#include "throughcure/service/light_routes.hpp"

#include <algorithm>

#include "throughcure/exchange/light_file.hpp"
#include "throughcure/service/answer_by_job.hpp"
#include "throughcure/service/light_answer.hpp"
#include "throughcure/service/light_view.hpp"

namespace throughcure::service {

namespace {

namespace fs = std::filesystem;

/// Every light file of the data folder, sorted by name. A light is asked for by the name of its file, which is looked
/// up here and never put together to a path.
std::vector<fs::path> light_files(const fs::path& data_folder) {
  std::vector<fs::path> files;
  std::error_code error;
  for (const auto& entry : fs::directory_iterator(data_folder / "lights", error)) {
    if (entry.path().extension() == ".toml") files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  return files;
}

/// The light of a file, or what is wrong with it. Problems name files as they lie in the folder of the lights: where
/// that is on this machine is nobody's business.
std::optional<optics::Light> read(const fs::path& file, base::Problems& problems) {
  auto light = exchange::read_light(file, problems);
  for (base::Problem& problem : problems) {
    const fs::path inside = fs::path(problem.file).lexically_relative(file.parent_path());
    if (!inside.empty()) problem.file = inside.string();
  }
  return light;
}

LightRow row_of_file(const fs::path& file) {
  const std::string id = file.stem().string();
  base::Problems problems;
  if (const auto light = read(file, problems)) return row_of(*light, id);
  LightRow row;
  row.id = id;
  row.name = id;
  for (const base::Problem& problem : problems) row.problems.push_back(base::sentence(problem));
  return row;
}

std::string list(const fs::path& data_folder, const base::Running& running) {
  std::vector<LightRow> rows;
  for (const fs::path& file : light_files(data_folder)) {
    if (running.stop.stop_requested()) throw base::Interrupted();
    rows.push_back(row_of_file(file));
  }
  return to_json(rows);
}

std::string one(const fs::path& data_folder, const std::string& id) {
  const auto files = light_files(data_folder);
  const auto found = std::ranges::find(files, id, [](const fs::path& file) { return file.stem().string(); });
  if (found == files.end()) throw NotFound("There is no light of this name.");
  base::Problems problems;
  const auto light = read(*found, problems);
  if (!light) throw base::InputError(std::move(problems));
  return to_json(view_of(*light, id));
}

}  // namespace

std::vector<Route> light_routes(const fs::path& data_folder, Jobs& jobs) {
  std::vector<Route> routes;
  routes.push_back(
      {Method::get, "/api/lights", Access::signed_in, "Every light of the practice, with what it gives.",
       answer_by_job(jobs,
                     [data_folder](const Call&, const base::Running& running) { return list(data_folder, running); }),
       true, "", "LightFiles"});
  routes.push_back(
      {Method::get, "/api/lights/{id}", Access::signed_in,
       "One light: its beam, its spectrum, and how its irradiance falls with distance.",
       answer_by_job(jobs, [data_folder](const Call& call,
                                         const base::Running&) { return one(data_folder, call.parameters.at("id")); }),
       true, "", "LightFile"});
  return routes;
}

}  // namespace throughcure::service
