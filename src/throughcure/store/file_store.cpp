#include "throughcure/store/file_store.hpp"

#include <algorithm>
#include <utility>

#include "throughcure/base/base64.hpp"
#include "throughcure/base/hex.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/store/migrations.hpp"

namespace throughcure::store {

namespace {

using base::ValueType;

constexpr int kFirstWithKeptFiles = 4;                      // version of the tables
constexpr std::size_t kPartBytes = std::size_t{512} << 10;  // some 700 kB of base64 a row

/// What lies under a hash in the table, whole or not; nothing where a part is no base64.
std::optional<std::string> joined_parts(Session& session, const std::string& hash) {
  std::string bytes;
  bool readable = true;
  session.each("SELECT base64 FROM file_part WHERE sha256 = :v0 ORDER BY part", {hash}, {ValueType::kText},
               [&](const Values& row) {
                 const auto part = base::from_base64(std::get<std::string>(row[0]));
                 readable = readable && part.has_value();
                 if (part) bytes += *part;
               });
  if (!readable) return std::nullopt;
  return bytes;
}

void keep_parts(Session& session, const practice::Digest& hash, std::string_view bytes) {
  const std::string name = base::hex(hash);
  const auto there = joined_parts(session, name);
  if (there && practice::sha256({*there}) == hash) return;
  session.run("DELETE FROM file_part WHERE sha256 = :v0", {name});
  for (std::int64_t part = 0; !bytes.empty(); ++part) {
    session.insert("file_part", {"sha256", "part", "base64"}, {name, part, base::base64(bytes.substr(0, kPartBytes))});
    bytes.remove_prefix(std::min(kPartBytes, bytes.size()));
  }
}

}  // namespace

std::filesystem::path files_beside(const std::filesystem::path& database) { return database.parent_path() / "files"; }

FileStore::FileStore(Session& session, std::optional<FileFolder> folder)
    : session_(&session), folder_(std::move(folder)) {}

FileStore::FileStore(Session& session)
    : FileStore(session, session.on_server() ? std::nullopt : std::optional(FileFolder(files_beside(session.file())))) {
}

FileStore FileStore::in_table(Session& session) { return {session, std::nullopt}; }

void FileStore::keep(const practice::Digest& hash, std::string_view bytes) const {
  if (folder_) return folder_->keep(hash, bytes);
  keep_parts(*session_, hash, bytes);
}

std::string FileStore::read(const practice::Digest& hash) const {
  if (folder_) return folder_->read(hash);
  auto bytes = joined_parts(*session_, base::hex(hash));
  if (!bytes || practice::sha256({*bytes}) != hash) {
    throw LostBytes("the attached file " + base::hex(hash) +
                        " is gone from the database, or no longer what was attached. Attach the same file again, or "
                        "restore a backup.",
                    !bytes || !bytes->empty());
  }
  return *std::move(bytes);
}

std::size_t FileStore::sweep() const {
  if (folder_) return folder_->sweep(named_files(*session_));
  const std::string orphans =
      "FROM file_part WHERE sha256 NOT IN (SELECT sha256 FROM attachment) AND sha256 NOT IN (SELECT sha256 FROM "
      "keptfile)";
  const Values count = session_->ask_one("SELECT count(DISTINCT sha256) " + orphans, {}, {ValueType::kWhole});
  session_->run("DELETE " + orphans);
  return static_cast<std::size_t>(std::get<std::int64_t>(count.at(0)));
}

void must_have_no_files(const Session& session) {
  if (session.on_server()) return;
  const std::filesystem::path folder = files_beside(session.file());
  if (FileFolder(folder).is_empty()) return;
  throw base::Failure("there are no records at " + session.file().string() + ", but attached files in " +
                      folder.string() +
                      ". Put the records back that they belong to, or move that folder away with them.");
}

std::set<std::string> named_files(Session& session) {
  std::set<std::string> named;
  const auto take = [&](const std::string& table) {
    session.each("SELECT DISTINCT sha256 FROM " + table, {}, {ValueType::kText},
                 [&](const Values& row) { named.insert(std::get<std::string>(row[0])); });
  };
  take("attachment");
  if (version_of(session) >= kFirstWithKeptFiles) take("keptfile");
  return named;
}

}  // namespace throughcure::store
