#include "throughcure/service/remembered_files.hpp"

#include <system_error>
#include <utility>

#include "throughcure/exchange/light_file.hpp"
#include "throughcure/exchange/material_file.hpp"

namespace throughcure::service {

template <class T, class Read>
std::optional<T> RememberedFiles::recall(std::map<std::filesystem::path, Remembered<T>>& known,
                                         const std::filesystem::path& path, base::Problems& problems,
                                         const Read& read) {
  std::error_code error;
  const auto written = std::filesystem::last_write_time(path, error);
  const auto size = error ? 0 : std::filesystem::file_size(path, error);
  if (!error) {
    const std::scoped_lock lock(mutex_);
    const auto found = known.find(path);
    if (found != known.end() && found->second.written == written && found->second.size == size) {
      return found->second.value;
    }
  }
  std::optional<T> value = read(path, problems);
  if (value && !error) {
    const std::scoped_lock lock(mutex_);
    known.insert_or_assign(path, Remembered<T>{written, size, *value});
  }
  return value;
}

exchange::CaseFiles RememberedFiles::case_files() {
  return {.folder = folder_,
          .inside_only = true,
          .light =
              [this](const std::filesystem::path& path, base::Problems& problems) {
                return recall(lights_, path, problems, [](const std::filesystem::path& file, base::Problems& found) {
                  return exchange::read_light(file, found);
                });
              },
          .material =
              [this](const std::filesystem::path& path, base::Problems& problems) {
                return recall(materials_, path, problems, [](const std::filesystem::path& file, base::Problems& found) {
                  return exchange::read_material(file, found);
                });
              }};
}

}  // namespace throughcure::service
