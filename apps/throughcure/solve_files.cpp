#include "solve_files.hpp"

#include <system_error>

#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/exchange/resolved_case.hpp"

namespace throughcure::apps {

void write_solve_files(const std::filesystem::path& folder, const Solved& solved, const std::string& json,
                       std::uint64_t seed, const base::Running& running) {
  static_cast<void>(seed);
  static_cast<void>(running);
  std::error_code error;
  std::filesystem::create_directories(folder, error);
  if (error) throw base::Failure("cannot make the folder " + folder.string() + ": " + error.message());
  base::write_file(folder / "verdict.json", json + "\n");
  base::write_file(folder / "resolved.toml", exchange::resolved_case_toml(solved.ground.c));
}

}  // namespace throughcure::apps
