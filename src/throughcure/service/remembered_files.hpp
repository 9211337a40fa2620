// Lights and materials of the data folder, read again only when their files have changed.
#pragma once

#include <filesystem>
#include <map>
#include <mutex>
#include <string>

#include "throughcure/exchange/case_files.hpp"

namespace throughcure::service {

/// Readers that remember what they read, for as long as the file keeps its size and its time of writing. A file that
/// another one names (a spectrum, a picture) is not watched: touch the light's own file after changing it. Safe from
/// several threads; must outlive the CaseFiles that it gave.
class RememberedFiles {
 public:
  explicit RememberedFiles(std::filesystem::path folder) : folder_(std::move(folder)) {}

  /// Files of a case inside the folder; names that lead out of it are refused.
  [[nodiscard]] exchange::CaseFiles case_files();

 private:
  template <class T>
  struct Remembered {
    std::filesystem::file_time_type written{};
    std::uintmax_t size = 0;
    T value;
  };
  template <class T, class Read>
  std::optional<T> recall(std::map<std::filesystem::path, Remembered<T>>& known, const std::filesystem::path& path,
                          base::Problems& problems, const Read& read);

  std::filesystem::path folder_;
  std::mutex mutex_;
  std::map<std::filesystem::path, Remembered<optics::Light>> lights_;
  std::map<std::filesystem::path, Remembered<cure::Material>> materials_;
};

}  // namespace throughcure::service
