// The files that a case names: where they may lie, and who reads them.
#pragma once

#include <filesystem>
#include <functional>
#include <map>
#include <optional>
#include <string_view>
#include <vector>

#include "throughcure/base/problem.hpp"
#include "throughcure/cure/material.hpp"
#include "throughcure/exchange/toml_document.hpp"
#include "throughcure/optics/light.hpp"

namespace throughcure::exchange {

/// Where the files that a case names come from. A service that reads the same case again and again gives readers that
/// remember: a light with a picture and a distance series takes a while.
struct CaseFiles {
  std::filesystem::path folder;  ///< relative names start here
  /// Refuses a name that leads out of `folder`, as must be where somebody else than the folder's owner wrote it.
  bool inside_only = false;
  /// As the readers of light_file.hpp and material_file.hpp: nothing, and a problem more, for a file that is wrong.
  std::function<std::optional<optics::Light>(const std::filesystem::path&, base::Problems&)> light;
  std::function<std::optional<cure::Material>(const std::filesystem::path&, base::Problems&)> material;
};

/// Files that are read from the disk.
CaseFiles case_files(std::filesystem::path folder, bool inside_only = false);

/// The files of one case while it is read: each is read once, and what is wrong in them is kept apart from the case's
/// own problems.
class NamedFiles {
 public:
  explicit NamedFiles(const CaseFiles& files) : files_(files) {}

  /// The light that the key names; nothing where there is no such key, no such file, or anything is wrong with it.
  std::optional<optics::Light> light(const TomlTable& table, std::string_view key);

  /// The material that the key names, as its place among all that were read; nothing as for a light.
  std::optional<std::size_t> material(const TomlTable& table, std::string_view key);

  [[nodiscard]] const cure::Material& material_at(std::size_t place) const { return materials_[place]; }

  /// What is wrong in the named files.
  [[nodiscard]] const base::Problems& problems() const { return problems_; }

 private:
  [[nodiscard]] std::optional<std::filesystem::path> named(const TomlTable& table, std::string_view key) const;

  const CaseFiles& files_;
  std::vector<cure::Material> materials_;
  std::map<std::filesystem::path, std::optional<std::size_t>> place_of_;
  base::Problems problems_;
};

}  // namespace throughcure::exchange
