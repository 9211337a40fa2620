// The audit log of the invented practice, as demo/audit-log.jsonl has it.
#pragma once

#include <cstdint>
#include <sstream>
#include <string>
#include <vector>

#include "support/invented_change.hpp"
#include "throughcure/exchange/audit_export.hpp"
#include "throughcure/practice/change.hpp"

namespace throughcure::test {

/// Everybody knows this secret: it signs nothing but the demo.
inline practice::KeySeed demo_key_seed() {
  practice::KeySeed seed{};
  seed.fill(7);
  return seed;
}

constexpr std::int64_t kDemoStartUs = 1'767'600'000'000'000;  // 2026-01-05T08:00:00Z
constexpr std::int64_t kMinuteUs = 60'000'000;

/// Who, when, what, before, after: a light comes in, is checked, a reading is mended, a restoration is written down,
/// and the light fails.
inline std::vector<practice::Change> demo_changes() {
  using practice::commit;
  std::vector<practice::Change> out{
      {.person = "p1", .kind = "light", .record = "L1", .after = {{"room", "1"}, {"state", "in use"}}},
      {.person = "p2", .kind = "reading", .record = "c1", .after = {{"light", "L1"}, {"mw_cm2", "1010"}}},
      {.person = "p2", .kind = "reading", .record = "c2", .after = {{"light", "L1"}, {"mw_cm2", "958"}}},
      {.person = "p2",
       .kind = "reading",
       .record = "c2",
       .before = {{"mw_cm2", "958"}},
       .after = {{"mw_cm2", "985"}, {"remark", commit(invented_opening(40, "misread: the 5 and the 8"))}}},
      {.person = "p3",
       .kind = "restoration",
       .record = "r1",
       .after =
           {{"chart", commit(invented_opening(5, "004711"))}, {"light", "L1"}, {"seconds", "20"}, {"tooth", "36"}}},
      {.person = "p1",
       .kind = "light",
       .record = "L1",
       .before = {{"state", "in use"}},
       .after = {{"reason", "below \"half\" of its baseline \u2013 twice"}, {"state", "withdrawn"}}},
      {.person = "p1", .kind = "room", .record = "1", .before = {{"name", "1"}}},
  };
  for (std::size_t i = 0; i < out.size(); ++i) {
    out[i].number = i + 1;
    out[i].at = {kDemoStartUs + static_cast<std::int64_t>(i) * kMinuteUs};
  }
  return out;
}

/// These changes as an export, signed an hour after the demo starts.
inline std::string exported(const std::vector<practice::Change>& changes, const practice::KeySeed& seed) {
  std::ostringstream out;
  exchange::AuditExport log(out);
  for (const practice::Change& change : changes) log.add(change);
  log.finish({kDemoStartUs + 60 * kMinuteUs}, practice::SigningKey(seed));
  return out.str();
}

}  // namespace throughcure::test
