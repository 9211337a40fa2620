#include "throughcure/service/laid_out_cases.hpp"

#include <string>
#include <string_view>
#include <system_error>
#include <utility>
#include <vector>

#include <stdlib.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::service {

namespace fs = std::filesystem;

namespace {

constexpr std::string_view kNameBegins = "recomputing-";

}  // namespace

void LaidOutCases::sweep(const fs::path& under) {
  std::error_code ignored;
  std::vector<fs::path> left;
  for (const auto& entry : fs::directory_iterator(under, ignored)) {
    if (entry.path().filename().string().starts_with(kNameBegins)) left.push_back(entry.path());
  }
  for (const fs::path& folder : left) fs::remove_all(folder, ignored);
}

LaidOutCases::LaidOutCases(store::Store& records, fs::path under) : records_(records), under_(std::move(under)) {}

LaidOutCases::~LaidOutCases() {
  std::error_code ignored;
  if (!own_.empty()) fs::remove_all(own_, ignored);
}

exchange::CaseFiles LaidOutCases::files_of(const exchange::KeptDocument& kept) {
  const auto there = folders_.find(kept.files);
  if (there != folders_.end()) return there->second->case_files();
  if (own_.empty()) {
    std::string name = (under_ / (std::string(kNameBegins) + "XXXXXX")).string();
    if (mkdtemp(name.data()) == nullptr) {
      throw base::Failure("no folder for kept cases can be made in " + under_.string() +
                          ". Free some space there, or let this program write into it.");
    }
    own_ = name;
  }
  exchange::BundledFiles files;
  records_.read([&](const store::Reader& reader) {
    for (const auto& [path, sha256] : kept.files) files.emplace(path, reader.kept_file(sha256));
  });
  const fs::path folder = own_ / std::to_string(folders_.size());
  exchange::lay_out(files, folder);
  return folders_.emplace(kept.files, std::make_unique<RememberedFiles>(folder)).first->second->case_files();
}

}  // namespace throughcure::service
