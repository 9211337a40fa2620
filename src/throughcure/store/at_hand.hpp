// What a writer need not ask its database for: records that it has read or written since its transaction began, and
// what it has appended to the log. Nobody else writes before it ends.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "throughcure/practice/change.hpp"
#include "throughcure/store/table.hpp"

namespace throughcure::store {

/// Not all of it: what is not here is to be asked for. Bounded, however much a transaction writes.
class AtHand {
 public:
  /// In a transaction that begins with a log of so many changes.
  explicit AtHand(std::uint64_t log_size) : settled_(log_size), written_(log_size), first_(log_size + 1) {}

  /// Changes of the log: when the transaction began, and now.
  [[nodiscard]] std::uint64_t settled() const { return settled_; }
  [[nodiscard]] std::uint64_t written() const { return written_; }
  /// Changes from number `first` on; none where they are not all here.
  [[nodiscard]] std::optional<std::span<const practice::Change>> changes(std::uint64_t first) const;
  /// The next one of the log.
  void append(practice::Change change);

  /// The newest revision; null where it is not here.
  [[nodiscard]] const Row* newest(std::string_view kind, std::int64_t id) const;
  void keep(std::string_view kind, const Row& newest);
  /// Whether there surely is such a record.
  [[nodiscard]] bool is_there(std::string_view kind, std::int64_t id) const;
  void keep_that_there_is(std::string_view kind, std::int64_t id);
  /// The highest number of a kind, 0 where it has none.
  [[nodiscard]] std::optional<std::int64_t> last(std::string_view kind) const;
  void keep_last(std::string_view kind, std::int64_t id);

  /// Forgets records, and changes beyond a log of this size: what came since was undone.
  void back_to(std::uint64_t log_size);

 private:
  struct OfKind {
    std::unordered_map<std::int64_t, std::optional<Row>> records{};  ///< none where it is only known to be there
    std::optional<std::int64_t> last{};
  };
  [[nodiscard]] const OfKind* of(std::string_view kind) const;
  std::optional<Row>& place_of(std::string_view kind, std::int64_t id);

  std::uint64_t settled_;
  std::uint64_t written_;
  std::uint64_t first_;  ///< of changes_
  std::vector<practice::Change> changes_;
  std::map<std::string, OfKind, std::less<>> kinds_;
  std::size_t records_ = 0;
};

}  // namespace throughcure::store
