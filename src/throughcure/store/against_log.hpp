// Whether the records are what the audit log says of them, and the log is what its own hashes say.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace throughcure::store {

/// How many faults are told in words.
inline constexpr std::size_t kMostToldFaults = 5;

/// What was found. Every revision of every record was held against the change that wrote it, every change against the
/// leaf that stands for it, and it was looked whether what a change wrote is there.
struct AgainstLog {
  std::uint64_t changes = 0;        ///< of the log, by its edge
  bool under_root = false;          ///< the hashes of its leaves give its root
  std::uint64_t faults = 0;         ///< one for the root, where it is not that
  std::vector<std::string> told{};  ///< the first ones, without values: "restoration 12: probability is not what ..."

  void add(std::string fault) {
    ++faults;
    if (told.size() < kMostToldFaults) told.push_back(std::move(fault));
  }
};

/// Its faults in a row, without a full stop: "restoration 12: probability is not what the log says; and 3 more". Empty
/// where there is none.
std::string words_of(const AgainstLog& found);

}  // namespace throughcure::store
