#include "throughcure/exchange/case_files.hpp"

#include <string>
#include <utility>

#include "throughcure/exchange/light_file.hpp"
#include "throughcure/exchange/material_file.hpp"

namespace throughcure::exchange {

namespace {

namespace fs = std::filesystem;

/// By the name alone: the folder's owner may lead elsewhere with a link of their own.
bool leads_out(const fs::path& name) {
  const fs::path normal = name.lexically_normal();
  return normal.is_absolute() || (!normal.empty() && *normal.begin() == "..");
}

}  // namespace

CaseFiles case_files(fs::path folder, bool inside_only) {
  return {.folder = std::move(folder),
          .inside_only = inside_only,
          .light = [](const fs::path& path, base::Problems& problems) { return read_light(path, problems); },
          .material = [](const fs::path& path, base::Problems& problems) { return read_material(path, problems); }};
}

std::optional<fs::path> NamedFiles::named(const TomlTable& table, std::string_view key) const {
  fs::path file = table.file(key);
  if (file.empty()) return std::nullopt;
  const std::string name = table.text(key);
  if (files_.inside_only && leads_out(name)) {
    table.refuse(key, "\"" + name + "\" leads out of the folder that holds the case",
                 "Name a file in that folder, relative to it");
    return std::nullopt;
  }
  return file;
}

std::optional<optics::Light> NamedFiles::light(const TomlTable& table, std::string_view key) {
  const auto file = named(table, key);
  return file ? files_.light(*file, problems_) : std::nullopt;
}

std::optional<std::size_t> NamedFiles::material(const TomlTable& table, std::string_view key) {
  const auto file = named(table, key);
  if (!file) return std::nullopt;
  const auto [place, is_new] = place_of_.try_emplace(*file);
  if (!is_new) return place->second;
  if (auto material = files_.material(*file, problems_)) {
    place->second = materials_.size();
    materials_.push_back(*std::move(material));
  }
  return place->second;
}

}  // namespace throughcure::exchange
