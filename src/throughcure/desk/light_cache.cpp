#include "throughcure/desk/light_cache.hpp"

#include <atomic>
#include <utility>

namespace throughcure::desk {

namespace {

constexpr std::uint64_t kMostFollowed = 5000;  // changes: beyond it reading anew is less work

using Readings = std::vector<store::Kept<fleet::ReadingEntry>>;

/// New readings as they stand; those that are not there are left out.
Readings readings_of(const store::Reader& reader, const std::vector<std::int64_t>& numbers) {
  Readings found;
  for (const std::int64_t number : numbers) {
    if (auto reading = reader.get<fleet::ReadingEntry>({number})) found.push_back(*std::move(reading));
  }
  return found;
}

/// The same of many lights, by the light that the log named. What came lately has numbers in a row: it is asked for at
/// once.
std::map<std::int64_t, Readings> readings_of(const store::Reader& reader, const Touched& touched) {
  std::map<std::int64_t, std::int64_t> light_of;
  for (const auto& [light, numbers] : touched.new_readings) {
    for (const std::int64_t number : numbers) light_of[number] = light;
  }
  std::map<std::int64_t, Readings> found;
  if (light_of.empty()) return found;
  const store::Query between{.where = {{"id", store::Compare::kAtLeast, light_of.begin()->first},
                                       {"id", store::Compare::kAtMost, light_of.rbegin()->first}},
                             .order_by = {},
                             .limit = kAllOfThem};
  for (auto& reading : reader.list<fleet::ReadingEntry>(between)) {
    const auto light = light_of.find(reading.id.number);
    if (light != light_of.end()) found[light->second].push_back(std::move(reading));
  }
  return found;
}

}  // namespace

void LightCache::forget_all(std::uint64_t size) {
  entries_.clear();
  touched_.clear();
  policy_.reset();
  all_touched_ = size;
  policy_touched_ = size;
  begun_ = size;
  known_ = size;
}

void LightCache::follow(const store::Reader& reader, std::uint64_t size) {
  try {
    catch_up(reader, size);
  } catch (...) {
    forget_all(0);  // half of it may have been done
    throw;
  }
}

void LightCache::catch_up(const store::Reader& reader, std::uint64_t size) {
  const bool first = known_ == 0;
  if (size == known_ && !first) return;
  if (first || size - known_ > kMostFollowed) {
    forget_all(size);
    const auto last = reader.changes(size, 1);
    last_ = last.empty() ? std::nullopt : std::optional(last.front());
    return;
  }
  // The last one that is known comes again: a log that was put in this one's place does not go on from it.
  std::vector<practice::Change> changes = reader.changes(known_, size - known_ + 1);
  if (changes.empty() || !last_ || changes.front() != *last_) {
    forget_all(size);
  } else {
    changes.erase(changes.begin());
    Touched touched;
    for (const practice::Change& change : changes) touched.add(reader, change);
    touched.settle();
    if (touched.policy) {
      policy_.reset();
      policy_touched_ = size;
      for (auto& [light, entry] : entries_) entry.course.reset();
    }
    if (touched.all) {
      entries_.clear();
      all_touched_ = size;
    }
    for (const std::int64_t light : touched.lights) {
      entries_.erase(light);
      touched_[light] = size;
    }
    add_readings(reader, touched, size);
    known_ = size;
  }
  if (!changes.empty()) last_ = std::move(changes.back());
}

void LightCache::add_readings(const store::Reader& reader, const Touched& touched, std::uint64_t size) {
  const std::map<std::int64_t, Readings> found = readings_of(reader, touched);
  for (const auto& [light, numbers] : touched.new_readings) {
    touched_[light] = size;
    const auto at = entries_.find(light);
    if (at == entries_.end()) continue;
    const auto readings = found.find(light);
    if (readings == found.end() || readings->second.size() != numbers.size()) {
      entries_.erase(at);
      continue;
    }
    Entry& entry = at->second;
    entry.course.reset();
    entry.touched = size;
    // Somebody may be looking at it; whoever did is done with it when it is ours alone.
    if (entry.record.use_count() > 1) entry.record = std::make_shared<LightRecord>(*entry.record);
    if (entry.gist && entry.gist.use_count() > 1) entry.gist = std::make_shared<LightGist>(*entry.gist);
    std::atomic_thread_fence(std::memory_order_acquire);
    const bool added = add_new_readings(reader, *entry.record, readings->second) &&
                       (!entry.gist || add_new_readings(reader, entry.gist->record, readings->second));
    if (!added) entries_.erase(at);
  }
}

bool LightCache::is_as_at(base::LightId light, std::uint64_t size) const {
  if (size < begun_ || size > known_ || all_touched_ > size) return false;
  const auto at = touched_.find(light.number);
  return at == touched_.end() || at->second <= size;
}

LightsNow::LightsNow(const store::Reader& reader, LightCache* cache) : reader_(&reader), cache_(cache) {
  if (cache_ == nullptr) return;
  log_ = reader.log_sizes();
  const std::scoped_lock lock(cache_->mutex_);
  // Where others have seen more of the log than this reader does, it takes what has not changed since.
  if (log_.settled >= cache_->known_ && log_.written == log_.settled) cache_->follow(reader, log_.settled);
  known_ = cache_->known_;
  if (log_.written <= known_) return;
  if (known_ == 0 || log_.written - known_ > kMostFollowed) {
    own_.all = true;
    own_.policy = true;
  } else {
    reader.each_change(known_ + 1, log_.written - known_,
                       [&](const practice::Change& change) { own_.add(reader, change); });
    own_.settle();
  }
}

const Policy& LightsNow::policy() {
  if (policy_) return *policy_;
  const bool kept = cache_ != nullptr && !own_.policy;
  if (kept) {
    const std::scoped_lock lock(cache_->mutex_);
    if (cache_->policy_ && cache_->policy_touched_ <= log_.settled) policy_ = cache_->policy_;
  }
  if (policy_) return *policy_;
  policy_ = std::make_shared<const Policy>(*reader_);
  if (kept) {
    const std::scoped_lock lock(cache_->mutex_);
    if (log_.settled >= cache_->begun_ && cache_->policy_touched_ <= log_.settled) cache_->policy_ = policy_;
  }
  return *policy_;
}

bool LightsNow::add_own(const std::vector<std::int64_t>& readings, LightRecord& record) const {
  const Readings own = readings_of(*reader_, readings);
  return own.size() == readings.size() && add_new_readings(*reader_, record, own);
}

/// With what this transaction has written itself.
std::shared_ptr<const LightRecord> LightsNow::own_record(base::LightId light) {
  const auto added = own_.new_readings.find(light.number);
  std::shared_ptr<LightRecord> record;
  if (added != own_.new_readings.end() && !own_.all) {
    const std::scoped_lock lock(cache_->mutex_);
    const auto at = cache_->entries_.find(light.number);
    if (at != cache_->entries_.end() && at->second.touched <= known_) record = at->second.record;
  }
  if (record) {
    record = std::make_shared<LightRecord>(*record);
    if (add_own(added->second, *record)) return record;
  }
  return std::make_shared<const LightRecord>(light_record(*reader_, light));
}

std::shared_ptr<const LightRecord> LightsNow::record(base::LightId light) {
  if (cache_ == nullptr) return std::make_shared<const LightRecord>(light_record(*reader_, light));
  if (own_.touches(light)) return own_record(light);
  {
    const std::scoped_lock lock(cache_->mutex_);
    const auto at = cache_->entries_.find(light.number);
    if (at != cache_->entries_.end() && at->second.touched <= log_.settled) return at->second.record;
  }
  auto record = std::make_shared<LightRecord>(light_record(*reader_, light));
  auto gist = std::make_shared<LightGist>(gist_of(*record));
  const std::size_t readings = gist->record.history.readings.size();
  const std::scoped_lock lock(cache_->mutex_);
  if (cache_->is_as_at(light, log_.settled)) {
    cache_->entries_.insert_or_assign(light.number, LightCache::Entry{.touched = log_.settled,
                                                                      .record = record,
                                                                      .gist = std::move(gist),
                                                                      .gist_at_first = readings,
                                                                      .course = {}});
  }
  return record;
}

/// Of what is committed.
std::shared_ptr<const LightGist> LightsNow::known_gist(base::LightId light) {
  const std::scoped_lock lock(cache_->mutex_);
  const auto at = cache_->entries_.find(light.number);
  if (at == cache_->entries_.end() || at->second.touched > known_) return nullptr;
  LightCache::Entry& entry = at->second;
  constexpr std::size_t too_many = 100;  // more than it began with
  if (!entry.gist || entry.gist->record.history.readings.size() > entry.gist_at_first + too_many) {
    entry.gist = std::make_shared<LightGist>(gist_of(*entry.record));
    entry.gist_at_first = entry.gist->record.history.readings.size();
  }
  return entry.gist;
}

std::shared_ptr<const LightGist> LightsNow::gist(base::LightId light) {
  if (cache_ == nullptr || own_.all || own_.lights.contains(light.number)) return nullptr;
  std::shared_ptr<const LightGist> known = known_gist(light);
  const auto added = own_.new_readings.find(light.number);
  if (!known || added == own_.new_readings.end()) return known;
  auto with_own = std::make_shared<LightGist>(*known);
  if (!add_own(added->second, with_own->record)) return nullptr;
  return with_own;
}

std::shared_ptr<const LightCourse> LightsNow::course(base::LightId light,
                                                     const std::shared_ptr<const LightRecord>& record,
                                                     base::Instant now) {
  const Policy& in_force = policy();
  std::shared_ptr<const LightCourse> course;
  const auto entry_of = [&]() -> LightCache::Entry* {
    const auto at = cache_->entries_.find(light.number);
    const bool is_it = at != cache_->entries_.end() && at->second.record == record && cache_->policy_ == policy_;
    return is_it ? &at->second : nullptr;
  };
  if (cache_ != nullptr) {
    const std::scoped_lock lock(cache_->mutex_);
    if (const auto* const entry = entry_of()) course = entry->course;
  }
  if (!course || !course->holds_at(now)) {
    course = std::make_shared<const LightCourse>(*record, in_force, now);
    if (cache_ != nullptr && course->holds_later()) {
      const std::scoped_lock lock(cache_->mutex_);
      if (auto* const entry = entry_of()) entry->course = course;
    }
  }
  return course;
}

LightState LightsNow::state(base::LightId light, base::Instant now) {
  const std::shared_ptr<const LightRecord> known = record(light);
  return state_of(*known, *course(light, known, now), policy(), now);
}

LightLine LightsNow::line(base::LightId light, base::Instant now) {
  std::shared_ptr<const LightRecord> known = record(light);
  const std::shared_ptr<const LightCourse> its_course = course(light, known, now);
  return line_of(std::move(known), *its_course, policy(), now);
}

}  // namespace throughcure::desk
