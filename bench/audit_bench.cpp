// The audit log: a million changes appended one by one, and an exported log checked.
#include <cstdint>
#include <sstream>
#include <string>
#include <vector>

#include <benchmark/benchmark.h>
#include <nlohmann/json.hpp>

#include "contest.hpp"
#include "throughcure/exchange/audit_check.hpp"
#include "throughcure/exchange/audit_export.hpp"
#include "throughcure/practice/merkle.hpp"

namespace throughcure::bench {
namespace {

constexpr std::uint64_t kLeaves = 1'000'000;
constexpr std::uint64_t kChanges = 20'000;
constexpr int kRounds = 9;

/// A restoration with a private chart number: a line of some 330 bytes.
practice::Change change(std::uint64_t number) {
  return {.number = number,
          .at = {1'767'600'000'000'000 + static_cast<std::int64_t>(number) * 60'000'000},
          .person = "p2",
          .kind = "restoration",
          .record = "r" + std::to_string(number),
          .after = {{"chart", practice::commit({.salt = {}, .value = std::to_string(number)})},
                    {"light", "L1"},
                    {"seconds", "20"},
                    {"tooth", "36"}}};
}

/// A million leaves, each appended to what the store keeps, against the root over all of them by the definition.
void append_leaves(benchmark::State& state) {
  std::vector<practice::Digest> leaves;
  leaves.reserve(kLeaves);
  for (std::uint64_t i = 0; i < kLeaves; ++i) leaves.push_back(practice::leaf_hash(std::to_string(i)));
  practice::Digest ours{};
  practice::Digest other{};
  contest(
      state, {kLeaves, kLeaves},
      [&](std::uint64_t) {
        practice::RightEdge edge;
        for (const practice::Digest& leaf : leaves) edge.append(leaf);
        ours = edge.root();
      },
      [&](std::uint64_t) { other = practice::merkle_root(leaves); });
  if (ours != other) state.SkipWithError("the right edge has another root than the definition");
}
BENCHMARK(append_leaves)->Iterations(kRounds)->UseManualTime()->Unit(benchmark::kMillisecond);

/// A change from its fields to its leaf hash in the tree, against its leaf hash alone once the bytes are there.
void append_changes(benchmark::State& state) {
  std::vector<std::string> bytes;
  std::vector<practice::Change> changes;
  for (std::uint64_t number = 1; number <= kChanges; ++number) {
    changes.push_back(change(number));
    bytes.push_back(practice::leaf_bytes(changes.back()));
  }
  practice::Digest ours{};
  practice::Digest other{};
  contest(
      state, {kChanges, kChanges},
      [&](std::uint64_t) {
        practice::RightEdge edge;
        for (const practice::Change& one : changes) edge.append(practice::leaf_hash(practice::leaf_bytes(one)));
        ours = edge.root();
      },
      [&](std::uint64_t) {
        std::vector<practice::Digest> leaves;
        leaves.reserve(bytes.size());
        for (const std::string& leaf : bytes) leaves.push_back(practice::leaf_hash(leaf));
        other = practice::merkle_root(leaves);
      });
  if (ours != other) state.SkipWithError("the changes have another root than their bytes");
}
BENCHMARK(append_changes)->Iterations(kRounds)->UseManualTime()->Unit(benchmark::kMillisecond);

/// An exported log checked, against its lines only read as JSON.
void check_log(benchmark::State& state) {
  std::ostringstream out;
  exchange::AuditExport log(out);
  for (std::uint64_t number = 1; number <= kChanges; ++number) log.add(change(number));
  const practice::SigningKey key(practice::KeySeed{7});
  log.finish({1'800'000'000'000'000}, key);
  const std::string text = out.str();
  std::uint64_t checked = 0;
  std::uint64_t read = 0;
  contest(
      state, {kChanges, kChanges},
      [&](std::uint64_t) {
        std::istringstream in(text);
        const auto report = exchange::check_audit_log(in, "log", {.key = key.public_key()}, {});
        checked = report.answer == exchange::AuditAnswer::kIntact ? report.changes : 0;
      },
      [&](std::uint64_t) {
        std::istringstream in(text);
        read = 0;
        for (std::string line; std::getline(in, line);) {
          if (nlohmann::json::parse(line).contains("change")) ++read;
        }
      });
  if (checked != kChanges || read != kChanges) state.SkipWithError("the sound log is not called intact");
}
BENCHMARK(check_log)->Iterations(kRounds)->UseManualTime()->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace throughcure::bench
