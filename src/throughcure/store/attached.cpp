// Attached files, and files that cases name: the bytes first, then the record that names them.
#include <string>

#include "throughcure/base/hex.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/store/all_kinds.hpp"
#include "throughcure/store/file_store.hpp"
#include "throughcure/store/session.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::store {

namespace {

bool is_a_kind(const std::string& name) {
  bool found = false;
  AllKinds::each([&]<class Record>(std::type_identity<Record>) { found = found || base::kind_of<Record>() == name; });
  return found;
}

}  // namespace

std::string Reader::file(base::AttachmentId id) const {
  const auto kept = get<practice::Attachment>(id);
  if (!kept) {
    base::refuse("id", "there is no attachment with the number " + std::to_string(id.number),
                 "Choose one that is there");
  }
  const auto hash = base::from_hex<std::tuple_size_v<practice::Digest>>(kept->record.sha256);
  if (!hash) throw base::Failure("an attachment names no hash of a file. Restore the last good backup.");
  return FileStore(session()).read(*hash);
}

std::string Reader::kept_file(const std::string& sha256) const {
  const auto hash = base::from_hex<std::tuple_size_v<practice::Digest>>(sha256);
  const auto kept =
      list<practice::KeptFile>({.where = {{"sha256", Compare::kEqual, sha256}}, .order_by = {}, .limit = 1});
  if (!hash || kept.empty()) {
    base::refuse("sha256", "there is no kept file with this hash", "Take the case from the place that it was kept in");
  }
  return FileStore(session()).read(*hash);
}

std::string Writer::keep_file(const std::string& path, std::string_view bytes) {
  if (bytes.size() > practice::kMostKeptBytes) {
    base::refuse("files", path + " has " + std::to_string(bytes.size() >> 20) + " MiB, and 64 MiB is the most",
                 "Give the light or the material a smaller one");
  }
  const practice::Digest hash = practice::sha256({bytes});
  const practice::KeptFile record{
      .path = path, .size = static_cast<std::int64_t>(bytes.size()), .sha256 = base::hex(hash)};
  const auto same =
      list<practice::KeptFile>({.where = {{"sha256", Compare::kEqual, record.sha256}, {"path", Compare::kEqual, path}},
                                .order_by = {},
                                .limit = 1});
  // A file that has rotted since is mended by the same bytes.
  FileStore(session()).keep(hash, bytes);
  if (same.empty()) add(table_of<practice::KeptFile>(), base::values_of(record));
  return record.sha256;
}

base::AttachmentId Writer::attach(const practice::Attachment& about, std::string_view bytes) {
  practice::Attachment record = about;
  record.media = practice::accepted_media_type(bytes);
  record.size = static_cast<std::int64_t>(bytes.size());
  const practice::Digest hash = practice::sha256({bytes});
  record.sha256 = base::hex(hash);
  // The kind goes into the SQL: only a known one may.
  if (!is_a_kind(record.belongs_to)) {
    base::refuse("belongs_to", "there is no kind of record called \"" + record.belongs_to + "\"",
                 "Name a kind: light, room");
  }
  const Values found = session().ask_one("SELECT count(*) FROM " + record.belongs_to + " WHERE id = :v0 AND newest = 1",
                                         {record.record}, {base::ValueType::kWhole});
  if (std::get<std::int64_t>(found.at(0)) == 0) {
    base::refuse("record", "there is no " + record.belongs_to + " with the number " + std::to_string(record.record),
                 "Choose one that is there, or add it first");
  }
  FileStore(session()).keep(hash, bytes);
  return {add(table_of<practice::Attachment>(), base::values_of(record))};
}

}  // namespace throughcure::store
