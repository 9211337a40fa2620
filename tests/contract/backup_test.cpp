// A backup holds all, says when it was damaged, and comes back in either database. Our own contract: no outside source.
#include "throughcure/store/backup.hpp"

#include <atomic>
#include <fstream>
#include <random>
#include <string>
#include <thread>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "contract/files_at.hpp"
#include "contract/places.hpp"
#include "contract/practice.hpp"
#include "throughcure/base/base64.hpp"
#include "throughcure/base/hex.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/store/against_log.hpp"
#include "throughcure/store/copy.hpp"
#include "throughcure/store/migrations.hpp"
#include "throughcure/store/session.hpp"

namespace throughcure::tests {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

/// Records with a bit of everything, and a folder for backups.
class Backup : public EveryDatabase {
 protected:
  Backup() : folder_(ground_called("file")) {
    store::Store records(place());
    p_ = open_practice(records);
    records.write(program(), [&](store::Writer& w) {
      for (int i = 0; i < 40; ++i) w.add(reading_of(p_, 1000 - i));
      restoration_ = w.add(restoration_of(p_, "chart 4711"));
      paper_ = w.attach(paper_of(p_), kPaper);
      spectrum_ = w.keep_file("lights/lamp/spectrum.csv", kSpectrum);
      w.answer("key", practice::sha256({"request"}), "reply");
      w.keep_secret("password/1", "hash");
      w.keep_sign_in({.fingerprint = "a", .account = {1}, .page_token = "t", .ends = {10}});
    });
    records.write(program(), [&](store::Writer& w) { w.correct(p_.tip, 1, fleet::TipEntry{p_.light, "8 mm", 7.9}); });
  }
  [[nodiscard]] fs::path file(const std::string& name = "a practice.backup") const {
    return std::get<store::InFile>(folder_->place()).path.parent_path() / name;
  }
  [[nodiscard]] std::vector<std::string> in_folder() const {
    std::vector<std::string> names;
    for (const auto& entry : fs::directory_iterator(file().parent_path())) names.push_back(entry.path().filename());
    return names;
  }
  /// Everything that was put in is there.
  void expect_all(const store::Place& at) const {
    store::Store before(place());
    store::Store after(at);
    std::string root;
    before.read([&](const store::Reader& r) { root = practice::bytes_of(r.edge().root()); });
    after.read([&](const store::Reader& r) {
      EXPECT_EQ(practice::bytes_of(r.edge().root()), root);
      EXPECT_EQ(practice::merkle_root(r.leaves(1, 1000)), r.edge().root());
      EXPECT_EQ(r.list<fleet::ReadingEntry>().size(), 40U);
      EXPECT_EQ(r.get<practice::Restoration>(restoration_)->record, restoration_of(p_, "chart 4711"));
      EXPECT_EQ(r.history<fleet::TipEntry>(p_.tip).size(), 2U);
      const auto number = static_cast<std::uint64_t>(r.get<practice::Restoration>(restoration_)->change);
      EXPECT_TRUE(r.salt(number, true, "chart").has_value());
      EXPECT_EQ(r.file(paper_), kPaper);
      EXPECT_EQ(r.kept_file(spectrum_), kSpectrum);
      EXPECT_EQ(r.secret("password/1"), "hash");
      EXPECT_TRUE(r.sign_ins().empty()) << "nobody is signed in at the new place";
    });
    after.write(program(), [&](store::Writer& w) {
      EXPECT_EQ(w.answered("key", practice::sha256({"request"})), "reply");
      w.add(reading_of(p_, 1));
    });
  }

  static constexpr std::uint64_t kBegun = 6 + 40 + 1 + 1 + 1 + 1;  // changes
  static constexpr const char* kPaper = "%PDF-1.7 of the approval";
  static constexpr const char* kSpectrum = "wavelength_nm,relative\n455,1\n";
  Practice p_;
  base::RestorationId restoration_;
  base::AttachmentId paper_;
  std::string spectrum_;

 private:
  std::unique_ptr<Ground> folder_;
};

TEST_P(Backup, ComesBackInEitherDatabase) {
  const store::BackupAbout made = store::back_up(place(), file(), kMonday);
  EXPECT_EQ(made.made_at, kMonday);
  EXPECT_EQ(made.changes, kBegun);
  EXPECT_THAT(in_folder(), testing::ElementsAre(file().filename())) << "one file, nothing beside it";
  const std::string bytes = base::read_file(file());
  for (const char* to : {"file", "server"}) {
    SCOPED_TRACE(to);
    const std::unique_ptr<Ground> empty = ground_called(to);
    const store::BackupAbout restored = store::restore(file(), empty->place());
    EXPECT_EQ(restored.root, made.root);
    EXPECT_EQ(restored.rows, made.rows);
    expect_all(empty->place());
    EXPECT_THROW(store::restore(file(), empty->place()), base::InputError) << "over records that are there";
  }
  EXPECT_EQ(base::read_file(file()), bytes) << "restoring leaves the backup alone";
  EXPECT_THROW(store::back_up(place(), file(), kMonday), base::InputError) << "over a backup that is there";
}

TEST_P(Backup, IsItsOwnersAloneAndSoAreRestoredRecords) {
  constexpr fs::perms own = fs::perms::owner_read | fs::perms::owner_write;
  store::back_up(place(), file(), kMonday);
  EXPECT_EQ(fs::status(file()).permissions(), own);
  const std::unique_ptr<Ground> empty = ground_called("file");
  const auto in = std::get<store::InFile>(empty->place());
  store::restore(file(), in);
  EXPECT_EQ(fs::status(in.path).permissions(), own);
}

TEST_P(Backup, CarriesFilesOfManyPartsToEitherDatabase) {
  std::string large = "\xff\xd8\xff";
  for (int i = 0; i < 1'300'000; ++i) large += static_cast<char>(i * 13 + i / 256);
  base::AttachmentId picture;
  {
    store::Store records(place());
    records.write(program(), [&](store::Writer& w) { picture = w.attach(paper_of(p_), large); });
  }
  store::back_up(place(), file(), kMonday);
  for (const char* to : {"file", "server"}) {
    SCOPED_TRACE(to);
    const std::unique_ptr<Ground> empty = ground_called(to);
    store::restore(file(), empty->place());
    EXPECT_EQ(files_kept(empty->place()), 3U);
    store::Store records(empty->place());
    records.read([&](const store::Reader& r) {
      EXPECT_TRUE(r.file(picture) == large);
      EXPECT_EQ(r.file(paper_), kPaper);
    });
    // And on from there: the restored records are backed up in their turn.
    const fs::path next = file(std::string("next ") + to);
    store::back_up(empty->place(), next, kMonday);
    EXPECT_EQ(store::look_through(next).root, store::look_through(file()).root);
  }
}

TEST_P(Backup, AFileThatRotInABackupIsTold) {
  const std::string hash = base::hex(practice::sha256({kPaper}));
  const std::string rotten = "%PDF-1.7 of the approvam";
  store::back_up(place(), file(), kMonday);
  {
    // Whoever changes the manifest too is told by the hash that the record names, which the log stands for.
    const std::unique_ptr<Ground> changed = ground_called("file");
    const fs::path copy = std::get<store::InFile>(changed->place()).path;
    fs::copy_file(file(), copy);
    store::Session backup(store::InFile{copy});
    backup.run("UPDATE file_part SET base64 = :v0 WHERE sha256 = :v1", {base::base64(rotten), hash});
    for (const store::CopiedTable& table : store::tables_in(backup)) {
      if (table.name == "file_part") {
        backup.run("UPDATE backup_table SET sha256 = :v0 WHERE name = 'file_part'",
                   {store::hash_of(backup, table).sha256});
      }
    }
    backup.run("PRAGMA journal_mode = DELETE");
    try {
      store::look_through(copy);
      FAIL() << "a rotten file was not seen";
    } catch (const base::InputError& e) {
      EXPECT_THAT(e.what(), HasSubstr(hash));
    }
  }
}

TEST_P(Backup, ARottenFileAndALostOneStopNothingAndAreNamed) {
  const std::string rotten = "%PDF-1.7 of the approvam";
  const std::string paper = base::hex(practice::sha256({kPaper}));
  put_instead(place(), paper, rotten, base::base64(rotten));
  lose(place(), spectrum_);
  const std::vector<store::LostFile> lost = {{.sha256 = paper,
                                              .changed = true,
                                              .name = "scan.pdf",
                                              .belongs_to = "light",
                                              .record = p_.light.number,
                                              .about = "approval"},
                                             {.sha256 = spectrum_, .name = "lights/lamp/spectrum.csv"}};
  const store::BackupAbout made = store::back_up(place(), file(), kMonday);
  EXPECT_THAT(made.lost, testing::UnorderedElementsAreArray(lost));
  EXPECT_EQ(store::look_through(file()).lost, made.lost);
  EXPECT_EQ(store::lost_in(file()), made.lost);
  EXPECT_EQ(store::still_lost(place(), made.lost), made.lost);
  EXPECT_EQ(store::told(lost[0]), "the approval of light 1 is no longer what was attached");
  EXPECT_EQ(store::told(lost[1]), "a file that kept cases name is gone or cannot be read");
  for (const char* to : {"file", "server"}) {
    SCOPED_TRACE(to);
    const std::unique_ptr<Ground> empty = ground_called(to);
    EXPECT_EQ(store::restore(file(), empty->place()).lost, made.lost);
    {
      store::Store records(empty->place());
      records.read([&](const store::Reader& r) {
        EXPECT_EQ(r.list<fleet::ReadingEntry>().size(), 40U);
        EXPECT_EQ(r.get<practice::Attachment>(paper_)->record.name, "scan.pdf");
        EXPECT_THROW((void)r.file(paper_), base::Failure);
      });
      // The same file attached again mends it.
      records.write(program(), [&](store::Writer& w) { w.attach(paper_of(p_), kPaper); });
      records.read([&](const store::Reader& r) { EXPECT_EQ(r.file(paper_), kPaper); });
    }
    const std::vector<store::LostFile> left = store::still_lost(empty->place(), made.lost);
    ASSERT_EQ(left.size(), 1U);
    EXPECT_EQ(left[0].sha256, spectrum_);
  }
}

TEST_P(Backup, AFileThatItsManifestDoesNotExcuseMustBeThere) {
  lose(place(), spectrum_);
  store::back_up(place(), file(), kMonday);
  {
    store::Session backup(store::InFile{file()});
    backup.run("DELETE FROM backup_lost");
    backup.run("PRAGMA journal_mode = DELETE");
  }
  try {
    store::look_through(file());
    FAIL() << "a file that is missing was not seen";
  } catch (const base::InputError& e) {
    EXPECT_THAT(e.what(), HasSubstr(spectrum_));
  }
}

TEST_P(Backup, OfAnEarlierProgramLacksNothing) {
  store::back_up(place(), file(), kMonday);
  {
    store::Session backup(store::InFile{file()});
    backup.run("DROP TABLE backup_lost");
    backup.run("PRAGMA journal_mode = DELETE");
  }
  EXPECT_TRUE(store::look_through(file()).lost.empty());
}

/// Records as programs of that version kept them, with their log: of the first version's columns alone.
void keep_as_then(const store::Place& at, int version) {
  store::Session session(at);
  store::migrate(session, version);
  practice::RightEdge edge;
  const std::vector<std::string> logged = {"number", "at_us", "person", "kind", "record", "leaf", "leaf_hash"};
  const auto append = [&](const std::string& kind, practice::Fields after) {
    const practice::Change change{.number = edge.size() + 1,
                                  .at = kMonday,
                                  .person = "program",
                                  .kind = kind,
                                  .record = "1",
                                  .before = {},
                                  .after = std::move(after)};
    const std::string leaf = practice::leaf_bytes(change);
    const practice::Digest hash = practice::leaf_hash(leaf);
    edge.append(hash);
    session.insert("change_log", logged,
                   {static_cast<std::int64_t>(change.number), change.at.us, change.person, change.kind, change.record,
                    base::base64(leaf), base::hex(hash)});
  };
  const practice::Opening ana{practice::random_salt(), "Ana"};
  append("site", {{"name", "Harbour street"}, {"time_zone", "Europe/Lisbon"}});
  append("person", {{"active", "1"}, {"name", practice::commit(ana)}, {"role", "lead"}, {"site", "1"}});
  append("reading", {{"arrived_at", "6"},
                     {"barrier_on", "0"},
                     {"light", "1"},
                     {"mode", "standard"},
                     {"radiometer", "1"},
                     {"room", "1"},
                     {"shown_mw_cm2", "950"},
                     {"taken_at", "5"},
                     {"taken_by", "1"},
                     {"tip", "1"},
                     {"tip_clean", "1"}});
  session.run("INSERT INTO log_salt (number, side, field, salt) VALUES (2, 'after', 'name', :v0)",
              {base::hex(ana.salt)});
  session.run(
      "INSERT INTO site (id, revision, newest, change, name, time_zone) VALUES (1, 1, 1, 1, 'Harbour street', "
      "'Europe/Lisbon')");
  session.run(
      "INSERT INTO person (id, revision, newest, change, name, role, site, active) VALUES (1, 1, 1, 2, 'Ana', 'lead', "
      "1, "
      "1)");
  session.run(
      "INSERT INTO reading (id, revision, newest, change, light, tip, radiometer, room, taken_by, taken_at, "
      "arrived_at, "
      "mode, shown_mw_cm2, barrier_on, tip_clean) VALUES (1, 1, 1, 3, 1, 1, 1, 1, 1, 5, 6, 'standard', 950, 0, 1)");
  std::string subtrees;
  for (const practice::Digest& root : edge.subtrees()) subtrees += base::hex(root);
  session.run("UPDATE log_edge SET size = :v0, subtrees = :v1", {static_cast<std::int64_t>(edge.size()), subtrees});
}

/// As kept, and what came to be kept since is empty, or as it is for a record that nobody filled in.
void expect_brought_forward(const store::Place& at) {
  store::Store records(at);
  EXPECT_EQ(records.version(), static_cast<int>(store::migrations().size()));
  records.read([](const store::Reader& r) {
    EXPECT_EQ(r.get<practice::Site>({1})->record, (practice::Site{"Harbour street", "Europe/Lisbon"}));
    EXPECT_EQ(r.get<practice::Person>({1})->record, (practice::Person{"Ana", practice::Role::kLead, {1}, true, false}));
    EXPECT_EQ(r.get<fleet::ReadingEntry>({1})->record.shown_mw_cm2, 950);
    EXPECT_EQ(r.get<fleet::ReadingEntry>({1})->record.purpose, fleet::Purpose::kCheck);
    EXPECT_THAT(r.against_log().told, testing::IsEmpty());
    EXPECT_TRUE(r.against_log().under_root);
  });
  records.write(program(), [](store::Writer& w) { w.add(practice::Site{"Hill", "Europe/Lisbon"}); });
}

TEST_P(Backup, OfEveryEarlierVersionIsRestoredAndOpened) {
  for (int version = 1; version < static_cast<int>(store::migrations().size()); ++version) {
    SCOPED_TRACE(version);
    const std::unique_ptr<Ground> old = ground_called(GetParam());
    keep_as_then(old->place(), version);
    const fs::path kept = file("of version " + std::to_string(version));
    const store::BackupAbout made = store::back_up(old->place(), kept, kMonday);
    EXPECT_EQ(made.version, version);
    EXPECT_EQ(made.changes, 3U);
    EXPECT_THAT(made.against_log.told, testing::IsEmpty());
    for (const char* to : {"file", "server"}) {
      SCOPED_TRACE(to);
      const std::unique_ptr<Ground> empty = ground_called(to);
      EXPECT_EQ(store::restore(kept, empty->place()).version, version);
      expect_brought_forward(empty->place());
    }
  }
}

TEST_P(Backup, FilesOfOtherRecordsAreNotWrittenAmong) {
  store::back_up(place(), file(), kMonday);
  const std::unique_ptr<Ground> empty = ground_called("file");
  const auto in = std::get<store::InFile>(empty->place());
  put_instead(empty->place(), base::hex(practice::sha256({"other"})), "other", {});
  EXPECT_THROW(store::restore(file(), empty->place()), base::InputError);
  EXPECT_EQ(files_kept(empty->place()), 1U);
  EXPECT_FALSE(fs::exists(in.path));
}

TEST_P(Backup, IsOfOneMomentWhileTheRecordsAreInUse) {
  std::atomic<bool> done = false;
  std::thread writer([&] {
    store::Store records(place());
    for (int i = 0; !done; ++i) {
      records.write(program(), [&](store::Writer& w) {
        w.add(reading_of(p_, 5000));
        w.add(reading_of(p_, i));
      });
    }
  });
  for (int i = 0; i < 5; ++i) {
    const fs::path to = file("backup" + std::to_string(i));
    const store::BackupAbout made = store::back_up(place(), to, kMonday);
    EXPECT_EQ(store::look_through(to).root, made.root);
    EXPECT_EQ((made.changes - kBegun) % 2, 0U) << "half a write";
  }
  done = true;
  writer.join();
}

TEST_P(Backup, DamageIsSeenOrDoesNoHarm) {
  const store::BackupAbout made = store::back_up(place(), file(), kMonday);
  const std::string bytes = base::read_file(file());
  std::mt19937 random(20049);
  const auto write = [&](const std::string& damaged) {
    std::ofstream(file("damaged"), std::ios::binary | std::ios::trunc) << damaged;
    return file("damaged");
  };
  int seen = 0;
  constexpr int flips = 150;
  for (int i = 0; i < flips; ++i) {
    std::string damaged = bytes;
    std::size_t at = 0;
    do {  // a small practice's file is mostly noughts between the records
      at = std::uniform_int_distribution<std::size_t>(0, bytes.size() - 1)(random);
    } while (bytes[at] == '\0');
    damaged[at] = static_cast<char>(damaged[at] ^ (1 << std::uniform_int_distribution<int>(0, 7)(random)));
    try {
      const store::BackupAbout found = store::look_through(write(damaged));
      // A bit that no record uses: what is read is the same.
      EXPECT_EQ(found.root, made.root) << at;
      EXPECT_EQ(found.rows, made.rows) << at;
      EXPECT_EQ(found.changes, made.changes) << at;
    } catch (const std::exception&) {
      ++seen;
    }
  }
  EXPECT_GT(seen, flips / 2) << "most of what is no nought belongs to records";
  for (const double share : {0.0, 0.3, 0.9}) {
    const auto keep = static_cast<std::size_t>(share * static_cast<double>(bytes.size()));
    EXPECT_ANY_THROW(store::look_through(write(bytes.substr(0, keep)))) << share;
  }
}

TEST_P(Backup, ARecordChangedBehindTheLogsBackIsSeen) {
  store::back_up(place(), file(), kMonday);
  {
    store::Session backup(store::InFile{file()});
    backup.run("UPDATE reading SET shown_mw_cm2 = 999 WHERE id = 40");
    backup.run("PRAGMA journal_mode = DELETE");
  }
  try {
    store::look_through(file());
    FAIL() << "a changed reading was not seen";
  } catch (const base::InputError& e) {
    EXPECT_THAT(e.what(), HasSubstr("reading"));
  }
}

TEST_P(Backup, WhatIsNoBackupIsRefusedWithWhatToDo) {
  EXPECT_THROW(store::look_through(file("none")), base::InputError);
  std::ofstream(file("text")) << "not a database, but some text that is longer than a header of one would be........";
  EXPECT_ANY_THROW(store::look_through(file("text")));
  const std::unique_ptr<Ground> other = ground_called("file");
  {
    const store::Store records(other->place());
  }
  try {
    store::look_through(std::get<store::InFile>(other->place()).path);
    FAIL() << "records in use are no backup";
  } catch (const base::InputError& e) {
    EXPECT_THAT(e.what(), HasSubstr("no backup"));
  }
  const std::unique_ptr<Ground> empty = ground_called(GetParam());
  EXPECT_THROW(store::back_up(empty->place(), file("of nothing"), kMonday), base::InputError);
  EXPECT_FALSE(fs::exists(file("of nothing")));
}

INSTANTIATE_TEST_SUITE_P(On, Backup, both(), database_name);

}  // namespace
}  // namespace throughcure::tests
