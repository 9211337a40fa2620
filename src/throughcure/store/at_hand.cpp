#include "throughcure/store/at_hand.hpp"

#include <algorithm>
#include <utility>

namespace throughcure::store {

namespace {

constexpr std::size_t kMost = 4096;  // records, and changes

}  // namespace

std::optional<std::span<const practice::Change>> AtHand::changes(std::uint64_t first) const {
  if (first < first_) return std::nullopt;
  const std::span<const practice::Change> all(changes_);
  return all.subspan(std::min<std::size_t>(first - first_, all.size()));
}

void AtHand::append(practice::Change change) {
  if (changes_.size() >= kMost) {
    changes_.clear();
    first_ = change.number;
  }
  written_ = change.number;
  changes_.push_back(std::move(change));
}

const AtHand::OfKind* AtHand::of(std::string_view kind) const {
  const auto at = kinds_.find(kind);
  return at == kinds_.end() ? nullptr : &at->second;
}

const Row* AtHand::newest(std::string_view kind, std::int64_t id) const {
  const OfKind* const known = of(kind);
  if (known == nullptr) return nullptr;
  const auto at = known->records.find(id);
  if (at == known->records.end()) return nullptr;
  const auto& row = at->second;
  return row ? &*row : nullptr;
}

bool AtHand::is_there(std::string_view kind, std::int64_t id) const {
  const OfKind* const known = of(kind);
  return known != nullptr && known->records.contains(id);
}

std::optional<Row>& AtHand::place_of(std::string_view kind, std::int64_t id) {
  if (records_ >= kMost) {
    for (auto& [name, known] : kinds_) known.records.clear();
    records_ = 0;
  }
  const auto [at, is_new] = kinds_[std::string(kind)].records.try_emplace(id);
  if (is_new) ++records_;
  return at->second;
}

void AtHand::keep(std::string_view kind, const Row& newest) { place_of(kind, newest.id) = newest; }

void AtHand::keep_that_there_is(std::string_view kind, std::int64_t id) { (void)place_of(kind, id); }

std::optional<std::int64_t> AtHand::last(std::string_view kind) const {
  const OfKind* const known = of(kind);
  return known == nullptr ? std::nullopt : known->last;
}

void AtHand::keep_last(std::string_view kind, std::int64_t id) { kinds_[std::string(kind)].last = id; }

void AtHand::back_to(std::uint64_t log_size) {
  kinds_.clear();
  records_ = 0;
  written_ = log_size;
  if (log_size < first_) {
    changes_.clear();
    first_ = log_size + 1;
  } else {
    changes_.erase(changes_.begin() + static_cast<std::ptrdiff_t>(log_size + 1 - first_), changes_.end());
  }
}

}  // namespace throughcure::store
