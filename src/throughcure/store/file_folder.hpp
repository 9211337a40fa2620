// Attached files beside the database's file: named by their SHA-256, in folders by its first two bytes
// ("ab/cd/abcd...").
#pragma once

#include <cstddef>
#include <filesystem>
#include <set>
#include <string>
#include <string_view>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/practice/digest.hpp"

namespace throughcure::store {

/// Not for several writers at once: the store's write transaction keeps them apart.
/// The bytes of a hash cannot be had any more: gone, or others in their place. The records themselves are sound.
class LostBytes : public base::Failure {
 public:
  LostBytes(std::string text, bool changed) : Failure(std::move(text)), changed_(changed) {}
  /// Whether there are others in their place.
  [[nodiscard]] bool changed() const { return changed_; }

 private:
  bool changed_;
};

class FileFolder {
 public:
  explicit FileFolder(std::filesystem::path folder) : folder_(std::move(folder)) {}

  /// When it returns the bytes and their name are on the disk, the folders' names too. The same bytes are not written
  /// again; a file that no longer has them is. Throws base::Failure.
  void keep(const practice::Digest& hash, std::string_view bytes) const;
  /// Throws base::Failure where the file is gone or its bytes are no longer those of the hash.
  [[nodiscard]] std::string read(const practice::Digest& hash) const;
  /// Whether it has none of our files.
  [[nodiscard]] bool is_empty() const;
  /// Removes files of ours that `named` (hashes in hexadecimal digits) does not have, and those half written; returns
  /// how many. Only inside a write transaction: a file is there before the row that names it.
  [[nodiscard]] std::size_t sweep(const std::set<std::string>& named) const;

 private:
  [[nodiscard]] bool is_ours(const std::filesystem::path& file) const;
  [[nodiscard]] std::filesystem::path path_of(const std::string& hash) const;
  std::filesystem::path folder_;
};

}  // namespace throughcure::store
