// A backup holds the practice's own files of its data folder, and lays them out again, there and nowhere else. Our own
// contract: no outside source.
#include <filesystem>
#include <fstream>
#include <map>
#include <memory>
#include <optional>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "contract/places.hpp"
#include "contract/practice.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/store/backup.hpp"
#include "throughcure/store/copy.hpp"
#include "throughcure/store/folder_files.hpp"
#include "throughcure/store/session.hpp"

namespace throughcure::tests {
namespace {

namespace fs = std::filesystem;
using testing::ElementsAre;
using testing::HasSubstr;

fs::path folder_of(const Ground& ground) { return std::get<store::InFile>(ground.place()).path.parent_path(); }

/// Paths from a folder, with their bytes; of files and of nothing else.
std::map<std::string, std::string> all_in(const fs::path& folder) {
  std::map<std::string, std::string> found;
  for (const auto& entry : fs::recursive_directory_iterator(folder)) {
    if (entry.is_regular_file()) {
      found[entry.path().lexically_relative(folder).generic_string()] = base::read_file(entry.path());
    }
  }
  return found;
}

class BackupOfFolder : public EveryDatabase {
 protected:
  BackupOfFolder() : outside_(ground_called("file")), beside_server_(ground_called("file")) {
    store::Store records(place());
    open_practice(records);
    for (const auto& [path, bytes] : own_) {
      fs::create_directories((data() / path).parent_path());
      base::write_file(data() / path, bytes);
    }
    base::write_file(data() / "local-key.pem", "the key of the machine's certificate");
    base::write_file(data() / "throughcure-folder.txt", "practice");
    fs::create_directory(data() / "backups");
    base::write_file(data() / "backups" / "2026-01-04.backup", "yesterday");
  }
  /// The practice's data folder: where the records' file is, or named beside a server.
  [[nodiscard]] fs::path data() const {
    return GetParam() == "file" ? std::get<store::InFile>(place()).path.parent_path() : folder_of(*beside_server_);
  }
  [[nodiscard]] std::optional<fs::path> named() const {
    return GetParam() == "file" ? std::nullopt : std::optional(data());
  }
  [[nodiscard]] fs::path file() const { return folder_of(*outside_) / "one.backup"; }
  [[nodiscard]] fs::path outside() const { return folder_of(*outside_); }

  /// Changes the paths in a backup, and its manifest with them, as somebody would who means harm.
  void tamper(const std::string& path) const {
    store::Session backup(store::InFile{file()});
    backup.run("UPDATE backup_folder SET path = :v0 WHERE path = 'lights/lamp.toml'", {path});
    backup.run("UPDATE backup_table SET sha256 = :v0 WHERE name = 'backup_folder'",
               {store::hash_of(backup, store::folder_table()).sha256});
    backup.run("PRAGMA journal_mode = DELETE");
  }

  const std::map<std::string, std::string> own_ = {{"class2.toml", "[site]\n"},
                                                   {"lights/lamp.toml", "name = \"lamp\"\n"},
                                                   {"lights/lamp/beam.png", std::string("\x89PNG\0\xff", 6)},
                                                   {"lights/lamp/spectrum.csv", "wavelength_nm,relative\n"},
                                                   {"materials/paste.toml", ""}};

 private:
  std::unique_ptr<Ground> outside_;
  std::unique_ptr<Ground> beside_server_;
};

TEST_P(BackupOfFolder, LightsMaterialsAndCasesComeBack) {
  const store::BackupAbout made = store::back_up(place(), file(), kMonday, named());
  EXPECT_EQ(made.folder_files, 5);
  EXPECT_TRUE(made.left_out.empty());
  for (const char* to : {"file", "server"}) {
    SCOPED_TRACE(to);
    const std::unique_ptr<Ground> empty = ground_called(to);
    const std::unique_ptr<Ground> folder = ground_called("file");
    const fs::path data = folder_of(to == std::string("file") ? *empty : *folder);
    const auto name = to == std::string("file") ? std::nullopt : std::optional(data);
    EXPECT_EQ(store::restore(file(), empty->place(), name).folder_files, 5);
    std::map<std::string, std::string> there = all_in(data);
    std::erase_if(there, [](const auto& one) { return one.first.starts_with("records.db"); });
    EXPECT_EQ(there, own_) << "these, and neither keys nor backups";
  }
}

TEST_P(BackupOfFolder, WithoutANameForItAServersHasNone) {
  if (GetParam() == "file") GTEST_SKIP() << "the file's own folder is known";
  const store::BackupAbout made = store::back_up(place(), file(), kMonday);
  EXPECT_EQ(made.folder_files, 0);
}

TEST_P(BackupOfFolder, LinksAndWhatIsTooLongAreLeftOutAndTold) {
  base::write_file(outside() / "secret.toml", "somebody else's");
  fs::create_symlink(outside() / "secret.toml", data() / "lights" / "linked.toml");
  fs::create_directory_symlink(outside(), data() / "spectra");
  base::write_file(data() / "lights" / "film.tif", "");
  fs::resize_file(data() / "lights" / "film.tif", (std::uintmax_t{64} << 20) + 1);
  const store::BackupAbout made = store::back_up(place(), file(), kMonday, named());
  EXPECT_EQ(made.folder_files, 5);
  EXPECT_THAT(made.left_out,
              ElementsAre(HasSubstr("lights/film.tif: "), "lights/linked.toml: it is a link", "spectra: it is a link"));
  EXPECT_EQ(store::look_through(file()).left_out, made.left_out);
}

TEST_P(BackupOfFolder, NoPathLeadsOutOfTheFolderNorToWhatTheProgramKeepsThere) {
  store::back_up(place(), file(), kMonday, named());
  for (const char* const path : {"../evil.toml", "/evil.toml", "lights/../../evil.toml", "lights/./a.toml", "lights/",
                                 "records.db", "local-key.pem", "files/00/00/x", ".", "", "lights"}) {
    SCOPED_TRACE(path);
    EXPECT_FALSE(store::is_own_path(path));
  }
  for (const char* path : {"class2.toml", "lights/lamp.toml", "spectra/a/b/c.csv", "materials/..a.toml"}) {
    EXPECT_TRUE(store::is_own_path(path)) << path;
  }
  const std::string whole = base::read_file(file());
  for (const char* const path : {"../evil.toml", "lights/../../evil.toml", "local-key.pem"}) {
    SCOPED_TRACE(path);
    std::ofstream(file(), std::ios::binary | std::ios::trunc) << whole;
    tamper(path);
    try {
      store::look_through(file());
      ADD_FAILURE() << "a path that leads elsewhere was not seen";
    } catch (const base::InputError& e) {
      EXPECT_THAT(e.what(), HasSubstr('"' + std::string(path) + '"'));
    }
    const std::unique_ptr<Ground> empty = ground_called("file");
    EXPECT_THROW(store::restore(file(), empty->place()), base::InputError);
    EXPECT_TRUE(all_in(folder_of(*empty)).empty());
    EXPECT_FALSE(fs::exists(folder_of(*empty).parent_path() / "evil.toml"));
  }
}

TEST_P(BackupOfFolder, AChangedPathOrFileIsSeen) {
  store::back_up(place(), file(), kMonday, named());
  const std::string whole = base::read_file(file());
  const char* const other_bytes =
      "UPDATE backup_folder SET sha256 = (SELECT sha256 FROM backup_folder WHERE path = 'class2.toml') WHERE path = "
      "'lights/lamp.toml'";
  for (const char* change : {"UPDATE backup_folder SET path = 'lights/other.toml' WHERE path = 'lights/lamp.toml'",
                             other_bytes, "DELETE FROM backup_folder", "DROP TABLE backup_folder",
                             "DELETE FROM backup_table WHERE name = 'backup_folder'",
                             "DELETE FROM file_part WHERE sha256 IN (SELECT sha256 FROM backup_folder)"}) {
    SCOPED_TRACE(change);
    std::ofstream(file(), std::ios::binary | std::ios::trunc) << whole;
    {
      store::Session backup(store::InFile{file()});
      backup.run(change);
      backup.run("PRAGMA journal_mode = DELETE");
    }
    EXPECT_THROW(store::look_through(file()), base::InputError);
  }
}

TEST_P(BackupOfFolder, NothingThatIsThereIsWrittenOverNorThroughALink) {
  store::back_up(place(), file(), kMonday, named());
  {
    const std::unique_ptr<Ground> taken = ground_called("file");
    fs::create_directory(folder_of(*taken) / "lights");
    base::write_file(folder_of(*taken) / "lights" / "lamp.toml", "another lamp");
    EXPECT_THROW(store::restore(file(), taken->place()), base::InputError);
    EXPECT_THAT(all_in(folder_of(*taken)), ElementsAre(testing::Pair("lights/lamp.toml", "another lamp")));
  }
  {
    const std::unique_ptr<Ground> linked = ground_called("file");
    fs::create_directory(outside() / "elsewhere");
    fs::create_directory_symlink(outside() / "elsewhere", folder_of(*linked) / "lights");
    EXPECT_THROW(store::restore(file(), linked->place()), base::InputError);
    EXPECT_TRUE(all_in(outside() / "elsewhere").empty());
    EXPECT_FALSE(fs::exists(folder_of(*linked) / "class2.toml")) << "all or nothing";
  }
}

TEST_P(BackupOfFolder, OfAnEarlierProgramHasNone) {
  store::back_up(place(), file(), kMonday, named());
  {
    store::Session backup(store::InFile{file()});
    backup.run("DROP TABLE backup_folder");
    backup.run("DELETE FROM backup_table WHERE name = 'backup_folder'");
    backup.run("PRAGMA journal_mode = DELETE");
  }
  const std::unique_ptr<Ground> empty = ground_called("file");
  EXPECT_EQ(store::restore(file(), empty->place()).folder_files, 0);
}

INSTANTIATE_TEST_SUITE_P(On, BackupOfFolder, both(), database_name);

}  // namespace
}  // namespace throughcure::tests
