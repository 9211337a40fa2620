#include "throughcure/exchange/foreign_file.hpp"

#include "throughcure/base/write_file.hpp"

namespace throughcure::exchange {

std::optional<std::string> read_foreign_file(const std::filesystem::path& path, std::size_t most_bytes,
                                             base::Problems& problems) {
  try {
    return base::read_file(path, most_bytes);
  } catch (const base::InputError& error) {
    problems.insert(problems.end(), error.problems().begin(), error.problems().end());
    return std::nullopt;
  }
}

}  // namespace throughcure::exchange
