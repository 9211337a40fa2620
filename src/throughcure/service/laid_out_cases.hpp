// Files of kept cases, laid out in folders of their own so that the cases can be read again as they were.
#pragma once

#include <filesystem>
#include <map>
#include <memory>

#include "throughcure/exchange/case_bundle.hpp"
#include "throughcure/service/remembered_files.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::service {

/// Cases with the same files share a folder. All of it is gone at the end. Not for use from several threads at once.
class LaidOutCases {
 public:
  /// Lays out under a new folder in `under`, made when it is needed.
  LaidOutCases(store::Store& records, std::filesystem::path under);
  ~LaidOutCases();
  LaidOutCases(const LaidOutCases&) = delete;
  LaidOutCases& operator=(const LaidOutCases&) = delete;
  /// Removes what a program left in `under` that was killed; while nothing is laid out there.
  static void sweep(const std::filesystem::path& under);

  /// Readers of the files that were kept with it; they serve as long as this does. Throws base::Failure or
  /// base::InputError, with what to do, when a file is gone or rotten.
  [[nodiscard]] exchange::CaseFiles files_of(const exchange::KeptDocument& kept);

 private:
  store::Store& records_;
  std::filesystem::path under_;
  std::filesystem::path own_;
  std::map<std::map<std::string, std::string>, std::unique_ptr<RememberedFiles>> folders_;
};

}  // namespace throughcure::service
