#include "throughcure/store/backup.hpp"

#include <algorithm>
#include <system_error>
#include <utility>
#include <vector>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "throughcure/base/hex.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/store/copy.hpp"
#include "throughcure/store/file_store.hpp"
#include "throughcure/store/folder_files.hpp"
#include "throughcure/store/migrations.hpp"
#include "throughcure/store/session.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::store {

namespace {

namespace fs = std::filesystem;
using base::ValueType;

constexpr std::size_t kAtOnce = 1000;  // changes
constexpr int kFirstWithSignIns = 2;   // version of the tables
constexpr int kFirstWithFiles = 2;     // version of the tables
constexpr std::string_view kFiles = "file_part";

/// A file that is being made under another name beside its own. Gone at the end unless it was kept. From its first byte
/// on it is its owner's alone, and so is what the database makes beside it: passwords' hashes and the key that signs
/// the log lie in it.
class Unfinished {
 public:
  explicit Unfinished(fs::path target)
      : target_(std::move(target)), path_(target_.string() + ".part-" + std::to_string(getpid())) {
    remove();
    const int made = open(path_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, S_IRUSR | S_IWUSR);
    if (made < 0) fail(path_);
    close(made);
  }
  ~Unfinished() { remove(); }
  Unfinished(const Unfinished&) = delete;
  Unfinished& operator=(const Unfinished&) = delete;

  [[nodiscard]] const fs::path& path() const { return path_; }

  /// On the disk, then under its name, and never over a file that is there.
  void keep() {
    sync(path_, O_RDONLY);
    if (link(path_.c_str(), target_.c_str()) != 0) fail(target_);
    sync(target_.has_parent_path() ? target_.parent_path() : fs::path("."), O_RDONLY | O_DIRECTORY);
  }

 private:
  [[noreturn]] static void fail(const fs::path& path) {
    throw base::Failure(path.string() + ": " + std::generic_category().message(errno) +
                        ". Nothing was written; name another file, or free some space.");
  }
  static void sync(const fs::path& path, int how) {
    const int file = open(path.c_str(), how | O_CLOEXEC);  // NOLINT(*-vararg): the system's own
    if (file < 0) fail(path);
    const bool synced = fsync(file) == 0;
    close(file);
    if (!synced) fail(path);
  }
  void remove() {
    std::error_code ignored;
    for (const char* more : {"", "-wal", "-shm", "-journal"}) fs::remove(path_.string() + more, ignored);
  }
  fs::path target_;
  fs::path path_;
};

practice::Digest hash_called(const std::string& name) {
  const auto hash = base::from_hex<std::tuple_size_v<practice::Digest>>(name);
  if (!hash) throw base::Failure("an attachment names no hash of a file: " + name + ". Restore the last good backup.");
  return *hash;
}

/// The rows of every table; the bytes of attached files go by themselves, for they may lie elsewhere and are too many
/// for one answer of a server.
void copy_rows(Session& from, Session& to, const std::vector<CopiedTable>& tables) {
  for (const CopiedTable& table : tables) {
    if (table.name != kFiles) copy_table(from, to, table);
  }
}

/// A file by what names it in the records.
LostFile described(Session& records, const std::string& sha256, bool changed) {
  LostFile file{.sha256 = sha256, .changed = changed, .name = {}};
  const Values attached = records.ask_one(
      "SELECT name, belongs_to, record, about FROM attachment WHERE sha256 = :v0 ORDER BY newest DESC, id LIMIT 1",
      {sha256}, {ValueType::kText, ValueType::kText, ValueType::kWhole, ValueType::kText});
  if (!attached.empty()) {
    file.name = std::get<std::string>(attached[0]);
    file.belongs_to = std::get<std::string>(attached[1]);
    file.record = std::get<std::int64_t>(attached[2]);
    file.about = std::get<std::string>(attached[3]);
    return file;
  }
  const Values kept =
      records.ask_one("SELECT path FROM keptfile WHERE sha256 = :v0 ORDER BY id LIMIT 1", {sha256}, {ValueType::kText});
  if (!kept.empty()) file.name = std::get<std::string>(kept[0]);
  return file;
}

/// Every file that a record of `named` names, checked against its hash on the way; those that cannot be had are left
/// out and told.
std::vector<LostFile> copy_files(Session& named, const FileStore& from, const FileStore& to) {
  std::vector<LostFile> lost;
  for (const std::string& name : named_files(named)) {
    const practice::Digest hash = hash_called(name);
    std::string bytes;
    try {
      bytes = from.read(hash);
    } catch (const LostBytes& e) {
      lost.push_back(described(named, name, e.changed()));
      continue;
    }
    to.keep(hash, bytes);
  }
  return lost;
}

/// The folder of files that a restore makes beside a database. Gone at the end unless it was kept.
class UnfinishedFiles {
 public:
  explicit UnfinishedFiles(fs::path folder) : folder_(std::move(folder)) {}
  ~UnfinishedFiles() {
    std::error_code ignored;
    if (!kept_) fs::remove_all(folder_, ignored);
  }
  UnfinishedFiles(const UnfinishedFiles&) = delete;
  UnfinishedFiles& operator=(const UnfinishedFiles&) = delete;
  void keep() { kept_ = true; }

 private:
  fs::path folder_;
  bool kept_ = false;
};

void write_manifest(Session& backup, std::vector<CopiedTable> tables, const std::vector<LostFile>& lost,
                    base::Instant now) {
  backup.run("CREATE TABLE backup_table (name TEXT NOT NULL, row_count INTEGER NOT NULL, sha256 TEXT NOT NULL) STRICT");
  backup.run(
      "CREATE TABLE backup_about (made_at_us INTEGER NOT NULL, changes INTEGER NOT NULL, root TEXT NOT NULL) STRICT");
  tables.push_back(folder_table());
  for (const CopiedTable& table : tables) {
    const TableHash hash = hash_of(backup, table);
    backup.run("INSERT INTO backup_table (name, row_count, sha256) VALUES (:v0, :v1, :v2)",
               {table.name, hash.rows, hash.sha256});
  }
  const practice::RightEdge edge = Reader(backup).edge();
  backup.run("INSERT INTO backup_about (made_at_us, changes, root) VALUES (:v0, :v1, :v2)",
             {now.us, static_cast<std::int64_t>(edge.size()), base::hex(edge.root())});
  backup.run(
      "CREATE TABLE backup_lost (sha256 TEXT NOT NULL, changed INTEGER NOT NULL, name TEXT NOT NULL, belongs_to TEXT "
      "NOT NULL, record INTEGER NOT NULL, about TEXT NOT NULL) STRICT");
  for (const LostFile& file : lost) {
    backup.run(
        "INSERT INTO backup_lost (sha256, changed, name, belongs_to, record, about) VALUES (:v0, :v1, :v2, :v3, :v4, "
        ":v5)",
        {file.sha256, std::int64_t{file.changed ? 1 : 0}, file.name, file.belongs_to, file.record, file.about});
  }
}

/// What the manifest says that it lacks; a backup of an earlier program lacks nothing.
std::vector<LostFile> lost_of(Session& backup) {
  const Values known =
      backup.ask_one("SELECT count(*) FROM sqlite_master WHERE name = 'backup_lost'", {}, {ValueType::kWhole});
  std::vector<LostFile> lost;
  if (std::get<std::int64_t>(known.at(0)) == 0) return lost;
  backup.each(
      "SELECT sha256, changed, name, belongs_to, record, about FROM backup_lost ORDER BY sha256", {},
      {ValueType::kText, ValueType::kWhole, ValueType::kText, ValueType::kText, ValueType::kWhole, ValueType::kText},
      [&](const Values& row) {
        lost.push_back({.sha256 = std::get<std::string>(row[0]),
                        .changed = std::get<std::int64_t>(row[1]) != 0,
                        .name = std::get<std::string>(row[2]),
                        .belongs_to = std::get<std::string>(row[3]),
                        .record = std::get<std::int64_t>(row[4]),
                        .about = std::get<std::string>(row[5])});
      });
  return lost;
}

[[noreturn]] void refuse(const fs::path& file, const std::string& what, const std::string& remedy) {
  throw base::InputError({{.file = file.string(), .field = {}, .what = what, .remedy = remedy}});
}

[[noreturn]] void damaged(const fs::path& file, const std::string& what) {
  refuse(file, what, "This backup is damaged: take another one");
}

/// The log against itself and the manifest.
void check_log(Session& backup, const fs::path& file, const BackupAbout& about) {
  const Reader reader(backup);
  practice::RightEdge tree;
  while (tree.size() < about.changes) {
    const std::vector<practice::Change> changes = reader.changes(tree.size() + 1, kAtOnce);
    if (changes.empty()) damaged(file, "the audit log ends after change " + std::to_string(tree.size()));
    for (const practice::Change& change : changes) {
      if (change.number != tree.size() + 1) {
        damaged(file, "the audit log has a gap before " + std::to_string(change.number));
      }
      tree.append(practice::leaf_hash(practice::leaf_bytes(change)));
    }
  }
  if (base::hex(tree.root()) != about.root) damaged(file, "the audit log is not the one of its root");
}

/// What is a backup at all, and what it says of itself.
BackupAbout about(Session& backup, const fs::path& file) {
  const Values tables = backup.ask_one(
      "SELECT count(*) FROM sqlite_master WHERE name IN ('backup_table', 'backup_about', 'tables_version')", {},
      {ValueType::kWhole});
  if (std::get<std::int64_t>(tables.at(0)) != 3) {
    throw base::Failure(file.string() +
                        ": this is no backup of records. Name a file that this program backed up into.");
  }
  const Values said = backup.ask_one("SELECT made_at_us, changes, root FROM backup_about", {},
                                     {ValueType::kWhole, ValueType::kWhole, ValueType::kText});
  const Values sums =
      backup.ask_one("SELECT count(*), coalesce(sum(row_count), 0) FROM backup_table WHERE name NOT LIKE 'backup%'", {},
                     {ValueType::kWhole, ValueType::kWhole});
  if (said.empty()) damaged(file, "its manifest is empty");
  BackupAbout out{.made_at = {std::get<std::int64_t>(said[0])},
                  .version = version_of(backup),
                  .tables = std::get<std::int64_t>(sums[0]),
                  .rows = std::get<std::int64_t>(sums[1]),
                  .changes = static_cast<std::uint64_t>(std::get<std::int64_t>(said[1])),
                  .root = std::get<std::string>(said[2]),
                  .lost = lost_of(backup)};
  for (const FolderFile& one : folder_files(backup)) {
    if (one.left_out.empty()) {
      ++out.folder_files;
    } else {
      out.left_out.push_back(one.path + ": " + one.left_out);
    }
  }
  return out;
}

std::vector<CopiedTable> records_in(Session& backup) {
  std::vector<CopiedTable> tables = tables_in(backup);
  std::erase_if(tables, [](const CopiedTable& table) { return table.name.starts_with("backup_"); });
  return tables;
}

/// Where it is there, or should be.
bool has_folder(Session& backup) {
  const Values named =
      backup.ask_one("SELECT count(*) FROM backup_table WHERE name = :v0", {folder_table().name}, {ValueType::kWhole});
  return has_folder_table(backup) || std::get<std::int64_t>(named.at(0)) > 0;
}

/// The practice's data folder, as it was named or as the place has it.
std::optional<fs::path> folder_of(const Place& records, const std::optional<fs::path>& named) {
  if (named) return named;
  const auto* const in = std::get_if<InFile>(&records);
  if (in == nullptr) return std::nullopt;
  return in->path.has_parent_path() ? in->path.parent_path() : fs::path(".");
}

BackupAbout look_through(Session& backup, const fs::path& file) {
  const Values own = backup.ask_one("PRAGMA integrity_check(1)", {}, {ValueType::kText});
  if (own.empty() || std::get<std::string>(own[0]) != "ok") damaged(file, "the database says that it is broken");
  BackupAbout found = about(backup, file);
  std::vector<CopiedTable> tables = records_in(backup);
  if (has_folder(backup)) tables.push_back(folder_table());
  for (const CopiedTable& table : tables) {
    const TableHash hash = hash_of(backup, table);
    const Values said = backup.ask_one("SELECT row_count, sha256 FROM backup_table WHERE name = :v0", {table.name},
                                       {ValueType::kWhole, ValueType::kText});
    if (said.empty() || std::get<std::int64_t>(said[0]) != hash.rows || std::get<std::string>(said[1]) != hash.sha256) {
      damaged(file, "the table " + table.name + " is not what was backed up");
    }
  }
  check_log(backup, file, found);
  if (found.version >= kFirstWithFiles) {
    for (const std::string& name : named_files(backup)) {
      if (std::ranges::find(found.lost, name, &LostFile::sha256) != found.lost.end()) continue;
      // Read to be checked against its hash.
      (void)FileStore::in_table(backup).read(hash_called(name));
    }
  }
  check_folder(backup);
  // A newer program's kinds of records are not known here.
  if (found.version <= static_cast<int>(migrations().size())) found.against_log = Reader(backup).against_log();
  return found;
}

void must_be_there(const fs::path& file) {
  if (!fs::is_regular_file(file)) refuse(file, "there is no such file", "Check the name");
}

/// Into empty tables of the backup's version.
void copy_into(Session& backup, int version, Session& records) {
  records.begin_writing();
  try {
    migrate_within(records, version);
    copy_rows(backup, records, records_in(backup));
    // What the backup lacks is told by its manifest.
    if (version >= kFirstWithFiles) (void)copy_files(backup, FileStore::in_table(backup), FileStore(records));
    // Whoever was signed in then is not signed in here.
    if (version >= kFirstWithSignIns) records.run("DELETE FROM sign_in");
    records.commit();
  } catch (...) {
    records.roll_back();
    throw;
  }
}

}  // namespace

std::string told(const LostFile& file) {
  const std::string what = file.belongs_to.empty()
                               ? "a file that kept cases name"
                               : (file.about == "other" || file.about.empty() ? "a paper" : "the " + file.about) +
                                     " of " + file.belongs_to + " " + std::to_string(file.record);
  return what + (file.changed ? " is no longer what was attached" : " is gone or cannot be read");
}

std::vector<LostFile> lost_in(const fs::path& backup) {
  must_be_there(backup);
  Session session(InFile{backup}, Opened::kToLookOnly);
  return lost_of(session);
}

std::vector<LostFile> still_lost(const Place& records, const std::vector<LostFile>& files) {
  Session session(records);
  session.begin_reading();
  const FileStore store(session);
  std::vector<LostFile> lost;
  for (const LostFile& file : files) {
    try {
      (void)store.read(hash_called(file.sha256));
    } catch (const LostBytes&) {
      lost.push_back(file);
    }
  }
  session.commit();
  return lost;
}

BackupAbout back_up(const Place& records, const fs::path& file, base::Instant now,
                    const std::optional<fs::path>& data_folder) {
  if (const auto* in = std::get_if<InFile>(&records)) must_be_there(in->path);
  if (fs::exists(file)) refuse(file, "it is there already", "Name a new file");
  Session from(records);
  from.begin_reading();
  const int version = version_of(from);
  if (version == 0) refuse("", "there are no records to back up there", "Name the place of a practice's records");
  Unfinished part(file);
  {
    Session to(InFile{part.path()});
    migrate(to, version);
    const std::vector<CopiedTable> tables = tables_in(from);
    to.begin_writing();
    copy_rows(from, to, tables);
    std::vector<LostFile> lost;
    if (version >= kFirstWithFiles) lost = copy_files(from, FileStore(from), FileStore::in_table(to));
    // Tables of an earlier program have no room for them; it is served once, and has.
    put_in_folder(to, version >= kFirstWithFiles ? folder_of(records, data_folder) : std::nullopt);
    write_manifest(to, tables, lost, now);
    to.commit();
    to.run("PRAGMA journal_mode = DELETE");  // one file, nothing beside it
  }
  from.commit();
  BackupAbout made = look_through(part.path());
  part.keep();
  return made;
}

BackupAbout look_through(const fs::path& file) {
  must_be_there(file);
  try {
    Session backup(InFile{file}, Opened::kToLookOnly);
    return look_through(backup, file);
  } catch (const base::Failure& e) {
    damaged(file, e.what());
  }
}

BackupAbout restore(const fs::path& file, const Place& records, const std::optional<fs::path>& data_folder) {
  BackupAbout found = look_through(file);
  const int newest = static_cast<int>(migrations().size());
  if (found.version > newest) {
    refuse(file,
           "it is of version " + std::to_string(found.version) + ", and this program knows " + std::to_string(newest),
           "Use the newer program");
  }
  Session backup(InFile{file}, Opened::kToLookOnly);
  const std::string taken = "there are records already";
  const std::string instead = "Restore to an empty place, then change over to it";
  const std::optional<fs::path> folder = folder_of(records, data_folder);
  LaidOutFolder own(folder.value_or(fs::path()));
  if (const auto* in = std::get_if<InFile>(&records)) {
    if (fs::exists(in->path)) refuse(in->path, taken, instead);
    const fs::path files = files_beside(in->path);
    if (fs::exists(files)) refuse(files, "there are attached files already", "Restore to a folder that has none");
    UnfinishedFiles kept(files);
    Unfinished part(in->path);
    {
      Session to(InFile{part.path()});
      copy_into(backup, found.version, to);
      to.run("PRAGMA journal_mode = DELETE");
    }
    own.lay_out(backup);
    part.keep();
    kept.keep();
  } else {
    Session to(records);
    if (version_of(to) != 0) refuse("", taken, instead);
    if (folder) own.lay_out(backup);
    copy_into(backup, found.version, to);
  }
  own.keep();
  return found;
}

}  // namespace throughcure::store
