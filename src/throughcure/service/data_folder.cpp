#include "throughcure/service/data_folder.hpp"

#include <optional>
#include <string>

#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"

namespace throughcure::service {

namespace {

namespace fs = std::filesystem;

constexpr std::string_view kMarker = "throughcure-folder.txt";

std::string_view word(FolderKind kind) { return kind == FolderKind::demo ? "demo" : "practice"; }

[[noreturn]] void refuse(const fs::path& folder, std::string what, std::string remedy) {
  throw base::InputError({{folder.string(), 0, 0, {}, std::move(what), std::move(remedy)}});
}

/// What the marker says; nothing when there is none.
std::optional<std::string> marked_as(const fs::path& folder) {
  if (!fs::exists(folder / kMarker)) return std::nullopt;
  const std::string text = base::read_file(folder / kMarker, 4096);
  return text.substr(0, text.find_first_of(" \r\n"));
}

void check_kind(const fs::path& folder, FolderKind kind) {
  const auto marked = marked_as(folder);
  if (!marked) {
    if (fs::is_empty(folder)) return;
    refuse(folder, "this folder holds files that are not throughcure's", "Name an empty or a new folder with --data");
  }
  if (*marked == word(kind)) return;
  if (*marked == word(FolderKind::demo)) {
    refuse(folder, "this is a demo folder, and a demo never becomes a practice",
           "Open it with --demo, or name another folder with --data");
  }
  if (*marked == word(FolderKind::practice)) {
    refuse(folder, "this folder holds a practice, and a practice never becomes a demo",
           "Open it without --demo, or name another folder with --data");
  }
  refuse(folder / kMarker, "\"" + *marked + "\" is neither \"demo\" nor \"practice\"",
         "Use a newer version of throughcure, or name another folder with --data");
}

/// Makes the folder and writes its marker.
void begin(const fs::path& folder, FolderKind kind) {
  std::error_code error;
  fs::create_directories(folder, error);
  if (error) {
    refuse(folder, "the folder cannot be made: " + error.message(), "Name one that you may write with --data");
  }
  // Patient records come to lie here: the folder is its owner's alone.
  fs::permissions(folder, fs::perms::owner_all, fs::perm_options::replace, error);
  base::write_file(folder / kMarker, std::string(word(kind)) +
                                         "\nThis folder belongs to throughcure. The word above says what it holds; "
                                         "leave this file as it is.\n");
}

}  // namespace

void open_data_folder(const fs::path& folder, FolderKind kind, base::EmbeddedFiles demo_files) {
  std::error_code error;
  if (fs::exists(folder, error)) {
    if (!fs::is_directory(folder, error)) refuse(folder, "this is a file", "Name a folder with --data");
    check_kind(folder, kind);
  }
  if (!fs::exists(folder / kMarker)) begin(folder, kind);
  if (kind != FolderKind::demo) return;
  for (const base::EmbeddedFile& file : demo_files) {
    const fs::path path = folder / fs::path(file.path);
    if (fs::exists(path)) continue;
    fs::create_directories(path.parent_path());
    base::write_file(path, file.bytes);
  }
}

}  // namespace throughcure::service
