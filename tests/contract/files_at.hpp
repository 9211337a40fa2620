// Attached files as they lie at a place: to be counted and spoilt behind the store's back.
#pragma once

#include <filesystem>
#include <fstream>
#include <string>

#include "contract/practice.hpp"
#include "throughcure/practice/attachment.hpp"
#include "throughcure/store/place.hpp"
#include "throughcure/store/session.hpp"

namespace throughcure::tests {

/// What is said of a file when it is attached to the light.
inline practice::Attachment paper_of(const Practice& p) {
  return {.belongs_to = "light", .record = p.light.number, .about = "approval", .name = "scan.pdf", .sha256 = {}};
}

inline std::filesystem::path files_folder(const store::InFile& place) { return place.path.parent_path() / "files"; }

inline std::size_t files_kept(const store::Place& place) {
  if (const auto* in = std::get_if<store::InFile>(&place)) {
    std::size_t count = 0;
    if (!std::filesystem::exists(files_folder(*in))) return count;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(files_folder(*in))) {
      if (entry.is_regular_file()) ++count;
    }
    return count;
  }
  store::Session session(place);
  return static_cast<std::size_t>(std::get<std::int64_t>(
      session.ask_one("SELECT count(DISTINCT sha256) FROM file_part", {}, {base::ValueType::kWhole}).at(0)));
}

inline std::filesystem::path file_of(const store::InFile& place, const std::string& sha256) {
  return files_folder(place) / sha256.substr(0, 2) / sha256.substr(2, 2) / sha256;
}

/// Takes the bytes of the hash away.
inline void lose(const store::Place& place, const std::string& sha256) {
  if (const auto* in = std::get_if<store::InFile>(&place)) {
    std::filesystem::remove(file_of(*in, sha256));
    return;
  }
  store::Session session(place);
  session.run("DELETE FROM file_part WHERE sha256 = :v0", {sha256});
}

/// Puts other bytes where those of the hash should be. `base64` is what they are on a server.
inline void put_instead(const store::Place& place, const std::string& sha256, const std::string& bytes,
                        const std::string& base64) {
  if (const auto* in = std::get_if<store::InFile>(&place)) {
    std::filesystem::create_directories(file_of(*in, sha256).parent_path());
    std::ofstream(file_of(*in, sha256), std::ios::binary | std::ios::trunc) << bytes;
    return;
  }
  store::Session session(place);
  session.run("DELETE FROM file_part WHERE sha256 = :v0", {sha256});
  session.insert("file_part", {"sha256", "part", "base64"}, {sha256, std::int64_t{0}, base64});
}

}  // namespace throughcure::tests
