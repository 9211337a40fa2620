#include "throughcure/service/light_routes.hpp"

#include <algorithm>

#include "throughcure/service/answer_by_job.hpp"
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

LightRow row_of(const fs::path& file) {
  LightRow row;
  row.id = file.stem().string();
  row.name = row.id;
  row.problems = {"This version cannot read the files of lights yet."};
  return row;
}

std::string list(const fs::path& data_folder) {
  std::vector<LightRow> rows;
  for (const fs::path& file : light_files(data_folder)) rows.push_back(row_of(file));
  return to_json(rows);
}

}  // namespace

std::vector<Route> light_routes(const fs::path& data_folder, Jobs& jobs) {
  std::vector<Route> routes;
  routes.push_back(
      {Method::get, "/api/lights", Access::signed_in, "Every light of the practice, with what it gives.",
       answer_by_job(jobs, [data_folder](const Call&, const base::Running&) { return list(data_folder); })});
  return routes;
}

}  // namespace throughcure::service
