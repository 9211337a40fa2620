// Lights as they were last read, so that a page of many does not read all their readings again. What changed since is
// told by the audit log: a new reading is added to what is known, anything else that a light hangs on makes it be read
// again.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <vector>

#include "throughcure/desk/light_gist.hpp"
#include "throughcure/desk/light_line.hpp"
#include "throughcure/desk/light_record.hpp"
#include "throughcure/desk/policy.hpp"
#include "throughcure/desk/touched.hpp"
#include "throughcure/practice/change.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

/// Held by whoever serves one database; safe from any thread. Nothing uncommitted comes into it, so a write that fails
/// leaves no trace. Other programs may write the same database: every look begins with the log's size.
class LightCache {
 public:
  LightCache() = default;

 private:
  friend class LightsNow;

  struct Entry {
    std::uint64_t touched = 0;  ///< it is as after this change, and so ever since
    std::shared_ptr<LightRecord> record;
    std::shared_ptr<LightGist> gist;
    std::size_t gist_at_first = 0;  ///< readings in it when it was made
    std::shared_ptr<const LightCourse> course;
  };

  /// Brings everything to the size of the log that a reader sees, which must see nothing uncommitted.
  void follow(const store::Reader& reader, std::uint64_t size);
  void catch_up(const store::Reader& reader, std::uint64_t size);
  void add_readings(const store::Reader& reader, const Touched& touched, std::uint64_t size);
  void forget_all(std::uint64_t size);
  [[nodiscard]] bool is_as_at(base::LightId light, std::uint64_t size) const;

  std::mutex mutex_;
  std::uint64_t begun_ = 0;  ///< nothing is known of changes before it
  std::uint64_t known_ = 0;  ///< changes that were looked at
  std::optional<practice::Change> last_;
  std::map<std::int64_t, Entry> entries_;
  std::map<std::int64_t, std::uint64_t> touched_;  ///< lights, by the last change of each
  std::uint64_t all_touched_ = 0;
  std::shared_ptr<const Policy> policy_;
  std::uint64_t policy_touched_ = 0;
};

/// Lights at the moment of one transaction, with what it has written itself up to then. Lives no longer than the
/// reader; not for several threads.
class LightsNow {
 public:
  /// Without a cache everything is read anew.
  LightsNow(const store::Reader& reader, LightCache* cache);

  [[nodiscard]] const store::Reader& reader() const { return *reader_; }
  const Policy& policy();
  /// As light_record reads it. Throws Missing.
  std::shared_ptr<const LightRecord> record(base::LightId light);
  /// As light_view says it, the charts' alarms in it. Throws Missing.
  LightState state(base::LightId light, base::Instant now);
  /// As gist_of has it; null where it is not at hand: then the whole record must do.
  std::shared_ptr<const LightGist> gist(base::LightId light);
  /// As light_view says it, without what only its page shows. Throws Missing.
  LightLine line(base::LightId light, base::Instant now);

 private:
  std::shared_ptr<const LightRecord> own_record(base::LightId light);
  std::shared_ptr<const LightGist> known_gist(base::LightId light);
  /// As add_new_readings does, by their numbers.
  bool add_own(const std::vector<std::int64_t>& readings, LightRecord& record) const;
  std::shared_ptr<const LightCourse> course(base::LightId light, const std::shared_ptr<const LightRecord>& record,
                                            base::Instant now);

  const store::Reader* reader_;
  LightCache* cache_;
  store::LogSizes log_;
  std::uint64_t known_ = 0;  ///< what the cache knew when this began
  Touched own_;              ///< by changes that the cache does not know
  std::shared_ptr<const Policy> policy_;
};

}  // namespace throughcure::desk
