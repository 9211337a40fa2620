// The data folder: whose it is (a demo or a practice) stands in a marker file, and never changes.
#pragma once

#include <filesystem>

#include "throughcure/base/embedded.hpp"

namespace throughcure::service {

enum class FolderKind { demo, practice };

/// Opens the data folder, making it when it is not there or empty. A demo folder gets the files of the demo practice
/// that it lacks; what somebody changed in it stays. Throws base::InputError, naming the folder and the remedy, when
/// the folder is of the other kind, or is neither and not empty; then nothing is written.
void open_data_folder(const std::filesystem::path& folder, FolderKind kind, base::EmbeddedFiles demo_files);

}  // namespace throughcure::service
