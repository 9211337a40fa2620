// The records of a practice: written in whole transactions with their audit log, read as they stand.
//
// Corrections add a revision and never overwrite one. Every change is a leaf of the audit log (practice/change.hpp),
// appended in the transaction of the change itself, so that neither can be there without the other.
#pragma once

#include <cstdint>
#include <exception>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include "throughcure/base/instant.hpp"
#include "throughcure/practice/change.hpp"
#include "throughcure/practice/merkle.hpp"
#include "throughcure/store/at_hand.hpp"
#include "throughcure/store/place.hpp"
#include "throughcure/store/table.hpp"

namespace throughcure::practice {
struct Attachment;
struct KeptFile;
}  // namespace throughcure::practice

namespace throughcure::store {

class Session;
struct AgainstLog;

/// A record as it is kept.
template <class Record>
struct Kept {
  base::Id<typename Record::Kind> id;
  std::int64_t revision = 0;
  std::int64_t change = 0;  ///< number of the change in the audit log
  Record record;
  friend bool operator==(const Kept&, const Kept&) = default;
};

/// How many changes the audit log has: as committed when a transaction began, and with what that has written itself.
struct LogSizes {
  std::uint64_t settled = 0;
  std::uint64_t written = 0;
};

/// A browser that has signed in. What it holds is known by its fingerprint only.
struct SignIn {
  std::string fingerprint;  ///< of its cookie, hexadecimal
  base::AccountId account;
  std::string page_token;
  std::optional<base::AccountId> rests_on{};  ///< by the short PIN: whose full sign-in it rests on; none: a full one
  bool shared = false;                        ///< a device that stays in a room: people may change by their PINs
  base::Instant fresh_until{};                ///< PINs serve until then: somebody signed in fully not long before
  base::Instant ends{};
};

/// Reads inside one transaction: all answers are of one moment.
class Reader {
 public:
  explicit Reader(Session& session) : session_(&session) {}

  /// The newest revision; none where there is no such record.
  template <class Record>
  [[nodiscard]] std::optional<Kept<Record>> get(base::Id<typename Record::Kind> id) const {
    const std::optional<Row> row = newest(table_of<Record>(), id.number);
    if (!row) return std::nullopt;
    return kept<Record>(*row);
  }
  /// Newest revisions. Throws base::Failure when a column of the query is none.
  template <class Record>
  [[nodiscard]] std::vector<Kept<Record>> list(const Query& query = {}) const {
    return all<Record>(rows(table_of<Record>(), query));
  }
  /// All revisions, the first one first.
  template <class Record>
  [[nodiscard]] std::vector<Kept<Record>> history(base::Id<typename Record::Kind> id) const {
    return all<Record>(revisions(table_of<Record>(), id.number));
  }

  [[nodiscard]] std::optional<Row> newest(const Table& table, std::int64_t id) const;
  [[nodiscard]] std::vector<Row> rows(const Table& table, const Query& query) const;
  [[nodiscard]] std::vector<Row> revisions(const Table& table, std::int64_t id) const;
  /// Only these columns of the newest revisions, "id" and "revision" too, row by row: for very many of them. What
  /// `take` is given may be moved away.
  void pick(const Table& table, const std::vector<Wanted>& columns, const Query& query,
            const std::function<void(std::vector<base::Value>&)>& take) const;
  /// How many the query's conditions fit; its limit is not looked at.
  [[nodiscard]] std::size_t count(const Table& table, const Query& query) const;
  /// The least whole number in a column among those that the query's conditions fit; none where there is none.
  [[nodiscard]] std::optional<std::int64_t> least(const Table& table, const std::string& column,
                                                  const Query& query) const;

  /// Changes of the log, from number `first` on.
  [[nodiscard]] std::vector<practice::Change> changes(std::uint64_t first, std::size_t count) const;
  /// The same, one by one.
  void each_change(std::uint64_t first, std::size_t count,
                   const std::function<void(const practice::Change&)>& take) const;
  /// Hashes of their leaves, in order.
  [[nodiscard]] std::vector<practice::Digest> leaves(std::uint64_t first, std::size_t count) const;
  /// How far the log goes.
  [[nodiscard]] LogSizes log_sizes() const;
  /// The log's tree as it stands.
  [[nodiscard]] practice::RightEdge edge() const;
  /// The salt that opens a private field of a change; none where that field was not private.
  [[nodiscard]] std::optional<practice::Salt> salt(std::uint64_t change, bool after, const std::string& field) const;

  /// Holds every record against the log, and the log against itself (against_log.hpp); a writer's own changes, which
  /// its edge has not yet, it takes for faults. Reads all there is, a page at a time: some seconds for a hundred
  /// thousand records.
  [[nodiscard]] AgainstLog against_log() const;

  /// A secret by its name, "password/3"; none where it was never kept.
  [[nodiscard]] std::optional<std::string> secret(const std::string& name) const;
  [[nodiscard]] std::vector<SignIn> sign_ins() const;

  /// The bytes of an attached file, as they were attached. Throws base::InputError when there is no such record,
  /// base::Failure, with what to do, when the bytes are gone or no longer those.
  [[nodiscard]] std::string file(base::AttachmentId id) const;
  /// The bytes of a kept file by their hash, hexadecimal. Throws as file() does.
  [[nodiscard]] std::string kept_file(const std::string& sha256) const;

 protected:
  /// With what a writer has at hand, which must outlive it.
  Reader(Session& session, AtHand& at_hand) : session_(&session), at_hand_(&at_hand) {}
  [[nodiscard]] Session& session() const { return *session_; }

 private:
  template <class Record>
  static Kept<Record> kept(const Row& row) {
    return {{row.id}, row.revision, row.change, base::record_of<Record>(row.values)};
  }
  template <class Record>
  static std::vector<Kept<Record>> all(const std::vector<Row>& rows) {
    std::vector<Kept<Record>> found;
    found.reserve(rows.size());
    for (const Row& row : rows) found.push_back(kept<Record>(row));
    return found;
  }
  Session* session_;
  AtHand* at_hand_ = nullptr;
};

/// Who changes something, and when.
struct Author {
  std::string person;  ///< the person's number as text, or "program"
  base::Instant at{};  ///< by the server's clock: may go back where that was set back; the changes' numbers never do
};

/// A record was changed by somebody else since it was read, or an idempotency key came with another request.
class Conflict : public std::exception {
 public:
  explicit Conflict(std::string text) : text_(std::move(text)) {}
  [[nodiscard]] const char* what() const noexcept override { return text_.c_str(); }

 private:
  std::string text_;
};

/// Reads and writes inside one transaction. There is one writer at a time.
class Writer : public Reader {
 public:
  Writer(Session& session, Author author);

  /// A new record. Throws base::InputError when it refers to a record that is not there.
  template <class Record>
  base::Id<typename Record::Kind> add(const Record& record) {
    static_assert(!std::is_same_v<Record, practice::Attachment>, "attach it, with its bytes");
    static_assert(!std::is_same_v<Record, practice::KeptFile>, "keep it, with its bytes");
    return {add(table_of<Record>(), base::values_of(record))};
  }
  /// A new revision of a record that was read at revision `read`; nothing where nothing changed. Throws Conflict when
  /// there is a newer one, base::InputError when there is no such record.
  template <class Record>
  void correct(base::Id<typename Record::Kind> id, std::int64_t read, const Record& record) {
    correct(table_of<Record>(), id.number, read, base::values_of(record));
  }
  /// Attaches a file to a record: its kind, size and hash are those of the bytes, whatever `about` says of them. The
  /// bytes are on the disk before the record is; the same bytes are kept once. Throws base::InputError when they are no
  /// PDF, PNG or JPEG, are too many, or there is no such record to attach them to; base::Failure, with what to do, when
  /// they cannot be kept.
  base::AttachmentId attach(const practice::Attachment& about, std::string_view bytes);
  /// Keeps a file that a case names, whatever kind it is of; gives its hash, hexadecimal. The same bytes under the same
  /// path are one record. The bytes are on the disk before the record is. Throws base::InputError when they are too
  /// many, base::Failure, with what to do, when they cannot be kept.
  std::string keep_file(const std::string& path, std::string_view bytes);
  std::int64_t add(const Table& table, const std::vector<base::Value>& values);
  void correct(const Table& table, std::int64_t id, std::int64_t read, const std::vector<base::Value>& values);

  /// What was answered to this key of this person; none when it is new. Throws Conflict when it came with another
  /// request.
  [[nodiscard]] std::optional<std::string> answered(const std::string& key, const practice::Digest& request) const;
  /// Keeps the answer under the key, in the same transaction as the write.
  void answer(const std::string& key, const practice::Digest& request, const std::string& reply);

  /// Secrets (hashes of passwords, the key that signs the log's head) are no records: a new one takes the place of the
  /// old one, and the log knows nothing of them.
  void keep_secret(const std::string& name, const std::string& value);
  void forget_secret(const std::string& name);
  /// Who is signed in is no record either.
  void keep_sign_in(const SignIn& sign_in);
  void end_sign_in(const std::string& fingerprint);
  /// Those by PIN too that rest on the account's full ones.
  void end_sign_ins_of(base::AccountId account);
  void end_sign_ins_before(base::Instant now);

  /// For the store, which does several writes in one transaction: whose turn it is, and everything back to how it stood
  /// when that began.
  void begin_as(Author author);
  void undo();
  /// Writes the answers and the tree's right edge; called by the store before it commits.
  void close();

 private:
  void insert(const Table& table, const Row& row);
  void check_references(const Table& table, const std::vector<base::Value>& values);
  /// Appends to the log; returns its number.
  std::int64_t log(const Table& table, std::int64_t id, const std::vector<base::Value>* before,
                   const std::vector<base::Value>& after);
  struct Answer {
    std::string person;
    std::string key;
    std::string request;  ///< its hash, hexadecimal
    std::string reply;
    base::Instant at{};
  };
  /// As it stood.
  struct Before {
    practice::RightEdge edge;
    std::size_t answers = 0;
  };
  Author author_;
  practice::RightEdge edge_;
  AtHand at_hand_;
  std::vector<Answer> answers_;  ///< that were not written yet
  Before before_;
};

/// What was there when the records were opened.
struct Found {
  int version_before = 0;   ///< of the tables; 0: there were none
  int version = 0;          ///< of the tables since
  std::size_t orphans = 0;  ///< files that no record named, removed
};

/// Opens the records at a place, makes or migrates their tables. Safe to call from several threads; writers wait for
/// each other. Throws base::Failure, with what to do, when the place cannot be had: locked, full, unreadable, or
/// written by a newer version. Attached files that no record names, left by a program that was killed, are removed.
class Store {
 public:
  explicit Store(Place place);
  ~Store();
  Store(Store&&) noexcept;
  Store& operator=(Store&&) noexcept;
  Store(const Store&) = delete;
  Store& operator=(const Store&) = delete;

  void read(const std::function<void(const Reader&)>& work);
  /// All of `work` or, when it throws, nothing. When write returns, the change is on the disk. Writes that several
  /// threads ask for at once may be committed together, each still whole; `work` then runs in one of these threads.
  void write(const Author& author, const std::function<void(Writer&)>& work);
  /// Of the tables.
  [[nodiscard]] int version();
  [[nodiscard]] const Found& found() const { return found_; }

 private:
  class Sessions;
  std::unique_ptr<Sessions> sessions_;
  Found found_;
};

}  // namespace throughcure::store
